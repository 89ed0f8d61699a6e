"""Which way the cutter runs: conventional while it roughs and on frames that give, climb where it finishes solid wood.

The choice is common practice, no source; which side of the travel the part lies on is that of a clockwise spindle.
"""

from __future__ import annotations

import csv
import io

import pytest
from seed_dishes import Check
from shapely import LineString, Point

from kitforge.cutting.settings import settings
from kitforge.model.kit import OperationKind, Side
from kitforge.model.settings import Cut, CutDirection, CutSettings, CutterGeometry, CutterKind, Work
from kitforge.model.steps import Phase, Step
from kitforge.pictures.drawn.ways import way_of
from kitforge.pipeline import CheckedKit
from kitforge.planning.areas import filled
from kitforge.print.directions import clockwise
from kitforge.workshop.cutting_data import cutting_data
from kitforge.workshop.load import load_workshop
from kitforge_sheet.table import settings_table

SHOP, DATA = load_workshop(), cutting_data()
MILL = CutterGeometry(CutterKind.UP_CUT, 6.35, 19.05, 6.35, 50.8, 2)
CLIMB, CONVENTIONAL = CutDirection.CLIMB, CutDirection.CONVENTIONAL
STIFF = ("medium_router", "heavy_router", "extra_heavy_router")
CHOOSES = (OperationKind.PROFILE, OperationKind.POCKET, OperationKind.DISH, OperationKind.FACE)


def direction(cut: Cut, machine: str, wood: str = "sugar_maple") -> CutDirection | None:
    found = settings(cut, MILL, SHOP.materials[wood], SHOP.machines[machine], DATA)
    assert isinstance(found, CutSettings)
    assert bool(found.direction_reason) == (found.direction is not None)
    return found.direction


@pytest.mark.parametrize("work", [Work.PROFILE, Work.POCKET, Work.DISH])
@pytest.mark.parametrize("machine", list(SHOP.machines))
def test_a_light_pass_on_a_wall_climbs_on_stiff_machines_alone(work: Work, machine: str) -> None:
    rough, finish = Cut(work, 6, length=300), Cut(work, 6, finishing=True, side_stock=0.3, length=300, open_entry=True)
    assert direction(rough, machine) is CONVENTIONAL
    assert direction(finish, machine) is (CLIMB if machine in STIFF else CONVENTIONAL)
    assert direction(finish, machine, "birch_plywood") is CONVENTIONAL


def test_holes_grooves_and_bevels_have_no_direction() -> None:
    for cut in (Cut(Work.DRILL, 6), Cut(Work.GROOVE, 2, length=300), Cut(Work.CHAMFER, 1)):
        assert direction(cut, "medium_router") is None


def test_every_profile_pocket_and_facing_step_has_one_with_its_reason(demo: CheckedKit) -> None:
    for machine in demo.plan.machines:
        for step in demo.plan.steps:
            found = machine.settings.get(step.key)
            if found is not None:
                moves = step.path_length > 0
                assert (found.direction is not None) == (moves and step.operation.does in CHOOSES), step.key
                assert bool(found.direction_reason) == (found.direction is not None), step.key


def test_what_is_only_plunged_has_none(demo: CheckedKit) -> None:
    """Dimples and other round places that the cutter goes straight down into: it never moves along a wall."""
    plunged = [step for step in demo.plan.steps if step.operation.points and not step.operation.shapes]
    for step in plunged:
        assert step.path_length == 0 and step.stepover is None
        assert {
            machine.settings[step.key].direction for machine in demo.plan.machines if step.key in machine.settings
        } <= {None}


def _wood_on_the_right(way: LineString, step: Step) -> bool:
    """Whether the wood that stays lies on the right of a way along a wall, looked at a little beside its middle."""
    first, second = way.coords[0], way.coords[1]
    dx, dy = second[0] - first[0], second[1] - first[1]
    beside = (step.cutter.radius + step.leave_walls + 0.2) / (dx * dx + dy * dy) ** 0.5
    spot = Point((first[0] + second[0]) / 2 + dy * beside, (first[1] + second[1]) / 2 - dx * beside)
    shape = filled(step.operation.shapes)
    outside = step.operation.does is OperationKind.PROFILE and step.operation.side is Side.OUTSIDE
    return bool(shape.contains(spot)) == outside


def test_climb_has_the_wood_on_the_right(check: Check) -> None:
    """The arrow of every step along a wall, by the geometry of the way that it is drawn on."""
    tried = 0
    for step in check().plan.steps:
        for wanted in (CLIMB, CONVENTIONAL):
            turn = clockwise(step, wanted)
            if turn is not None and step.phase in (Phase.WALLS, Phase.FREEING):
                way = way_of(step, turn)
                assert way is not None
                assert _wood_on_the_right(way, step) == (wanted is CLIMB), (step.key, wanted)
                tried += 1
    assert tried == 12


def test_the_table_names_the_direction_and_why(check: Check) -> None:
    plan = check().plan
    rows = list(csv.DictReader(io.StringIO(settings_table(plan, plan.machines).decode())))
    found = {
        row["step_key"]: (row["low_limit"], row["high_limit"])
        for row in rows
        if row["setting"] == "direction" and row["machine_key"] == "medium_router"
    }
    assert found["round/hollow/walls"] == ("climb", "a light climb pass tears the grain less")
    assert found["round/outline"] == ("conventional", "a conventional cut is easier to control")
