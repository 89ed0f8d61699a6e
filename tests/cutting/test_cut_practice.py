"""What a careful practitioner would dial in lies inside the windows and near the starts. Common practice, no source.

1/4 in down-cut in hardwood: 60 to 100 in/min, 1/8 to 1/4 in deep, 16 000 to 18 000 min-1. V-bit: 40 to 80 in/min. Round
nose of 3/4 in: roughing about 40 in/min, plunge about 20, 40 % stepover, finishing 10 %. Nobody starts a 1/4 in cutter
at 180 in/min and more.
"""

from __future__ import annotations

import pytest

from kitforge.cutting.settings import settings
from kitforge.model.settings import Cut, CutSettings, CutterGeometry, CutterKind, Substrate, Window, Work
from kitforge.model.workshop import MaterialKind
from kitforge.workshop.cutting_data import cutting_data
from kitforge.workshop.load import load_workshop

INCH = 25.4
SHOP, DATA = load_workshop(), cutting_data()
HOBBY = ("light_router", "medium_router")
TIPPED = Substrate.TIPPED
DOWN_CUT = CutterGeometry(CutterKind.DOWN_CUT, 6.35, 25.4, 6.35, 63.5, 2)
V_BIT = CutterGeometry(CutterKind.V_BIT, 12.7, 11, 6.35, 45, 2, angle=60, substrate=TIPPED)
ROUND_NOSE = CutterGeometry(
    CutterKind.BOWL, 0.75 * INCH, 15.9, 6.35, 55, 2, corner_radius=6.35, centre_cutting=False, substrate=TIPPED
)


def of(cut: Cut, cutter: CutterGeometry, machine: str, wood: str = "sugar_maple") -> CutSettings:
    found = settings(cut, cutter, SHOP.materials[wood], SHOP.machines[machine], DATA)
    assert isinstance(found, CutSettings), found
    return found


def inside(window: Window, *values: float) -> bool:
    return all(window.low <= value <= window.high for value in values)


@pytest.mark.parametrize("machine", HOBBY)
def test_a_quarter_inch_down_cut_in_hardwood(machine: str) -> None:
    """Light routers are the exception in depth: 40 N end at 2.4 mm in maple, cut across the grain with a used edge."""
    found = of(Cut(Work.PROFILE, 19, length=900), DOWN_CUT, machine)
    assert inside(found.feed, 60 * INCH, found.feed.start)
    assert 60 <= found.feed.start / INCH <= 100
    assert inside(found.speed, 16_000, 18_000) and 16_000 <= found.speed.start <= 18_000
    deepest = found.depth_per_pass
    assert inside(deepest, INCH / 8) if machine == "medium_router" else deepest.high_limit.reason == "machine force"


@pytest.mark.parametrize("machine", ["medium_router", "heavy_router"])
def test_a_hundred_inches_a_minute_are_inside_from_the_medium_class_on(machine: str) -> None:
    assert inside(of(Cut(Work.PROFILE, 19, length=900), DOWN_CUT, machine).feed, 60 * INCH, 100 * INCH)


@pytest.mark.parametrize("depth", [1.0, 2.0, 3.0, 4.0])
@pytest.mark.parametrize("machine", HOBBY)
def test_a_v_bit(machine: str, depth: float) -> None:
    """In maple; 4 mm deep a light router ends at 51 in/min, where its 40 N are reached."""
    found = of(Cut(Work.GROOVE, depth), V_BIT, machine)
    assert 40 <= found.feed.start / INCH <= 80
    assert inside(found.feed, 45 * INCH)


@pytest.mark.parametrize("machine", HOBBY)
def test_a_round_nose_roughing_a_dish(machine: str) -> None:
    found = of(Cut(Work.DISH, 8, width=150, length=400), ROUND_NOSE, machine, "black_walnut")
    assert 36 <= found.feed.start / INCH <= 48
    assert inside(found.feed, 40 * INCH)
    assert 10 <= found.plunge.start / INCH <= 20
    assert found.stepover is not None
    assert found.stepover.start == pytest.approx(0.4 * 0.75 * INCH)


@pytest.mark.parametrize("machine", HOBBY)
def test_a_round_nose_finishing_a_dish(machine: str) -> None:
    """A tenth of the diameter aside. 40 in/min are inside, and we start faster than we rough.

    0.15 mm deep the round cuts with its lowest part alone: at 40 in/min and 12 000 min-1 its thickest chip is
    0.042 mm * 0.22 = 0.009 mm, no more than the radius of a new edge; at 80 in/min it is 0.018 mm.
    """
    found = of(
        Cut(Work.DISH, 0.15, finishing=True, reach=8, width=150, length=400), ROUND_NOSE, machine, "black_walnut"
    )
    assert inside(found.feed, 40 * INCH)
    assert 60 <= found.feed.start / INCH <= 100
    assert found.stepover is not None
    assert found.stepover.start == pytest.approx(0.1 * 0.75 * INCH)


@pytest.mark.parametrize("machine", list(SHOP.machines))
@pytest.mark.parametrize("kind", list(MaterialKind))
def test_nobody_starts_a_quarter_inch_cutter_at_180_inches_a_minute(machine: str, kind: MaterialKind) -> None:
    """In any wood and panel, on any class."""
    for wood in (one for one in SHOP.materials.values() if one.kind is kind):
        found = of(Cut(Work.PROFILE, 12, length=900), DOWN_CUT, machine, wood.key)
        assert found.feed.start / INCH < 180


def test_weak_machines_ramp_before_strong_ones() -> None:
    """Where a class goes straight down, every stronger one does: half the force it bears has to push the cutter in."""
    for wood in SHOP.materials:
        ways = [
            str(of(Cut(Work.PROFILE, 12, length=900), DOWN_CUT, machine, wood).entry.manner) == "ramp"
            for machine in SHOP.machines
        ]
        assert ways == sorted(ways, reverse=True), wood


@pytest.mark.parametrize("machine", list(SHOP.machines))
def test_the_plunge_to_start_with_is_not_the_highest(machine: str) -> None:
    for cutter, cut in ((DOWN_CUT, Cut(Work.PROFILE, 12, length=900)), (V_BIT, Cut(Work.GROOVE, 2))):
        found = of(cut, cutter, machine)
        assert found.plunge.low <= found.plunge.start < found.plunge.high * 0.85
