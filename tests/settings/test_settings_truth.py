"""What a practitioner would say to the numbers. All of it common practice, no source."""

from __future__ import annotations

import pytest
from dished_boards import Check

from kitforge.cutting.judge import Standing, judge
from kitforge.cutting.records import Cut, CutSettings, CutterGeometry, CutterKind, Substrate, Wish, Work
from kitforge.cutting.settings import settings
from kitforge.findings import Severity
from kitforge.pipeline import Checked
from kitforge.plan import MachinePlan
from kitforge.workshop.cutting_data import cutting_data
from kitforge.workshop.load import load_workshop

SHOP, DATA = load_workshop(), cutting_data()
BOWL = CutterGeometry(
    CutterKind.BOWL, 19.05, 15.9, 6.35, 55, 2, corner_radius=6.35, centre_cutting=False, substrate=Substrate.TIPPED
)
WALNUT, HOBBY = SHOP.materials["black_walnut"], SHOP.machines["screw_hobby"]
FEED = 40 * 25.4


def on(machines: Checked, key: str) -> MachinePlan:
    return next(one for one in machines.plan.machines if one.machine.key == key)


def roughed() -> CutSettings:
    found = settings(Cut(Work.DISH, 9.4, width=60, length=150), BOWL, WALNUT, HOBBY, DATA)
    assert isinstance(found, CutSettings)
    return found


def finished() -> CutSettings:
    cut = Cut(Work.DISH, 0.005 * 25.4, finishing=True, reach=9.525, width=60, length=150)
    found = settings(cut, BOWL, WALNUT, HOBBY, DATA)
    assert isinstance(found, CutSettings)
    return found


def test_a_bowl_cutter_at_40_inches_a_minute() -> None:
    """3/4 in bowl cutter in walnut: 40 in/min and half of that downwards are inside; 40 % stepover is what we start."""
    found = roughed()
    assert judge(found.feed, FEED).standing is Standing.INSIDE
    slower = settings(Cut(Work.DISH, 9.4, width=60, length=150), BOWL, WALNUT, HOBBY, DATA, Wish(feed=FEED))
    assert isinstance(slower, CutSettings)
    assert judge(slower.plunge, FEED / 2).standing is Standing.INSIDE
    assert found.stepover is not None
    assert found.stepover.start == pytest.approx(0.4 * 19.05)


def test_the_finishing_pass_of_the_bowl() -> None:
    """10 % stepover, 0.005 in deeper, at the same 40 in/min: all inside."""
    found = finished()
    assert found.stepover is not None
    assert judge(found.stepover, 0.1 * 19.05).standing is Standing.INSIDE
    assert found.depth_per_pass.start == pytest.approx(0.127)
    assert judge(found.feed, FEED).standing is Standing.INSIDE


def test_a_short_cutter_in_deep_stock_is_refused_by_its_shank(check: Check) -> None:
    """3/4 in of flutes in 1 in of wood: the shank of the same width would rub; told once, with its lengths."""
    checked = check(("cutting_length: 1 in", "cutting_length: 3/4 in"), ("thickness: 3/4 in", "thickness: 1 in"))
    refused = [finding for finding in checked.findings if finding.severity is Severity.ERROR]
    assert {finding.code for finding in refused} == {"beyond-cutting-length"}
    assert "19.05 mm long" in refused[0].message
    assert "its shank of 6.35 mm" in refused[0].message


def test_a_cutter_that_cannot_be_held_is_told_of_once(check: Check) -> None:
    """Named by the check of the cutters; that no class has settings for it follows and is not said again."""
    checked = check(("overall_length: 2 1/2 in", "overall_length: 1 1/8 in"))
    refused = {finding.code for finding in checked.findings if finding.severity is Severity.ERROR}
    assert refused == {"cutter-too-short"}


def test_three_small_boards_take_less_than_twenty_minutes(check: Check) -> None:
    """About 3 x 3, 3 x 6 and 3 x 9 in, dished and cut out on a hobby router: the longer of the two times counts."""
    checked = check()
    assert not checked.fails()
    minutes = on(checked, "screw_hobby").cutting_seconds[1] / 60
    assert 3 < minutes < 20


def test_a_stronger_class_is_never_slower(check: Check) -> None:
    """The same boards class by class."""
    machines = [one for one in check().plan.machines if one.fits and not one.blocked]
    times = [one.cutting_seconds[0] for one in sorted(machines, key=lambda one: one.machine.rank)]
    assert times == sorted(times, reverse=True)


def test_plain_end_mills_raise_no_chatter(demo: Checked) -> None:
    """Pushed in to their flutes the cutters of the demo kits are short enough."""
    assert [finding.message for finding in demo.findings if "Chatter" in finding.message] == []
