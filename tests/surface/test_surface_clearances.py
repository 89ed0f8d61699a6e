"""Room beside and under the cutter on the simulated surface, each against a figure worked out by hand."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from surface_builders import BOWL, V60, cutter, kit, on_a_class, operation, outside, part, steps

from kitforge.geometry.shapes import polyline, rectangle
from kitforge.model.findings import Finding, Severity
from kitforge.model.kit import (
    Cutter,
    CutterKind,
    Face,
    OnionSkin,
    Operation,
    OperationKind,
    Part,
    PassOptions,
    Side,
    Tabs,
)
from kitforge.surface.checks import MeasuredPlace, below_stock, broken_through
from kitforge.surface.clearances import (
    deeper_than_needed,
    is_last_through,
    left_underneath,
    nut_clearance,
    reaches_underside,
    shank_touches,
    width_underneath,
)
from kitforge.surface.cutter_shape import full_width_height, rise
from kitforge.surface.heightmap import SurfaceState, simulate
from kitforge_surface import kitforge_check

DRILL = cutter(6, CutterKind.DRILL, angle=118.0)
POINT = 3 / math.tan(math.radians(59))


def states_of(made: Part, cell: float = 0.25) -> list[SurfaceState]:
    return list(simulate(made, steps(made), cell=cell))


def findings_of(made: Part, stick_out: float = 40.0, nut: float = 19.0) -> list[Finding]:
    return list(kitforge_check(kit(made), on_a_class(steps(made), stick_out, nut)))


def codes_of(made: Part, stick_out: float = 40.0) -> list[str]:
    return [finding.code for finding in findings_of(made, stick_out)]


def square(size: float, depth: float, tool: Cutter | None = None, **more: object) -> Operation:
    return operation(OperationKind.POCKET, [rectangle((size, size), centre=(50, 40))], depth, tool, **more)


def holes(*points: tuple[float, float], tool: Cutter = DRILL, allowance: float = 0.5, **more: object) -> Operation:
    return operation(OperationKind.DRILL, (), 18.0, tool, points=points, through=True, allowance=allowance, **more)


def stepped(length: float = 8.0, shank: float = 6.0) -> Cutter:
    return replace(cutter(3), shank=shank, cutting_length=length)


def contact(*operations: Operation) -> MeasuredPlace | None:
    return shank_touches(states_of(part(*operations))[-1])


@pytest.mark.parametrize(
    ("tool", "meets"),
    [
        (stepped(8.0), 4.0),
        (stepped(11.5), 0.5),
        (stepped(13.0), None),
        (stepped(12.0), None),
        (stepped(8.0, shank=3.0), 4.0),
        (replace(cutter(6), shank=6.35, cutting_length=10.0), 2.0),
    ],
    ids=["wide", "just", "longer edges", "edges as deep", "shank as wide", "shank a little wider"],
)
def test_shank_meets_the_wall_where_the_tip_is_deeper_than_the_edges(tool: Cutter, meets: float | None) -> None:
    """In a pocket 12 mm deep the shank of a cutter with edges of L mm is 12 - L mm below the face, at the wall."""
    found = contact(square(20, 12.0, tool))
    assert meets == (None if found is None else pytest.approx(found.amount, abs=1e-4))
    if found is not None:
        aside = max(abs(found.at[0] - 50), abs(found.at[1] - 40))
        assert 10 <= aside <= 10 + max(0.0, tool.shank / 2 - tool.radius) + 0.25 + 0.125


@pytest.mark.parametrize(("width", "touches"), [(30.0, False), (24.0, False), (22.0, True), (14.0, True)])
def test_shank_has_room_where_the_wood_around_was_cut_down(width: float, touches: bool) -> None:
    """A 12 mm pocket inside one of W mm: the shank, 1.5 mm wider on each side, needs W > 20 + 3 mm down to its end."""
    found = contact(square(width, 8.0), square(20, 12.0, stepped(8.0)))
    assert touches == (found is not None)


@settings(max_examples=12, deadline=None)
@given(before=st.floats(0.5, 9.0), depth=st.floats(9.5, 16.0), length=st.floats(3.0, 17.0))
def test_shank_meets_what_stands_higher_than_its_end(before: float, depth: float, length: float) -> None:
    """In the floor of a wide pocket the shank is (depth - length) - before below the wood: the closed form."""
    found = contact(square(40, before), square(16, depth, stepped(length)))
    meets = depth - length - before
    if abs(meets) > 0.01:
        assert (meets > 0) == (found is not None)
    if found is not None and meets > 0.01:
        assert pytest.approx(found.amount, abs=2e-3) == meets


def test_a_thicker_shank_at_a_wall_is_an_error_and_one_as_thick_a_warning() -> None:
    """Told with place and depth, once for an operation; edges long enough, or a wide hollow around, need nothing."""
    (error,) = findings_of(part(square(20, 12.0, stepped(8.0))))
    assert (error.code, error.severity) == ("shank-rubs", Severity.ERROR)
    assert "12 mm deep" in str(error.message)
    assert "8 mm long" in str(error.message)
    assert "shank of 6 mm is 4 mm below the wood" in str(error.message)
    assert "at least 12 mm of cutting length" in str(error.advice)
    assert error.at is not None
    same = replace(cutter(6), cutting_length=10.0)
    both = square(20, 12.0, same, roughing=PassOptions(same, leave_walls=0.3, leave_floor=0.5))
    (warning,) = findings_of(part(both))
    assert (warning.code, warning.severity) == ("beyond-cutting-length", Severity.WARNING)
    assert codes_of(part(square(20, 12.0, stepped(12.0)))) == []
    assert codes_of(part(square(40, 8.0), square(20, 12.0, stepped(8.0)))) == []


def test_a_drill_deeper_than_its_flutes_is_an_error() -> None:
    """Its chips cannot get out past the shank."""
    drill = replace(DRILL, cutting_length=15.0)
    assert codes_of(part(holes((50, 40), tool=drill, allowance=2.4))) == ["shank-rubs"]


def test_a_cutter_that_does_not_reach_at_all_is_told_elsewhere() -> None:
    """A shank of 6 mm needs 12 mm in the collet: with 20 mm overall that is the one mistake."""
    assert codes_of(part(square(20, 12.0, replace(stepped(8.0), overall_length=20.0)))) == []


def test_shank_has_room_where_the_other_face_took_the_wood() -> None:
    """A hole cut through from below first leaves nothing for the shank to touch; its frame stands further off."""
    first = replace(square(30, 18.0), through=True, allowance=0.3, face=Face.BOTTOM)
    assert None is contact(first, square(16, 12.0, stepped(8.0)))
    assert None is not contact(square(16, 12.0, stepped(8.0)))


def test_shank_stays_out_of_a_cut_over_tabs_and_skins() -> None:
    """With an onion skin of 8 mm an 18 mm cut is only 10 mm deep, so edges of 10 mm are long enough."""
    cut = outside(rectangle((100, 80)), stepped(10.0), hold=OnionSkin(8.0))
    assert None is contact(cut)
    assert None is not contact(replace(cut, hold=OnionSkin(4.0)))


@pytest.mark.parametrize(("stick_out", "room"), [(13.9, 1.9), (12.0, 0.0), (11.0, -1.0), (14.0, None)])
def test_room_under_the_nut_is_the_stick_out_less_the_depth(stick_out: float, room: float | None) -> None:
    """Beside a pocket 12 mm deep the nut is stick-out - 12 mm over the face."""
    found = nut_clearance(states_of(part(square(40, 12.0)))[0], stick_out, 19.0, 2.0)
    assert room == (None if found is None else pytest.approx(found.amount, abs=1e-4))


@pytest.mark.parametrize(("width", "room"), [(44.0, None), (30.0, 0.5)])
def test_nut_has_room_in_a_wide_hollow(width: float, room: float | None) -> None:
    """A nut of 19 mm goes 6.5 mm beyond the wall that a 6 mm cutter leaves: a hollow of 20 + 13 mm lets it down."""
    found = nut_clearance(states_of(part(square(width, 6.0), square(20, 12.0)))[1], 12.5, 19.0, 2.0)
    assert room == (None if found is None else pytest.approx(found.amount, abs=1e-4))


def test_nut_near_the_wood_is_a_warning_and_on_it_an_error() -> None:
    """With 1.5 mm of room a warning, with 0.3 mm an error, with 2.1 mm nothing; the finding says where and how much."""
    made = part(square(40, 12.0))
    (warning,) = findings_of(made, 13.5)
    (error,) = findings_of(made, 12.3)
    assert (warning.code, error.code) == ("nut-near-wood", "nut-near-wood")
    assert (warning.severity, error.severity) == (Severity.WARNING, Severity.ERROR)
    assert "13.5 mm out of the collet" in str(warning.message)
    assert "is 1.5 mm over the wood" in str(warning.message)
    assert warning.at is not None
    assert "at least 70.5 mm long" in str(warning.advice)
    assert findings_of(made, 14.1) == []


@pytest.mark.parametrize(
    ("tool", "height"),
    [(DRILL, POINT), (V60, 6.35 / math.tan(math.radians(30))), (replace(V60, tip=2.7), 5 / math.tan(math.radians(30))),
     (cutter(6, CutterKind.BALL_NOSE), 3.0), (BOWL, 6.35), (cutter(6), 0.0), (cutter(6, corner_radius=1.0), 1.0)],
)  # fmt: skip
def test_full_width_is_so_far_above_the_tip(tool: Cutter, height: float) -> None:
    """A point is r / tan(angle / 2) long, a ball nose as long as its radius; it is the rise at the rim."""
    import numpy as np

    assert height == pytest.approx(full_width_height(tool))
    assert full_width_height(tool) == pytest.approx(
        float(rise(tool, np.array([tool.radius], dtype=np.float32))[0]), abs=5e-3
    )


def test_a_point_that_does_not_come_out_whole_leaves_a_ring() -> None:
    """0.5 mm below the stock a 118° point is 1.66 mm wide: a ring up to the point's length less 0.5 mm high stays."""
    (step,) = steps(part(holes((50, 40))))
    assert 2 * 0.5 * math.tan(math.radians(59)) == pytest.approx(width_underneath(step))
    found = left_underneath(states_of(part(holes((50, 40))), 0.1)[0])
    assert found is not None
    assert pytest.approx(found.amount, abs=0.05) == POINT - 0.5
    assert math.pi * (9 - 0.83**2) == pytest.approx(found.area, rel=0.05)


