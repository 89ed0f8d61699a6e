"""What keeps a freed piece limits the depth per pass, and what a step offers its cutter is judged place by place."""

from __future__ import annotations

from dataclasses import replace

import pytest
from builders import cutter, freed, groove, hole, kit, outside, part, pocket, rounded, setup
from shapely import Polygon, box

from kitforge.geometry.shapes import circle, polyline, rectangle
from kitforge.model.kit import CutterKind, Face, Kit, OnionSkin, Tabs
from kitforge.model.path import Path
from kitforge.model.plan import Plan
from kitforge.model.settings import CutSettings
from kitforge.model.steps import Phase, Step, StepSettings
from kitforge.plugins import load_plugins
from kitforge.stages.planning import plan


def planned(*parts: object, **more: object) -> Plan:
    return plan(made(*parts, **more), load_plugins())


def made(*parts: object, **more: object) -> Kit:
    return kit(*parts, setups=(setup(Face.TOP, ("screws",)),), **more)  # type: ignore[arg-type]


def last(found: Plan) -> tuple[Step, StepSettings]:
    step = found.steps[-1]
    return step, found.machines[0].settings[step.key]


def held_by(hold: Tabs | OnionSkin) -> tuple[Step, StepSettings]:
    shape = rounded(0, 0, 200, 150)
    return last(planned(part(outside(shape, cutter(6.0), hold), outline=shape)))


def test_a_thin_skin_makes_the_passes_shallower() -> None:
    """A skin too weak for a full pass: the depth yields until the lift stays within what the skin bears.

    By hand: the veneer of the two ends, where its grain runs over the kerf of 6 mm: f w t2 / 3 L, factor 2.
    """
    strong_step, strong = held_by(OnionSkin(0.5))
    _step, weak = held_by(OnionSkin(0.12))
    assert weak.depth_per_pass.high_limit.reason == "piece held"
    assert weak.passes > strong.passes
    assert strong.depth_per_pass.high_limit.reason != "piece held"
    assert weak.most_lift <= 85.0 * 2 * 150 * 0.12**2 / (3 * 6.0) / 2 * (1 + 1e-9)
    assert strong_step.phase is Phase.FREEING


def test_few_weak_tabs_of_the_author_make_the_passes_shallower() -> None:
    """Two small tabs in one veneer bear next to nothing: shallower; with twelve the class's own rule holds."""
    _step, few = held_by(Tabs(2, 4.0, 1.0))
    _step, many = held_by(Tabs(12, 8.0, 3.0))
    assert few.depth_per_pass.high_limit.reason == "piece held"
    assert many.depth_per_pass.high_limit.reason != "piece held"


def test_tabs_of_an_open_number_are_added_before_the_depth_yields() -> None:
    """The same small tabs, number left to the plan: more tabs, full passes, and the piece holds."""
    found = planned(part(outside(rounded(0, 0, 200, 150), cutter(6.0), Tabs(None, 6.0, 3.0))))
    step, settings = last(found)
    assert settings.depth_per_pass.high_limit.reason != "piece held"
    assert found.machines[0].holding["sheet", 1, "top"][-1].holds
    assert len(step.tabs) > 3


def test_nothing_that_keeps_a_piece_is_no_limit() -> None:
    """No depth is shallow enough for a piece that lies loose; the check of the hold-downs says so."""
    bare = freed()
    bare = replace(bare, operations=tuple(replace(one, hold=None) for one in bare.operations))
    found = made(bare)
    step = plan(found, load_plugins()).steps[-1]
    assert step.geometry is not None
    assert step.geometry.retention is None


def test_plugs_are_held_by_their_own_tabs() -> None:
    """Two holes with two tabs each: each plug has two, not four."""
    holes = replace(hole(60, 75, 40), shapes=(circle((50, 75), 40), circle((140, 75), 40)), hold=Tabs(2, 8.0, 3.0))
    found = planned(part(holes))
    step = found.steps[0]
    assert len(step.tabs) == 4
    assert found.machines[0].holding["sheet", 1, "top"][-1].text.startswith("2 in all")


def room(step_part: object) -> tuple[float | None, float | None, int, bool]:
    geometry = planned(step_part).steps[0].geometry
    assert geometry is not None
    found = geometry.room
    return found.width, found.length, geometry.visits.places, found.inside_corners


def dumbbell(neck: float) -> Path:
    """Return two rooms of 40 x 40 and 60 x 60 mm joined by a neck."""
    shape = box(10, 55, 50, 95).union(box(50, 75 - neck / 2, 80, 75 + neck / 2)).union(box(80, 45, 140, 105))
    assert isinstance(shape, Polygon)
    return polyline([(x, y) for x, y in shape.exterior.coords][:-1], closed=True)


def test_a_neck_narrower_than_the_cutter_makes_two_places() -> None:
    """The smaller room decides whether the cutter finds a way down; with a wider neck it is one place."""
    tool = cutter(8.0, CutterKind.UP_CUT, centre_cutting=False)
    width, length, entries, _corners = room(part(pocket(dumbbell(5.0), tool=tool)))
    assert entries == 2
    assert width == pytest.approx(40.0, abs=0.2)
    assert length == pytest.approx(4 * 32, rel=0.02)
    width, length, entries, _corners = room(part(pocket(dumbbell(12.0), tool=tool)))
    assert entries == 1
    assert width == pytest.approx(60.0, abs=0.2)


def test_only_bulging_outsides_have_no_inside_corners() -> None:
    """A rounded plate has none, an L has one, and every pocket has them."""
    ell = polyline([(0, 0), (200, 0), (200, 60), (80, 60), (80, 150), (0, 150)], closed=True)
    assert not room(part(outside(rounded(0, 0, 200, 150))))[3]
    assert room(part(outside(ell), outline=ell))[3]
    assert room(part(pocket(rectangle((60, 40), at=(20, 20)))))[3]


def test_the_shortest_groove_decides_about_the_ramp() -> None:
    """Two grooves of 30 and 120 mm."""
    lines = [polyline([(20, y), (20 + long, y)]) for y, long in ((40, 30), (80, 120))]
    assert room(part(groove(*lines)))[1] == pytest.approx(30)


def test_the_detail_of_a_limited_step_shows_the_holding() -> None:
    """The calculation of the skin stands among the lines."""
    _step, weak = held_by(OnionSkin(0.12))
    assert isinstance(weak.detail, CutSettings)
    assert any("onion skin" in line.what for line in weak.detail.trail.lines)
