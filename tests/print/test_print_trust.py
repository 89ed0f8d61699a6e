"""What the pack says of its own worth: the band of the forces, the maker's trials, and that there are none."""

from __future__ import annotations

from dataclasses import replace

import pytest
from plain_pictures import plain_pictures  # noqa: F401 - a fixture

from kitforge.language import use_language
from kitforge.model.facts import Tried
from kitforge.model.findings import Source
from kitforge.model.kit import Kit
from kitforge.model.pack import BuildOptions
from kitforge.model.plan import Plan
from kitforge.print.trust import force_band, tried, uncertainty
from kitforge.workshop.cutting_data import cutting_data
from kitforge_booklet.build import booklet
from kitforge_booklet.records import Booklet
from kitforge_listing.text import listing
from kitforge_sheet.sheet import settings_sheet

HERE = Source("kit.yaml", 1, 1)
TRIALS = (Tried("Light router", "Black cherry", "2025-03-31", "Two trays, clean floors", HERE),)


@pytest.fixture(scope="module")
def told(kit: Kit, plan: Plan) -> Booklet:
    """The booklet of a kit that was tried."""
    return booklet(replace(kit, tried=TRIALS), plan, BuildOptions())


def test_the_uncertainty_is_that_of_the_force_model() -> None:
    """The band of cutting.yaml, in figures; in German with its decimal sign."""
    band = cutting_data().cutting_force.band
    assert f"{band.low:g} to {band.high:g} times" in uncertainty()
    with use_language("de"):
        assert f"{band.low:g}".replace(".", ",") in uncertainty()


def test_the_buyer_sees_it_beside_the_hold_and_on_the_sheet(kit: Kit, plan: Plan, told: Booklet) -> None:
    assert told.uncertainty == uncertainty()
    assert settings_sheet(kit, plan, BuildOptions()).uncertainty == force_band()
    assert uncertainty().startswith(force_band())


def test_trials_are_printed_in_booklet_and_listing(kit: Kit, plan: Plan, told: Booklet) -> None:
    made = replace(kit, tried=TRIALS)
    words = "Tried by the maker on 2025-03-31, Light router, Black cherry: Two trays, clean floors."
    assert tried(made) == (words,)
    assert told.tried == (words,)
    assert words in " ".join(listing(made, plan, BuildOptions()).split())


def test_the_absence_of_trials_is_said(kit: Kit, plan: Plan) -> None:
    (words,) = tried(replace(kit, tried=()))
    assert "not reported a trial" in words
    assert words in " ".join(listing(kit, plan, BuildOptions()).split())