@pytest.mark.parametrize(
    ("bad", "good"),
    [
        (holes((50, 40), allowance=0.5), holes((50, 40), allowance=POINT + 0.2)),
        (holes((50, 40), tool=cutter(6, CutterKind.BALL_NOSE)), holes((50, 40), tool=cutter(6))),
        (holes((50, 40), tool=replace(V60, diameter=6.0), allowance=1.0), holes((50, 40), tool=DRILL, allowance=2.0)),
        (outside(rectangle((100, 80)), cutter(6, corner_radius=2.0)),
         outside(rectangle((100, 80)), cutter(6, corner_radius=0.3))),
    ],
    ids=["drill", "ball nose", "V-bit", "rounded corner"],
)  # fmt: skip
def test_through_cut_that_narrows_towards_the_underside(bad: Operation, good: Operation) -> None:
    """Exactly this finding, with the place and what would do; a cutter that comes out whole has none."""
    (finding,) = findings_of(part(bad))
    assert (finding.code, finding.severity) == ("through-tapers", Severity.WARNING)
    assert finding.at is not None
    assert codes_of(part(good)) == []


def test_a_taper_is_told_in_millimetres_with_what_would_do() -> None:
    """6 mm drill, 0.5 mm allowance: 1.66 mm wide underneath; the point of 1.8 mm and the usual 0.5 mm would do."""
    (finding,) = findings_of(part(holes((50, 40))))
    assert "1.66 mm wide, not 6 mm" in str(finding.message)
    assert str(finding.advice) == "Write through_allowance: 2.4 mm."
    (v_bit,) = findings_of(part(holes((50, 40), tool=V60)))
    assert str(v_bit.advice) == "Use a cutter with a flat end."


