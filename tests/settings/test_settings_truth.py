"""What a practitioner would say to the numbers. All of it common practice, no source."""

from __future__ import annotations

import pytest
from seed_dishes import Check

from kitforge.cutting.override_check import OverrideStanding, override_verdict
from kitforge.cutting.settings import settings
from kitforge.model.findings import Severity
from kitforge.model.plan import MachinePlan
from kitforge.model.settings import Cut, CutSettings, CutterGeometry, CutterKind, RequestedSettings, Substrate, Work
from kitforge.pipeline import CheckedKit
from kitforge.workshop.cutting_data import cutting_data
from kitforge.workshop.load import load_workshop

SHOP, DATA = load_workshop(), cutting_data()
BOWL = CutterGeometry(
    CutterKind.BOWL, 16.0, 14.0, 6.0, 52, 2, corner_radius=5.0, centre_cutting=False, substrate=Substrate.TIPPED
)
ASH, HOBBY = SHOP.materials["white_ash"], SHOP.machines["medium_router"]
FEED = 1000.0


def on(machines: CheckedKit, key: str) -> MachinePlan:
    return next(one for one in machines.plan.machines if one.machine.key == key)


def roughed(wish: RequestedSettings | None = None) -> CutSettings:
    cut = Cut(Work.DISH, 8.85, width=66, length=186)
    found = settings(cut, BOWL, ASH, HOBBY, DATA, wish)
    assert isinstance(found, CutSettings)
    return found


def finished() -> CutSettings:
    cut = Cut(Work.DISH, 0.15, finishing=True, reach=9.0, width=66, length=186)
    found = settings(cut, BOWL, ASH, HOBBY, DATA)
    assert isinstance(found, CutSettings)
    return found


def test_a_bowl_cutter_at_a_metre_a_minute() -> None:
    """In a hardwood 1 m/min and half of that downwards are inside; 40 % stepover is what we start with."""
    found = roughed()
    assert override_verdict(found.feed, FEED).standing is OverrideStanding.INSIDE
    assert override_verdict(roughed(RequestedSettings(feed=FEED)).plunge, FEED / 2).standing is OverrideStanding.INSIDE
    assert found.stepover is not None
    assert found.stepover.start == pytest.approx(0.4 * BOWL.diameter)


def test_the_finishing_pass_of_the_bowl() -> None:
    """A tenth of the diameter aside and what was left below, at the same feed: all inside."""
    found = finished()
    assert found.stepover is not None
    assert override_verdict(found.stepover, 0.1 * BOWL.diameter).standing is OverrideStanding.INSIDE
    assert found.depth_per_pass.start == pytest.approx(0.15)
    assert override_verdict(found.feed, FEED).standing is OverrideStanding.INSIDE


def test_a_short_cutter_in_deep_stock_is_refused_by_its_shank(check: Check) -> None:
    """16 mm of flutes in 25 mm of wood: the shank of the same width would rub; told once, with its lengths."""
    checked = check(("cutting_length: 22 mm", "cutting_length: 16 mm"), ("thickness: 18 mm", "thickness: 25 mm"))
    refused = [finding for finding in checked.findings if finding.severity is Severity.ERROR]
    assert {finding.code for finding in refused} == {"beyond-cutting-length"}
    assert "16 mm long" in str(refused[0].message)
    assert "its shank of 6 mm" in str(refused[0].message)


def test_a_cutter_that_cannot_be_held_is_told_of_once(check: Check) -> None:
    """Named by the check of the cutters; that no class has settings for it follows and is not said again."""
    checked = check(("overall_length: 60 mm", "overall_length: 28 mm"))
    refused = {finding.code for finding in checked.findings if finding.severity is Severity.ERROR}
    assert refused == {"cutter-too-short"}


def test_three_small_dishes_take_less_than_twenty_minutes(check: Check) -> None:
    """Dished at 40 to 50 in/min and cut out on a hobby router: the longer of the two times counts."""
    checked = check()
    assert not checked.fails()
    minutes = on(checked, "medium_router").cutting_seconds[1] / 60
    assert 3 < minutes < 20


def test_a_stronger_class_is_never_slower(check: Check) -> None:
    """The same dishes class by class."""
    machines = [one for one in check().plan.machines if one.fits and not one.blocked]
    times = [one.cutting_seconds[0] for one in sorted(machines, key=lambda one: one.machine.rank)]
    assert times == sorted(times, reverse=True)


def test_plain_end_mills_raise_no_chatter(demo: CheckedKit) -> None:
    """Pushed in to their flutes the cutters of the demo kits are short enough."""
    assert [str(finding.message) for finding in demo.findings if "Chatter" in str(finding.message)] == []
