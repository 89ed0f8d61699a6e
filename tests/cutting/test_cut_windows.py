"""Settings windows: what a practitioner expects, and what must hold for every cut."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import settings as limits
from hypothesis import strategies as st

from kitforge.cutting.settings import settings
from kitforge.cutting.worksheet.generated.settings_computed import computed
from kitforge.cutting.worksheet.generated.settings_values import Values
from kitforge.cutting.worksheet.tables import tables_of
from kitforge.model.settings import (
    Cut,
    CutSettings,
    CutterGeometry,
    CutterKind,
    Manner,
    NoWindow,
    RequestedSettings,
    TroubleCode,
    Work,
)
from kitforge.model.workshop import Fact, MachineClass, Workshop
from kitforge.workshop.cutting_data import CuttingData, cutting_data
from kitforge.workshop.load import load_workshop
from kitforge.workshop.own_machine import machine_from_mapping

CLASSES = ("extra_light_router", "light_router", "medium_router", "heavy_router", "extra_heavy_router")
POCKET = Cut(Work.POCKET, 12, width=60, length=300)
Cutters = dict[str, CutterGeometry]


def found(result: CutSettings | NoWindow) -> CutSettings:
    assert isinstance(result, CutSettings), result
    return result


def test_quarter_inch_in_maple_on_the_screw_driven_class(shop: Workshop, data: CuttingData, cutters: Cutters) -> None:
    """16 000 to 18 000 min-1, 1200 to 2500 mm/min, passes of about 3 mm (common practice, no source)."""
    got = found(
        settings(POCKET, cutters["quarter"], shop.materials["sugar_maple"], shop.machines["medium_router"], data)
    )
    assert 16_000 <= got.speed.start <= 18_000
    assert 1200 <= got.feed.start <= 2500
    assert got.depth_per_pass.start == pytest.approx(3.0)
    assert got.passes == 4
    assert got.plunge.start == pytest.approx(0.4 * got.feed.start, abs=10)


def test_the_light_class_takes_shallower_passes(shop: Workshop, data: CuttingData, cutters: Cutters) -> None:
    """60 to 100 in/min and 1.5 to 2.5 mm in maple (common practice, no source)."""
    machine = shop.machines["light_router"]
    got = found(settings(POCKET, cutters["quarter"], shop.materials["sugar_maple"], machine, data))
    assert (got.dial, got.speed.start) == (None, 18_000)
    assert 60 <= got.feed.start / 25.4 <= 100
    assert 1.5 <= got.depth_per_pass.start <= 2.5


def test_bowl_cutter_at_forty_inches_per_minute_is_inside_the_window(
    shop: Workshop, data: CuttingData, cutters: Cutters
) -> None:
    """Roughing a dish in walnut at 40 in/min, half of that down, 40 % stepover (common practice, no source)."""
    wish = RequestedSettings(feed=1016, plunge=508, stepover=0.4 * 19.05)
    cut = Cut(Work.DISH, 8, width=150, length=400)
    walnut, machine = shop.materials["black_walnut"], shop.machines["medium_router"]
    got = found(settings(cut, cutters["bowl"], walnut, machine, data, wish))
    assert [note for note in got.notes if note.trouble in (TroubleCode.OUTSIDE, TroubleCode.PAST_LIMIT)] == []
    assert got.feed.low < 1016 < got.feed.high


def test_bowl_cutter_at_forty_inches_per_minute_needs_a_slower_spindle_than_eighteen_thousand(
    shop: Workshop, data: CuttingData, cutters: Cutters
) -> None:
    """At 18 000 min-1 the same feed makes a mean chip under 0.02 mm: the note says so in numbers."""
    wish = RequestedSettings(speed=18_000, feed=1016)
    cut = Cut(Work.DISH, 3, width=150, length=400)
    walnut, machine = shop.materials["black_walnut"], shop.machines["medium_router"]
    got = found(settings(cut, cutters["bowl"], walnut, machine, data, wish))
    assert got.chip.mean < 0.02
    assert {note.trouble for note in got.notes} == {TroubleCode.OUTSIDE, TroubleCode.BURN}


def test_finishing_a_dish_at_ten_percent_and_five_thousandths_deeper(
    shop: Workshop, data: CuttingData, cutters: Cutters
) -> None:
    """0.127 mm deeper at 10 % stepover, still at 40 in/min, is inside the finishing window."""
    cut = Cut(Work.DISH, 0.127, finishing=True, reach=8, width=150, length=400)
    wish = RequestedSettings(feed=1016, plunge=508, stepover=1.905)
    walnut, machine = shop.materials["black_walnut"], shop.machines["medium_router"]
    got = found(settings(cut, cutters["bowl"], walnut, machine, data, wish))
    assert [note for note in got.notes if note.trouble is TroubleCode.OUTSIDE] == []
    assert got.passes == 1
    assert got.cusp == 0


def test_v_bit_in_maple_starts_where_people_carve(shop: Workshop, data: CuttingData, cutters: Cutters) -> None:
    """60 deg, 2 mm deep: 40 to 80 in/min (common practice, no source)."""
    cut = Cut(Work.GROOVE, 2)
    got = found(settings(cut, cutters["vee"], shop.materials["sugar_maple"], shop.machines["medium_router"], data))
    assert 40 <= got.feed.start / 25.4 <= 80
    assert got.feed.high == pytest.approx(0.105 * 2 * got.speed.start)
    assert got.chip.effective_diameter == pytest.approx(2.3094, abs=1e-3)


def test_ball_nose_dimples_are_plunged(shop: Workshop, data: CuttingData, cutters: Cutters) -> None:
    """A 6 mm ball makes dimples 2 mm deep in one straight plunge within the class's plunge limit."""
    got = found(
        settings(
            Cut(Work.DRILL, 2), cutters["ball"], shop.materials["black_cherry"], shop.machines["medium_router"], data
        )
    )
    assert got.entry.manner is Manner.STRAIGHT
    assert got.feed.start <= shop.machines["medium_router"].plunge_limit