def test_a_point_into_a_recess_of_the_other_face_needs_no_allowance() -> None:
    """A hole into a pocket of the other face comes out there: neither its short way nor its point matters."""
    recess = square(20, 6.0, face=Face.BOTTOM)
    assert codes_of(part(recess, holes((50, 40), allowance=0.0))) == []
    assert codes_of(part(recess, holes((50, 40), allowance=0.5))) == []
    assert codes_of(part(recess, holes((20, 40), allowance=0.0))) == ["through-shallow"]
    deep, beside = (states_of(part(recess, holes(at, allowance=0.0)))[1] for at in ((50, 40), (20, 40)))
    assert (reaches_underside(deep), reaches_underside(beside)) == (False, True)


@pytest.mark.parametrize(
    ("tool", "severity"),
    [(cutter(6), Severity.WARNING), (cutter(6, corner_radius=1.0), Severity.WARNING),
     (cutter(6, CutterKind.BALL_NOSE), Severity.ERROR), (V60, Severity.ERROR)],
)  # fmt: skip
def test_through_cut_that_ends_at_the_underside(tool: Cutter, severity: Severity) -> None:
    """Without an allowance a flat cutter may leave a skin; a rounded or pointed one does not free the part at all."""
    cut = outside(rectangle((100, 80)), tool, allowance=0.0, hold=Tabs(4, 8.0, 3.0))
    (finding,) = findings_of(part(cut))
    assert ("through-shallow", severity) == (finding.code, finding.severity)
    assert codes_of(part(outside(rectangle((100, 80)), allowance=0.2, hold=Tabs(4, 8.0, 3.0)))) == []
    assert codes_of(part(replace(cut, hold=OnionSkin(0.3)))) == []


