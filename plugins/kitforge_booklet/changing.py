"""What to do before a step: the piece turned over, another cutter fitted, zero found again."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kitforge.language import render_text, say
from kitforge.model.kit import Face
from kitforge.model.lines import Line, line
from kitforge.model.plan import served
from kitforge.print.datums import surface_words
from kitforge.print.figures import piece_title, stock_title

if TYPE_CHECKING:
    from collections.abc import Sequence

    from kitforge.model.plan import MachinePlan, Plan
    from kitforge.model.steps import Step
    from kitforge.print.figures import Units


def before_step(
    plan: Plan, step: Step, last: Step | None, machines: Sequence[MachinePlan], units: Units
) -> tuple[Line, ...]:
    """Return what comes before a step, in order; empty where the step before leaves everything as it is."""
    lines = []
    home, before = plan.home_of(step), plan.home_of(last) if last is not None else None
    new_stock = last is None or home is None or before is None or not home.same_piece(before)
    turned = last is not None and not new_stock and last.face is not step.face
    new_cutter = last is None or last.cutter.key != step.cutter.key
    new_face = last is not None and not (new_stock or turned) and _moved(last, step)
    if new_stock and last is not None:
        stock = piece_title(home.sheets, plan) if home is not None else stock_title(step.part.stock)
        lines.append(
            line(
                say(
                    "Spindle off and unplugged. Lay on: {stock}, as “Setting up” shows. Set X0 Y0 at its corner.",
                    stock=stock,
                )
            )
        )
    if turned:
        lines.append(line(_turn_words(step)))
    if new_cutter:
        stands = (new_stock and last is not None) or turned
        lines.append(line(_change_words(step, machines, units, stands=stands), "collet_spanners"))
    if new_face:
        lines.append(line(_new_zero_words(plan, step)))
    elif new_cutter or new_stock or turned:
        lines.append(line(_zero_words(plan, step, kept=new_cutter and not (new_stock or turned))))
    return tuple(lines)


def _turn_words(step: Step) -> str:
    if step.face is Face.TOP:
        return say(
            "Spindle off and unplugged. Turn the piece back over and check that it lies right, as “Turning it over” "
            "shows."
        )
    return say(
        "Spindle off and unplugged. Turn the piece over and check that it lies right, as “Turning it over” shows."
    )


def _change_words(step: Step, machines: Sequence[MachinePlan], units: Units, *, stands: bool) -> str:
    """Return how the cutter is fitted. stands: the spindle is off and unplugged already, as the line before says."""
    found = [m.settings[step.key].stick_out for m in served(machines) if step.key in m.settings]
    cutter = render_text(step.cutter.name)
    if not found:
        if stands:
            return say("Fit: {cutter}, with its shank deep in the collet.", cutter=cutter)
        return say("Spindle off and unplugged. Fit: {cutter}, with its shank deep in the collet.", cutter=cutter)
    stands_out = max(found) if units.first == "in" else float(round(max(found)))  # both systems say the same length
    values = {"cutter": cutter, "stick_out": units.length(stands_out, 0)}
    if stands:
        return say("Fit: {cutter}. Let it stand {stick_out} out of the collet and tighten it.", **values)
    return say(
        "Spindle off and unplugged. Fit: {cutter}. Let it stand {stick_out} out of the collet and tighten it.", **values
    )


def _moved(last: Step, step: Step) -> bool:
    """Return whether a step counts from another surface than the last one on the same face."""
    return (last.datum.below, last.datum.by) != (step.datum.below, step.datum.by)


def _zero_words(plan: Plan, step: Step, *, kept: bool) -> str:
    surface = surface_words(plan, step)
    if kept:
        return say(
            "Set Z0 again on {surface}, on the same spot as before; X0 and Y0 stay as they are.", surface=surface
        )
    return say("Set Z0 on {surface}, away from any cut.", surface=surface)


def _new_zero_words(plan: Plan, step: Step) -> str:
    """The spot on which Z0 was set is gone, or lies higher than what this step counts from."""
    return say(
        "Set Z0 anew on {surface}, away from any other cut: all depths count from there now. X0 and Y0 stay as they "
        "are.",
        surface=surface_words(plan, step),
    )