def test_eighth_inch_in_birch_plywood(shop: Workshop, data: CuttingData, cutters: Cutters) -> None:
    """About 18 000 min-1, 1000 to 2000 mm/min, passes of 1 to 1.6 mm (common practice, no source)."""
    cut = Cut(Work.PROFILE, 6.5, length=500)
    got = found(settings(cut, cutters["eighth"], shop.materials["birch_plywood"], shop.machines["medium_router"], data))
    assert 1000 <= got.feed.start <= 2000
    assert 1.0 <= got.depth_per_pass.start <= 1.6


def test_surfacing_cutter_turns_slower_and_skims(shop: Workshop, data: CuttingData, cutters: Cutters) -> None:
    """22 mm: rim speed of the largest charted cutter, about 1 mm a pass (common practice, no source)."""
    cut = Cut(Work.SURFACING, 1)
    got = found(
        settings(cut, cutters["surfacing"], shop.materials["black_cherry"], shop.machines["medium_router"], data)
    )
    assert 10_000 <= got.speed.start <= 10_500
    assert got.chip.rim_speed == pytest.approx(12.0, abs=0.2)
    assert got.entry.manner is Manner.OUTSIDE


def test_extra_light_is_much_gentler_and_extra_heavy_takes_more_but_no_hotter_chip(
    shop: Workshop, data: CuttingData, cutters: Cutters
) -> None:
    """Depths and removal rates rise from class to class; the strongest starts below 180 in/min (common practice)."""
    runs = [
        found(settings(POCKET, cutters["quarter"], shop.materials["sugar_maple"], shop.machines[key], data))
        for key in CLASSES
    ]
    assert [run.loads.removal for run in runs] == sorted(run.loads.removal for run in runs)
    assert runs[0].loads.removal * 10 < runs[2].loads.removal
    assert runs[4].feed.high_limit.reason == "chip too thick"
    assert runs[4].feed.start / 25.4 < 180


