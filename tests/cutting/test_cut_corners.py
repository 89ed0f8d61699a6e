"""Ranges that are printed side by side hold together: no corner of them passes a limit or rubs."""

from __future__ import annotations

from dataclasses import replace

import pytest
from cut_corners import DATA, faults
from random_cuts import Case, random_cases

from kitforge.cutting.settings import settings
from kitforge.model.settings import CutSettings, RequestedSettings

SEED = 7_000


def tried(cases: list[Case]) -> list[str]:
    """Return the faults of many cases without an author's values, and see that enough of them have settings."""
    plain = [replace(case, wish=RequestedSettings()) for case in cases]
    settled = [
        (case, found)
        for case in plain
        if isinstance(found := settings(case.cut, case.cutter, case.material, case.machine, DATA), CutSettings)
    ]
    assert len(settled) > len(cases) / 3
    return [f"{case}: {fault}" for case, found in settled for fault in faults(case, found)]


@pytest.mark.parametrize("count", [500, pytest.param(20_000, marks=pytest.mark.soak, id="many")])
def test_no_corner_of_a_random_cut_passes_a_limit_or_rubs(count: int) -> None:
    assert tried(random_cases(SEED, count)) == []


def test_a_feed_that_stays_while_the_speed_falls_is_seen() -> None:
    """The test sees what it is there for: the highest feed at the lowest speed, not in proportion."""
    case = next(case for case in random_cases(SEED, 200) if _tight(case))
    found = settings(case.cut, case.cutter, case.material, case.machine, DATA)
    assert isinstance(found, CutSettings)
    careless = replace(found, speed=replace(found.speed, start=found.speed.low))
    assert list(faults(case, careless))


def test_a_plunge_that_pushes_too_hard_is_seen() -> None:
    """The test sees what it is there for: a plunge beyond what half the force of the class bears."""
    bounded = (
        (case, found)
        for case in random_cases(SEED, 200)
        if isinstance(found := settings(case.cut, case.cutter, case.material, case.machine, DATA), CutSettings)
        and found.plunge.high_limit.reason == "axial thrust"
    )
    case, found = next(bounded)
    careless = replace(found, plunge=replace(found.plunge, high=found.plunge.high * 1.2))
    assert any("plunge" in fault for fault in faults(case, careless))


def _tight(case: Case) -> bool:
    found = settings(case.cut, case.cutter, case.material, case.machine, DATA)
    loads = isinstance(found, CutSettings) and found.feed.high_limit.reason in ("machine force", "cutter bends")
    return loads and isinstance(found, CutSettings) and found.speed.low < found.speed.start * 0.8
