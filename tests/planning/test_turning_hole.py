"""The hole that shows after turning whether a piece lies right: in the waste, clear of all, the same on both faces."""

from __future__ import annotations

import itertools

import pytest
from kit_samples import Sample, sample
from shapely import Point, affinity

from kitforge.model.kit import Face
from kitforge.model.plan import PlannedSetup
from kitforge.planning.areas import filled
from kitforge.planning.turning_hole import AWAY, TurningHole, turning_hole


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
    hole = turning_hole(any_kit.kit, any_kit.plan, first, second)
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
    hole = turning_hole(made.kit, made.plan, *found)
    assert hole is not None
    assert hole.step.key in found[0].steps
    assert hole.step.wood < hole.depth <= hole.step.cutter.cutting_length
