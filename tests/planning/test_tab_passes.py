"""A tab stands after all passes of its operation, or it holds nothing. Invented data."""

from __future__ import annotations

from dataclasses import dataclass, replace

import pytest
from builders import cutter, freed, kit, outside, part, plate, pocket, settings

from kitforge.geometry.shapes import rectangle
from kitforge.model.kit import Kit, Part, PassOptions, Tabs
from kitforge.model.plan import Plan
from kitforge.model.steps import Phase, Step, StepSettings
from kitforge.model.workshop import MachineClass
from kitforge.stages import planning

LEAVE = 0.5


@dataclass(frozen=True)
class ByPass:
    """Stands for the settings plugin: roughing and finishing pull with forces of their own, N."""

    rough: float
    fine: float

    def step_settings(self, _kit: Kit, step: Step, _machine: MachineClass) -> StepSettings:
        """Return settings with the force of the pass."""
        return settings(self.rough if step.phase is Phase.ROUGHING else self.fine)


def in_two_passes(rough: float = 6.0, fine: float = 6.0, hold: Tabs | None = None) -> Part:
    """A board of 200 x 150 mm whose outline is roughed first, half a millimetre away from its line."""
    cut = outside(plate(), cutter(fine), hold or Tabs(None, 8.0, 3.0, open_width=True))
    return part(replace(cut, roughing=PassOptions(cutter(rough), leave_walls=LEAVE)))


def plan(of: Part, rough: float, fine: float) -> Plan:
    return planning.plan(kit(of), ByPass(rough, fine))  # type: ignore[arg-type]


@pytest.mark.parametrize(("rough", "fine"), [(20.0, 20.0), (250.0, 20.0), (20.0, 250.0)])
@pytest.mark.parametrize("tools", [(6.0, 6.0), (8.0, 3.0), (3.0, 8.0)])
def test_all_passes_leave_the_same_tabs_and_all_of_them_hold(
    tools: tuple[float, float], rough: float, fine: float
) -> None:
    made = plan(in_two_passes(*tools), rough, fine)
    first, last = made.steps
    assert first.tabs == last.tabs
    division = made.setups[0].divisions[-1]
    board = next(piece for piece in division.pieces if piece.of_part)
    ties = division.tied(board)
    assert len(ties) == len(last.tabs) >= 3
    assert [bridge.width_on(board.number) for bridge in ties] == pytest.approx([tab.width for tab in last.tabs])


def test_the_pass_that_pulls_harder_decides_whichever_it_is() -> None:
    weak, hard_first, hard_last = (
        len(plan(in_two_passes(), rough, fine).steps[0].tabs) for rough, fine in ((10, 10), (150, 10), (10, 150))
    )
    assert min(hard_first, hard_last) > weak


@pytest.mark.parametrize(
    ("rough", "fine", "kerf"),
    [(6.0, 6.0, 6.5), (8.0, 3.0, 8.5), (3.0, 8.0, 8.0)],
)
def test_a_tab_reaches_over_all_that_the_passes_cut(rough: float, fine: float, kerf: float) -> None:
    """The last pass cuts from the wall on, the one before from half a millimetre beside it."""
    made = plan(in_two_passes(rough, fine), 20.0, 20.0)
    assert [step.kerf for step in made.steps] == [rough, kerf]
    last = made.setups[0].divisions[-1]
    assert {bridge.kerf for bridge in last.bridges if len(bridge.joins) == 2} == {kerf}


def test_one_pass_cuts_as_wide_as_its_cutter() -> None:
    made = plan(freed(), 20.0, 20.0)
    assert [step.kerf for step in made.steps] == [6.0]


def test_passes_that_no_class_can_cut_have_the_same_tabs_too() -> None:
    made = planning.first_plan(kit(in_two_passes(8.0, 3.0)))
    assert made.steps[0].tabs == made.steps[1].tabs != ()


def test_tabs_keep_away_from_what_other_cuts_take() -> None:
    """Combs in both long edges, drawn as pockets over the edge: tabs stand where a tooth is, never at a notch."""
    notches = [rectangle((12, 30), at=(12 + 24 * k, y)) for k in range(8) for y in (-15, 135)]
    comb = pocket(*notches, depth=18.0, through=True, allowance=0.5)
    made = plan(freed(comb, outline=plate()), 20.0, 20.0)
    division = made.setups[0].divisions[-1]
    own = [bridge for bridge in division.bridges if bridge.step == "board/outside"]
    assert len(own) == 4
    assert [bridge.over for bridge in own] == [pytest.approx((8.0, 8.0))] * len(own)