def test_drills_peck_and_turn_slowly(shop: Workshop, data: CuttingData, cutters: Cutters) -> None:
    """18 mm deep with 6 mm: deeper than two diameters, so in pecks of two diameters at most (common practice)."""
    got = found(
        settings(
            Cut(Work.DRILL, 18), cutters["drill"], shop.materials["black_cherry"], shop.machines["medium_router"], data
        )
    )
    assert (got.entry.manner, got.passes) == (Manner.PECK, 2)
    assert got.entry.peck == pytest.approx(9.0)
    assert (got.speed.start, got.speed.start_reason) == (10_000, "lowest allowed")
    slow = machine_from_mapping("slow", {"like": "medium_router", "rpm": [5000, 24000]})
    able = found(settings(Cut(Work.DRILL, 18), cutters["drill"], shop.materials["black_cherry"], slow, data))
    assert able.speed.start == 6000


def test_a_dial_of_ones_own_gives_the_speed(shop: Workshop, data: CuttingData, cutters: Cutters) -> None:
    """The nearest position of an invented dial inside the window."""
    mine = machine_from_mapping("mine", {"like": "light_router", "dial": {"low": 11_000, "mid": 17_000, "top": 26_000}})
    got = found(settings(POCKET, cutters["quarter"], shop.materials["sugar_maple"], mine, data))
    assert (got.dial, got.speed.start) == ("mid", 17_000)


def test_cutter_without_centre_teeth_only_ramps(shop: Workshop, data: CuttingData, cutters: Cutters) -> None:
    """A bowl cutter ramps at 5 deg where there is travel, and a hole with it is refused."""
    walnut, machine = shop.materials["black_walnut"], shop.machines["medium_router"]
    got = found(settings(Cut(Work.DISH, 6, width=150, length=400), cutters["bowl"], walnut, machine, data))
    assert (got.entry.manner, got.entry.angle) == (Manner.RAMP, 5)
    refused = settings(Cut(Work.DRILL, 6), cutters["bowl"], walnut, machine, data)
    assert isinstance(refused, NoWindow)
    assert refused.problems[0].trouble is TroubleCode.ENTRY


def test_small_pocket_is_entered_on_a_helix(shop: Workshop, data: CuttingData, cutters: Cutters) -> None:
    """No travel for a ramp, but room for a helix between 0.4 and 0.9 diameters wide (common practice)."""
    cutter = replace(cutters["quarter"], centre_cutting=False)
    cut = Cut(Work.POCKET, 6, width=11, length=10)
    got = found(settings(cut, cutter, shop.materials["black_cherry"], shop.machines["medium_router"], data))
    assert got.entry.manner is Manner.HELIX
    assert 0.4 * 6.35 <= (got.entry.path_diameter or 0) <= 0.9 * 6.35


def test_crossing_limits_are_named_with_what_would_help(shop: Workshop, data: CuttingData, cutters: Cutters) -> None:
    """A cutter marked for less than the slowest speed of the class has no speed at all."""
    cutter = replace(cutters["quarter"], max_speed=8000)
    result = settings(POCKET, cutter, shop.materials["black_cherry"], shop.machines["light_router"], data)
    assert isinstance(result, NoWindow)
    problem = result.problems[0]
    assert (problem.low and problem.low.reason, problem.high and problem.high.reason) == (
        "machine speed",
        "cutter maximum",
    )
    assert "a class with a lower lowest speed" in map(str, problem.remedies)
    assert "8000" in str(problem.message)


def test_many_flutes_on_a_slow_machine_close_the_window(shop: Workshop, data: CuttingData, cutters: Cutters) -> None:
    """Twelve flutes at 10 000 min-1 need 3770 mm/min to cut instead of rub; the class gives 3000."""
    cutter = replace(cutters["quarter"], flutes=12)
    result = settings(Cut(Work.PROFILE, 6), cutter, shop.materials["black_cherry"], shop.machines["light_router"], data)
    assert isinstance(result, NoWindow)
    assert result.problems[0].high is not None
    assert result.problems[0].high.reason == "chip too thin"
    assert "fewer flutes" in map(str, result.problems[0].remedies)


@pytest.mark.parametrize(
    ("change", "cut", "trouble"),
    [
        ({"shank": 12.7}, POCKET, TroubleCode.SHANK),
        ({}, replace(POCKET, width=5.0), TroubleCode.TOO_WIDE),
        ({}, replace(POCKET, depth=45.0), TroubleCode.REACH),
        ({"stick_out": 10.0}, POCKET, TroubleCode.REACH),
    ],
)
def test_impossible_cuts_are_refused(
    change: dict[str, float], cut: Cut, trouble: TroubleCode, shop: Workshop, data: CuttingData, cutters: Cutters
) -> None:
    """Shank, width and length are checked before anything is computed."""
    cutter = replace(cutters["quarter"], **change)  # type: ignore[arg-type]
    result = settings(cut, cutter, shop.materials["black_cherry"], shop.machines["medium_router"], data)
    assert isinstance(result, NoWindow)
    assert trouble in {problem.trouble for problem in result.problems}


