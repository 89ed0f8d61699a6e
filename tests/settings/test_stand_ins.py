"""Which cutters may stand in for those that a kit names: true to the drawing, within reach and window."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from seed_dishes import Check

from kitforge.cutting.other_cutter import cutter_of, with_cutter
from kitforge.geometry.region import unreachable_area
from kitforge.model.kit import OperationKind, Side
from kitforge.model.settings import CutSettings
from kitforge.pipeline import CheckedKit
from kitforge.planning.areas import filled
from kitforge.planning.stand_ins import StandIn, stand_ins

ROUND = "shapes: [{circle: {centre: [0, 0], diameter: = wide - 2 * rim}}]"
SQUARE = "shapes: [{rectangle: {at: [-30 mm, -30 mm], size: [60 mm, 60 mm]}}]"
ROUNDED = "shapes: [{rectangle: {at: [-30 mm, -30 mm], size: [60 mm, 60 mm], corner_radius: 3.3 mm}}]"
POCKET = ("do: dish, cutter: bowl, depth: deep", "do: pocket, cutter: pocketer, depth: deep")
CUTTER = (
    "  mill: {kind: up-cut",
    "  pocketer: {kind: up-cut, diameter: 6.35 mm, cutting_length: 22 mm, shank: 6.35 mm, overall_length: 60 mm}\n"
    "  mill: {kind: up-cut",
)


def pocketer(check: Check, shape: str) -> StandIn:
    """The cutter of one pocket of this shape; the other hollows stay dishes."""
    roughed = f"{POCKET[0]}, roughing: {{leave_floor: 0.15 mm, leave_walls: 0.15 mm}},\n         {ROUND}"
    return stand_ins(check(CUTTER, (roughed, f"{POCKET[1]},\n         {shape}")).plan)["pocketer"]


def test_a_6_mm_cutter_stands_in_for_a_quarter_inch_one(check: Check) -> None:
    """In a pocket whose square corners the cutter leaves round: R 3 instead of R 3.2; a wider one would leave more."""
    found = pocketer(check, SQUARE)
    assert found.high == 6.35 and found.corners and not found.sets_size
    assert found.takes(6.0, 2, 22.0)
    assert not found.takes(6.5, 2, 22.0)


def test_corners_that_are_rounded_for_it_bound_a_cutter(check: Check) -> None:
    found = pocketer(check, ROUNDED)
    assert found.high == pytest.approx(6.6) and not found.corners


def test_a_round_pocket_takes_a_wider_one(check: Check) -> None:
    assert pocketer(check, ROUND).high == math.floor(6.35 * 1.25 * 10) / 10


def test_a_rounded_floor_takes_no_other_diameter(check: Check) -> None:
    found = stand_ins(check().plan)["bowl"]
    assert found.sets_size and not found.takes(15.0, 2, 14.0)


def test_an_edge_that_is_too_short_or_too_long_is_none(check: Check) -> None:
    """18.5 mm deep: an edge of 17 mm lets the shank rub."""
    found = stand_ins(check().plan)["mill"]
    assert found.edge[0] == pytest.approx(18.5)
    assert found.takes(6.0, 2, 18.5) and not found.takes(6.0, 2, 17.0)
    assert found.edge[1] >= 22.0


def test_what_stands_in_has_settings_everywhere(demo: CheckedKit) -> None:
    """The ends of every range on every class that the kit fits, one at a time and together."""
    for key, found in stand_ins(demo.plan).items():
        ends = [(found.low, found.flutes[0]), (found.high, found.flutes[1]), (found.low, found.cutter.flutes)]
        for machine in demo.plan.machines:
            for step in demo.plan.steps:
                settings = machine.settings.get(step.key)
                if machine.fits and step.cutter.key == key and settings is not None and settings.detail is not None:
                    own = cutter_of(settings.detail)
                    assert own is not None
                    for diameter, flutes in ends[2:] if found.sets_size else ends:
                        other = replace(own, diameter=diameter, flutes=flutes)
                        assert isinstance(with_cutter(settings.detail, other), CutSettings), (
                            step.key,
                            diameter,
                            flutes,
                        )


def test_what_stands_in_reaches_all_that_the_named_one_does(demo: CheckedKit) -> None:
    """By what a disc cannot reach in every pocket and inside profile, worked out at both ends of the range."""
    for key, found in stand_ins(demo.plan).items():
        for step in demo.plan.steps:
            inside = step.operation.does is OperationKind.POCKET or step.operation.side is Side.INSIDE
            if step.cutter.key == key and inside and step.operation.does is not OperationKind.DRILL:
                area = filled(step.operation.shapes)
                left = [unreachable_area(area, size / 2) for size in (found.low, step.cutter.diameter, found.high)]
                assert left[0] <= left[1] + 0.05 and left[2] <= left[1] + 0.05, step.key
