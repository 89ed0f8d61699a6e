"""The hole that shows after turning whether a piece lies right: in the waste, clear of all, the same on both faces."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest
from kit_samples import Sample, sample
from shapely import Point, affinity

from kitforge.model.kit import Face
from kitforge.model.pack import BuildOptions
from kitforge.model.plan import PlannedSetup, TurningHole
from kitforge.planning.areas import filled
from kitforge.planning.layers import pack_drawings, step_layers
from kitforge.planning.turning_hole import AWAY, turning_hole
from kitforge_sheet.sheet import settings_sheet
from kitforge_sheet.table import settings_table


def pair(made: Sample) -> tuple[PlannedSetup, PlannedSetup] | None:
    """The first piece that is turned over, if there is one."""
    setups = made.plan.setups
    return next(((a, b) for a, b in itertools.pairwise(setups) if a.same_piece(b)), None)


def on_sheet(hole: TurningHole, first: PlannedSetup) -> Point:
    x, y = hole.first
    return Point(x if first.face is Face.TOP else first.stock.length - x, y)


@pytest.mark.law
def test_the_hole_lies_in_waste_and_is_found_again_on_the_other_face(any_kit: Sample) -> None:
    found = pair(any_kit)
    if found is None:
        return
    first, second = found
    hole = turning_hole(any_kit.kit, any_kit.plan.steps, first, second, lambda _hole: True)
    if hole is None:
        return
    assert hole.second == (first.stock.length - hole.first[0], hole.first[1])
    spot, radius = on_sheet(hole, first), hole.step.cutter.radius
    for setup in found:
        for place in (place for sheet in setup.sheets for place in sheet.placements):
            outline = affinity.translate(filled([any_kit.kit.part(place.part).outline]), place.x, place.y)
            assert outline.distance(spot) >= radius + AWAY
        for key in setup.steps:
            swept = any_kit.plan.step(key).swept
            runs = [run for sheet in setup.sheets for run in sheet.runs(any_kit.plan.step(key))]
            assert swept is None or all(
                affinity.translate(swept, run.x, run.y).distance(spot) >= radius for run in runs
            )
        assert all(spot.distance(Point(one.x, one.y)) >= one.keep_out + radius for one in setup.fasteners)


def test_a_kit_with_two_faces_drills_it_with_a_cutter_of_its_first_face_that_reaches_through() -> None:
    made = sample("bedside-lamp")
    found = pair(made)
    assert found is not None
    hole = turning_hole(made.kit, made.plan.steps, *found, lambda _hole: True)
    assert hole is not None
    assert hole.step.cutter in {made.plan.step(key).cutter for key in found[0].steps}
    assert hole.step.wood < hole.step.depth <= hole.step.cutter.cutting_length


def test_the_hole_is_planned_like_a_step_with_settings_time_layer_and_rows() -> None:
    """It comes after the step that lends its cutter, and is on the sheet, in the table and in the drawing."""
    made = sample("bedside-lamp")
    plan, (hole,) = made.plan, made.plan.turning
    order = [step.key for step in plan.steps_and_holes]
    (lender,) = [step for step in plan.steps if step.number == hole.step.number]
    assert order.index(hole.step.key) == order.index(lender.key) + 1
    for machine in plan.machines:
        own = machine.turning[hole.step.key]
        without = replace(machine, turning={})
        assert machine.machine_seconds[1] == pytest.approx(without.machine_seconds[1] + own.seconds[1])
    drawn = {drawing.name: drawing for drawing in pack_drawings(plan, made.kit.parts)}
    (place,) = step_layers(plan, hole.step)
    (ring,) = drawn[place.drawing].layers[place.layer]
    assert ring.bounds.centre == pytest.approx(hole.first)
    assert ring.bounds.width == pytest.approx(hole.step.cutter.diameter)
    table = settings_table(plan, plan.machines).decode()
    assert f",{hole.step.key}," in table
    assert f",{place.drawing}.dxf,{place.layer},speed," in table
    pages = settings_sheet(made.kit, plan, BuildOptions()).pages
    assert all(any(row.title.startswith("Check hole, after step") for row in page.rows) for page in pages)