@pytest.mark.parametrize(
    ("cutter", "cut", "why"),
    [
        (CutterGeometry(CutterKind.STRAIGHT, 6, 18, 6, 50, 2, corner_radius=3), POCKET, "ridges on the floor"),
        (CutterGeometry(CutterKind.STRAIGHT, 6, 18, 6, 50, 2, corner_radius=4), POCKET, "ridges on the floor"),
        (CutterGeometry(CutterKind.BOWL, 12, 18, 6, 50, 2), Cut(Work.DISH, 3, cusp=0.02, slope=20), "wanted cusp"),
    ],
)
def test_a_cutter_without_any_lane_is_refused(
    cutter: CutterGeometry, cut: Cut, why: str, shop: Workshop, data: CuttingData
) -> None:
    """A corner of half the diameter leaves no flat, a bowl cutter without a round no cusp on a slope but zero."""
    for wish in (RequestedSettings(), RequestedSettings(stepover=1.0)):
        result = settings(cut, cutter, shop.materials["black_cherry"], shop.machines["medium_router"], data, wish)
        assert isinstance(result, NoWindow)
        high = result.problems[0].high
        assert (result.problems[0].trouble, high and high.reason) == (TroubleCode.NO_WINDOW, why)


def test_overrides_stand_inside_outside_or_past_a_limit(shop: Workshop, data: CuttingData, cutters: Cutters) -> None:
    """A feed above the class's limit passes it; one below the rubbing floor is outside; one between is inside."""
    cherry, machine = shop.materials["black_cherry"], shop.machines["medium_router"]

    def troubles(feed: float) -> set[TroubleCode]:
        got = found(settings(POCKET, cutters["quarter"], cherry, machine, data, RequestedSettings(feed=feed)))
        return {note.trouble for note in got.notes if note.trouble is not TroubleCode.BURN}

    assert troubles(2000) == set()
    assert troubles(800) == {TroubleCode.OUTSIDE}
    assert troubles(6000) == {TroubleCode.PAST_LIMIT}


def test_deeper_override_lowers_the_highest_feed(shop: Workshop, data: CuttingData, cutters: Cutters) -> None:
    """The feed window is computed for the depth that is really cut."""
    cherry, machine = shop.materials["black_cherry"], shop.machines["medium_router"]
    usual = found(settings(POCKET, cutters["quarter"], cherry, machine, data))
    deep = found(settings(POCKET, cutters["quarter"], cherry, machine, data, RequestedSettings(depth_per_pass=9)))
    assert deep.feed.high < usual.feed.high
    assert deep.passes == 2
    assert TroubleCode.OUTSIDE in {note.trouble for note in deep.notes}


def test_long_thin_cutters_are_flagged(shop: Workshop, data: CuttingData, cutters: Cutters) -> None:
    """A 3.175 mm shank sticking out six diameters is said to tend to chatter, with the figure."""
    cut = Cut(Work.PROFILE, 6.5, length=500)
    got = found(
        settings(
            cut,
            replace(cutters["slim"], stick_out=19.05),
            shop.materials["birch_plywood"],
            shop.machines["heavy_router"],
            data,
        )
    )
    assert next(str(note.message) for note in got.notes if note.trouble is TroubleCode.CHATTER).startswith(
        "Chatter risk: the"
    )


def test_pushing_in_is_advised_only_where_it_is_possible(shop: Workshop, data: CuttingData, cutters: Cutters) -> None:
    """A slim cutter that sticks out as little as the cut allows can only be a shorter or thicker one."""
    wood, machine, cut = (
        shop.materials["birch_plywood"],
        shop.machines["heavy_router"],
        Cut(Work.PROFILE, 6.5, length=500),
    )
    slim = CutterGeometry(CutterKind.UP_CUT, 3.175, 22, 3.175, 45, 2)
    for cutter, advised in ((slim, False), (replace(slim, stick_out=30.0), True)):
        notes = [
            note
            for note in found(settings(cut, cutter, wood, machine, data)).notes
            if note.trouble is TroubleCode.CHATTER
        ]
        assert ["push" in " ".join(map(str, note.remedies)) for note in notes] == [advised]


