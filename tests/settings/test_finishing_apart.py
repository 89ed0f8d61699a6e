"""A floor and its walls are finished one after the other, each with settings of its own."""

from __future__ import annotations

import pytest
from seed_dishes import Check

from kitforge.model.plan import MachinePlan
from kitforge.model.steps import Phase, Step
from kitforge.pipeline import CheckedKit

KEEPS_NO_WALL = ("leave_walls: 0.15 mm", "leave_walls: 0 mm")
KEEPS_NO_FLOOR = ("leave_floor: 0.15 mm", "leave_floor: 0 mm")
POCKETS = ("do: dish, cutter: bowl", "do: pocket, cutter: mill")
AS_USUAL = ("roughing: {leave_floor: 0.15 mm, leave_walls: 0.15 mm}", "roughing: {}")


def of_round(checked: CheckedKit) -> list[Step]:
    return [step for step in checked.plan.steps if step.operation.name == "hollow" and step.part.key == "round"]


def blocked(checked: CheckedKit) -> dict[str, set[str]]:
    return {one.machine.key: {key.split("/")[0] for key in one.blocked} for one in checked.plan.machines}


def medium(checked: CheckedKit) -> MachinePlan:
    return next(one for one in checked.plan.machines if one.machine.key == "medium_router")


def test_the_walls_follow_the_floor(check: Check) -> None:
    """The floor is left with stock on its walls, which the last pass takes over their whole height."""
    steps = of_round(check())
    assert [step.phase for step in steps] == [Phase.ROUGHING, Phase.FINISHING, Phase.WALLS]
    floor, walls = steps[1:]
    assert (floor.top, floor.depth, floor.leave_walls, floor.side_stock) == pytest.approx((8.85, 9.0, 0.15, 0.0))
    assert (walls.top, walls.depth, walls.leave_walls, walls.side_stock) == (0.0, 9.0, 0.0, 0.15)
    assert floor.stepover and walls.stepover is None
    assert (floor.final, walls.final) == (False, True)
    assert floor.cut is not None and walls.cut is not None
    assert floor.cut.bounds[2] == pytest.approx(walls.cut.bounds[2] - 0.15, abs=0.001)


@pytest.mark.parametrize("change", [KEEPS_NO_WALL, KEEPS_NO_FLOOR])
def test_one_finishing_pass_where_only_one_of_them_is_left(check: Check, change: tuple[str, str]) -> None:
    assert [step.phase for step in of_round(check(change))] == [Phase.ROUGHING, Phase.FINISHING]


@pytest.mark.parametrize("kind", [(), (POCKETS,)])
def test_a_skim_of_the_floor_is_not_slowed_by_a_wall(check: Check, kind: tuple[tuple[str, str], ...]) -> None:
    """Its settings are those that it has where no stock was left on the walls at all."""
    with_walls, without = (check(*kind, *more) for more in ((), (KEEPS_NO_WALL,)))
    key = "round/hollow/finishing"
    found, wanted = (medium(one).settings[key] for one in (with_walls, without))
    assert (found.feed, found.speed, found.plunge, found.stepover) == (
        wanted.feed,
        wanted.speed,
        wanted.plunge,
        wanted.stepover,
    )
    assert found.force == wanted.force


@pytest.mark.parametrize("kind", [(), (POCKETS,)])
def test_the_usual_stock_on_walls_loses_no_class(check: Check, kind: tuple[tuple[str, str], ...]) -> None:
    """A class that has settings for a hollow with nothing left on its walls has them with the usual stock, too."""
    usual, none = check(*kind, AS_USUAL), check(*kind, KEEPS_NO_WALL)
    assert len(of_round(usual)) == 3
    assert blocked(usual) == blocked(none)
    assert not blocked(usual)["medium_router"]


def test_a_wall_is_cut_in_as_many_passes_as_the_class_bears(check: Check) -> None:
    machines = {one.machine.key: one for one in check().plan.machines}
    weak, strong = (machines[key].settings["round/hollow/walls"] for key in ("extra_light_router", "heavy_router"))
    assert weak.passes > strong.passes == 1
