"""What holds the work, for the script: what the hold-down of first choice bears, and what keeps each piece cut loose.

What pulls is computed in the page, from the settings of the reader's own machine; what holds does not depend on it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial
from typing import TYPE_CHECKING

from kitforge.language import capital, render_text, say
from kitforge.planning.acting import offered
from kitforge.planning.holding import kept_pieces
from kitforge.print.figures import piece_title, step_title
from kitforge_booklet.page.words import in_languages

if TYPE_CHECKING:
    from kitforge.cutting.worksheet.plain import Plain
    from kitforge.model.messages import Message
    from kitforge.model.pack import BuildOptions
    from kitforge.model.plan import Plan, PlannedSetup
    from kitforge.model.steps import Step


def holding_data(plan: Plan, steps: Sequence[Step], options: BuildOptions) -> list[Plain]:
    """Return each setup: its name, the numbers of its steps, what bears the stock, what keeps the pieces of a step."""
    numbers = {step.key: step.number for step in steps}
    return [
        {
            "names": in_languages(options, partial(piece_title, setup.sheets, plan)),
            "steps": [numbers[key] for key in setup.steps if key in numbers],
            "stock": _stock(plan, setup, options),
            "pieces": list(_pieces(plan, setup, options)),
        }
        for setup in plan.setups
    ]


def _stock(plan: Plan, setup: PlannedSetup, options: BuildOptions) -> Plain:
    """Return what the hold-down of first choice bears on the stock, as the plan has it for any class; None for none."""
    first = next(iter(setup.setup.hold_downs), None)
    results = (result for machine in plan.machines for result in machine.holding.get(setup.key, ()))
    found = next((result for result in results if first is not None and result.hold_down == first), None)
    if found is None:
        return None
    names = in_languages(options, partial(_name, found.held_by))
    return {"names": names, "bears": [found.capacity, found.lift_capacity], "breaks": None}


def _pieces(plan: Plan, setup: PlannedSetup, options: BuildOptions) -> Iterator[Plain]:
    """Yield each step that cuts at loose pieces: while it runs, what keeps each of them."""
    divisions = {division.step: division for division in setup.divisions}
    hold = next(iter(offered(setup)), None)
    for key in setup.steps:
        kept = kept_pieces(setup, divisions[key], hold) if key in divisions else []
        if kept:
            step = plan.step(key)
            each: list[Plain] = [
                {
                    "names": in_languages(options, partial(_name, one.held_by)),
                    "bears": [one.sideways, one.upwards],
                    "breaks": [*one.breaks],
                }
                for one, _piece in kept
            ]
            yield {"step": step.number, "when": in_languages(options, partial(_while, step)), "kept": each}


def _name(held_by: Message) -> str:
    return capital(render_text(held_by)).rstrip(".")


def _while(step: Step) -> str:
    return say("while “{step}” is cut", step=step_title(step))