def test_a_usual_surfacing_bit_is_no_warning(shop: Workshop, data: CuttingData, cutters: Cutters) -> None:
    """Of 1 in and 1 1/2 in on a hobby router, skimming a board of cherry."""
    for size in (25.4, 38.1):
        bit = replace(cutters["surfacing"], diameter=size)
        cut, wood = Cut(Work.SURFACING, 0.5), shop.materials["black_cherry"]
        assert found(settings(cut, bit, wood, shop.machines["medium_router"], data)).notes == ()


def test_a_plain_end_mill_pushed_in_to_its_flutes_is_not_flagged(shop: Workshop, data: CuttingData) -> None:
    """1/4 in, 1 in of flutes, 2 1/2 in long: 25.4 + 2 mm show, 4.3 diameters; common practice, no source."""
    quarter = CutterGeometry(CutterKind.UP_CUT, 6.35, 25.4, 6.35, 63.5, 2)
    cut = Cut(Work.PROFILE, 19.5, length=900)
    got = found(settings(cut, quarter, shop.materials["sugar_maple"], shop.machines["medium_router"], data))
    assert got.stick_out == pytest.approx(27.4)
    assert [note.message for note in got.notes] == []


def test_wanted_cusp_sets_the_stepover(shop: Workshop, data: CuttingData, cutters: Cutters) -> None:
    """Ball of 6 mm, cusp 0.01 mm: stepover 0.4895 mm by the exact formula, and the cusp printed is the one wanted."""
    cut = Cut(Work.DISH, 0.3, finishing=True, reach=4, cusp=0.01)
    got = found(settings(cut, cutters["ball"], shop.materials["black_cherry"], shop.machines["medium_router"], data))
    assert got.stepover is not None
    assert got.stepover.start == pytest.approx(0.4895, abs=1e-4)
    assert got.cusp == pytest.approx(0.01)


def test_every_line_of_the_calculation_has_a_source(shop: Workshop, data: CuttingData, cutters: Cutters) -> None:
    """Formula and source of each line, the force of a tooth among them."""
    got = found(
        settings(POCKET, cutters["quarter"], shop.materials["black_cherry"], shop.machines["medium_router"], data)
    )
    for line in got.trail.lines:
        assert line.source
        assert line.formula
    assert "kc * edge * h" in {line.formula for line in got.trail.lines}
    assert len(got.trail.lines) > 20


def test_stiffer_classes_are_told_apart_by_force(shop: Workshop, data: CuttingData, cutters: Cutters) -> None:
    """The three light classes share a tier; a class that a plugin adds falls into place by its force."""
    wood, tables = shop.materials["sugar_maple"], tables_of(data)
    found = [
        computed(POCKET, cutters["quarter"], wood, shop.machines[key], data, tables, RequestedSettings())
        for key in CLASSES
    ]
    tiers = [(values.light, values.rigid) for values in found if isinstance(values, Values)]
    assert tiers == [(True, False)] * 3 + [(False, False), (False, True)]


SHOP, DATA = load_workshop(), cutting_data()
MATERIALS = st.sampled_from(sorted(SHOP.materials))
MACHINES = st.sampled_from(CLASSES)
DIAMETERS = st.floats(1.5, 12.7)
QUICK = limits(max_examples=60, deadline=None)


def end_mill(diameter: float, flutes: int = 2, stick_out: float | None = None) -> CutterGeometry:
    return CutterGeometry(
        CutterKind.UP_CUT, diameter, 3 * diameter, 6.35, 3 * diameter + 40, flutes, stick_out=stick_out
    )


def run(
    cut: Cut, cutter: CutterGeometry, material: str, machine: str, wish: RequestedSettings | None = None
) -> CutSettings | NoWindow:
    return settings(cut, cutter, SHOP.materials[material], SHOP.machines[machine], DATA, wish)