@pytest.mark.parametrize(
    ("tool", "allowance", "beyond"),
    [(cutter(6), 2.1, 2.1), (cutter(6), 2.0, None), (DRILL, POINT + 2.1, 2.1), (DRILL, POINT + 1.9, None)],
)
def test_through_cut_far_into_the_spoilboard(tool: Cutter, allowance: float, beyond: float | None) -> None:
    """More than 2 mm beyond what brings the whole cutter out is for nothing; told where it goes in."""
    made = part(holes((50, 40), tool=tool, allowance=allowance))
    expected = [] if beyond is None else [("spoilboard-deep", (50, 40))]
    assert expected == [(finding.code, finding.at) for finding in findings_of(made)]
    (step,) = steps(made)
    assert allowance - full_width_height(tool) == pytest.approx(deeper_than_needed(step))


def test_only_the_last_pass_of_a_through_cut_matters() -> None:
    """A roughing pass with a ball nose may leave what it likes."""
    rough = PassOptions(cutter(6, CutterKind.BALL_NOSE), leave_walls=0.3)
    made = part(outside(rectangle((100, 80)), roughing=rough, hold=Tabs(4, 8.0, 3.0)))
    assert [is_last_through(step) for step in steps(made)] == [False, True]
    assert codes_of(made) == []


def test_edge_or_face_cut_deeper_than_the_stock() -> None:
    """A chamfer of 19 mm depth in stock of 18 mm goes into the spoilboard, one of 17 mm does not."""
    line = [rectangle((40, 30), at=(20, 20))]
    deep, fine = (operation(OperationKind.CHAMFER, line, depth, V60, width=2.0, side=Side.ON) for depth in (19.0, 17.0))
    assert (codes_of(part(deep)), codes_of(part(fine))) == (["below-stock"], [])


def test_a_pocket_as_deep_as_the_stock_does_not_meet_another_face() -> None:
    """That it is too deep is said by the check of the shapes, and said once."""
    made = part(square(30, 18.5))
    assert below_stock(steps(made)[0])
    assert None is broken_through(states_of(made)[0], made)
    assert codes_of(made) == []
    both = part(square(30, 5.0, face=Face.BOTTOM), square(20, 18.5))
    assert codes_of(both) == []


def test_a_groove_deep_enough_for_everything() -> None:
    """A plain shallow groove asks for no map and has no finding, however short the cutter stands out."""
    (state,) = states_of(part(operation(OperationKind.GROOVE, [polyline([(10, 40), (90, 40)])], 3.0)))
    assert None is shank_touches(state)
    assert None is nut_clearance(state, 6.0, 63.0, 2.0)
    assert None is left_underneath(state)