CUTS = st.builds(
    Cut,
    work=st.sampled_from([Work.POCKET, Work.PROFILE, Work.GROOVE, Work.FACE]),
    depth=st.floats(0.2, 4.0),
    finishing=st.booleans(),
    side_stock=st.sampled_from([0.0, 0.3]),
    length=st.sampled_from([None, 400.0]),
)


@QUICK
@given(CUTS, DIAMETERS, st.integers(1, 4), MATERIALS, MACHINES)
def test_start_values_satisfy_every_limit_and_high_values_sit_on_one(
    cut: Cut, diameter: float, flutes: int, material: str, machine: str
) -> None:
    """Closure: low <= start <= high, the high end is a limit's own value, and depth and feed may be high together."""
    got = run(cut, end_mill(diameter, flutes), material, machine)
    if isinstance(got, NoWindow):
        assert all(problem.message for problem in got.problems)
        return
    for window in got.windows:
        assert window.low * (1 - 1e-9) <= window.start <= window.high * (1 + 1e-6), window.quantity
        assert window.high == min(limit.value for limit in window.highs)
        assert window.high_limit in window.highs
        assert window.low == max(limit.value for limit in window.lows)
    at_once = RequestedSettings(feed=got.feed.high, depth_per_pass=got.depth_per_pass.high, speed=got.speed.start)
    extreme = found(run(cut, end_mill(diameter, flutes), material, machine, at_once))
    assert extreme.loads.side_force <= SHOP.machines[machine].force_limit * (1 + 1e-6)
    assert extreme.loads.power <= SHOP.machines[machine].cutter_power.low * (1 + 1e-6)


@QUICK
@given(CUTS, DIAMETERS, MATERIALS, MACHINES, st.floats(1.01, 2.0))
def test_denser_wood_never_raises_the_feed(
    cut: Cut, diameter: float, material: str, machine: str, factor: float
) -> None:
    """Same wood, only heavier: start and highest feed do not rise, nor does the depth."""
    light = SHOP.materials[material]
    heavy = replace(light, density=Fact(light.density.value * factor, "derived"))
    first, second = (settings(cut, end_mill(diameter), wood, SHOP.machines[machine], DATA) for wood in (light, heavy))
    if isinstance(first, NoWindow):
        assert isinstance(second, NoWindow)
    elif isinstance(second, CutSettings):
        assert second.feed.start <= first.feed.start
        assert second.depth_per_pass.high <= first.depth_per_pass.high * (1 + 1e-6)


@QUICK
@given(CUTS, DIAMETERS, st.integers(1, 3), MATERIALS, MACHINES)
def test_more_flutes_raise_the_feed_until_another_limit_rules(
    cut: Cut, diameter: float, flutes: int, material: str, machine: str
) -> None:
    """At equal speed one flute more means a higher start feed, unless machine or load hold it."""
    wish = RequestedSettings(speed=12_000)
    first, second = (run(cut, end_mill(diameter, z), material, machine, wish) for z in (flutes, flutes + 1))
    if isinstance(first, NoWindow) or isinstance(second, NoWindow):
        return
    chip_rules = second.feed.start_reason.endswith("for this class")
    assert not chip_rules or second.feed.start > first.feed.start or not first.feed.start_reason.endswith("this class")
    assert second.feed.low > first.feed.low * 0.999


@QUICK
@given(CUTS, DIAMETERS, MATERIALS)
def test_weaker_classes_never_get_deeper_passes(cut: Cut, diameter: float, material: str) -> None:
    """From the weakest to the strongest class the depth window never shrinks."""
    depths = [
        got.depth_per_pass.high
        for key in CLASSES
        if isinstance(got := run(cut, end_mill(diameter), material, key), CutSettings)
    ]
    assert all(weak <= strong * (1 + 1e-6) for weak, strong in pairwise(depths))


@QUICK
@given(DIAMETERS, MATERIALS, MACHINES, st.floats(12, 45))
def test_half_the_stick_out_never_bends_more(diameter: float, material: str, machine: str, length: float) -> None:
    """At the same settings a cutter pushed in to half its projection bends no more, and its feed is no lower."""
    cut = Cut(Work.PROFILE, 1.0, length=400)
    far, near = (run(cut, end_mill(diameter, 2, out), material, machine) for out in (length, length / 2))
    if isinstance(far, CutSettings):
        near = found(near)
        assert near.loads.deflection / near.loads.side_force <= far.loads.deflection / far.loads.side_force
        assert near.feed.start >= far.feed.start
        assert near.depth_per_pass.high >= far.depth_per_pass.high * (1 - 1e-6)


@QUICK
@given(st.sampled_from([1 / 16, 1 / 8, 3 / 16, 1 / 4, 3 / 8, 1 / 2]), MATERIALS, MACHINES)
def test_inch_sizes_give_the_same_settings_as_their_millimetres(inches: float, material: str, machine: str) -> None:
    """A size read as inches and one typed in mm to four places differ by rounding only."""
    cut = Cut(Work.PROFILE, 3.0, length=400)
    exact = run(cut, end_mill(inches * 25.4), material, machine)
    typed = run(cut, end_mill(round(inches * 25.4, 4)), material, machine)
    if isinstance(exact, CutSettings):
        typed = found(typed)
        assert typed.feed.start == pytest.approx(exact.feed.start, abs=11)
        assert typed.feed.high == pytest.approx(exact.feed.high, rel=1e-3)
        assert typed.depth_per_pass.high == pytest.approx(exact.depth_per_pass.high, rel=1e-3)


def test_class_of_a_plugin_gets_settings_of_its_own(shop: Workshop, data: CuttingData, cutters: Cutters) -> None:
    """Halving what a class bears and feeds halves nothing by name: only the figures of the record count."""
    strong = shop.machines["medium_router"]
    weak: MachineClass = machine_from_mapping("own", {"like": strong.key, "force_limit": 25, "feed_limit": 1200})
    first, second = (
        found(settings(POCKET, cutters["quarter"], shop.materials["black_cherry"], machine, data))
        for machine in (strong, weak)
    )
    assert second.feed.start < first.feed.start
    assert second.depth_per_pass.high < first.depth_per_pass.high


def test_a_wall_and_a_skim_of_the_floor_are_two_cuts(shop: Workshop, data: CuttingData, cutters: Cutters) -> None:
    """0.3 mm left on floor and walls of a pocket 15 mm deep: the wall pushes harder than the skim of the floor."""
    maple, machine = shop.materials["sugar_maple"], shop.machines["medium_router"]
    floor = found(settings(Cut(Work.POCKET, 0.3, True, 15, length=300), cutters["quarter"], maple, machine, data))
    wall = found(settings(Cut(Work.POCKET, 15, True, 15, 0.3), cutters["quarter"], maple, machine, data))
    assert wall.loads.side_force > 3 * floor.loads.side_force
    assert wall.feed.high < floor.feed.high
    assert wall.loads.side_force <= machine.force_limit
    assert wall.stepover is None and floor.stepover is not None


@pytest.mark.parametrize("work", [Work.POCKET, Work.DISH])
@pytest.mark.parametrize("machine", ["extra_light_router", "light_router", "medium_router"])
def test_a_wall_that_is_too_high_for_one_pass_takes_several(
    shop: Workshop, data: CuttingData, cutters: Cutters, work: Work, machine: str
) -> None:
    """18 mm of wall with the stock that is left by default: no class refuses it."""
    cut = Cut(work, 12, finishing=True, reach=12, side_stock=0.3, open_entry=True)
    assert found(settings(cut, cutters["quarter"], shop.materials["sugar_maple"], shop.machines[machine], data)).passes


def test_a_skim_with_a_round_is_fed_faster_than_roughing(shop: Workshop, data: CuttingData, cutters: Cutters) -> None:
    """The thickest chip of a round that is 0.15 mm deep is a fraction of the feed per tooth (circle of the round)."""
    maple, machine = shop.materials["sugar_maple"], shop.machines["medium_router"]
    skim = found(settings(Cut(Work.DISH, 0.15, True, 8), cutters["bowl"], maple, machine, data))
    rough = found(settings(Cut(Work.DISH, 8, length=400), cutters["bowl"], maple, machine, data))
    assert 1.5 * rough.feed.start < skim.feed.start <= 2.1 * rough.feed.start
