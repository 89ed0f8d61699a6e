"""After the cut: how the parts come free; and what changed from version to version."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from kitforge.language import say, say_counted
from kitforge.model.kit import OnionSkin
from kitforge.model.lines import Line, Use, line
from kitforge.planning.acting import TAPES
from kitforge.print.figures import Units, listed, sentence, step_title
from kitforge_booklet.records import ChangeRow, Freeing
from kitforge_booklet.safety import freed_parts, loose_small_parts

if TYPE_CHECKING:
    from kitforge.model.kit import Kit
    from kitforge.model.plan import Plan
    from kitforge.model.steps import Step


def freeing(kit: Kit, plan: Plan, units: Units) -> Freeing | None:
    """Return how the parts come free; None when no step frees anything."""
    frees = [step for step in plan.steps if plan.frees(step) and _last_pass(step)]
    if not frees:
        return None
    small = loose_small_parts(kit, plan)
    steps = [
        line(
            say(
                "Switch the spindle off, unplug it and wait until the dust has settled. Vacuum the cuts before you "
                "lift anything."
            ),
            "vacuum_cleaner",
        )
    ]
    steps += _from_tape(plan)
    inside = [step for step in plan.steps if step.operation.through and not plan.frees(step)]
    steps += _waste_on_tabs([step for step in inside if step.tabs and step.through])
    grit = min(kit.finishing.sanding, default=None)
    steps += [_waste_on_skin(step, grit, units) for step in inside if step.operation.skin and _last_pass(step)]
    steps += _tabbed([step for step in frees if step.tabs], grit)
    steps += [
        _skinned(step, step.operation.hold, grit, units) for step in frees if isinstance(step.operation.hold, OnionSkin)
    ]
    steps += _loose([step for step in frees if step.operation.hold is None])
    return Freeing(tuple(steps), (freed_parts(small),) if small else ())


def _from_tape(plan: Plan) -> list[Line]:
    """Return how stock that tape holds is lifted off: common practice, no source."""
    firsts = {hold.kind for planned in plan.setups for hold in planned.setup.hold_downs[:1]}
    if firsts.isdisjoint(TAPES):
        return []
    words = say(
        "The tape holds still: push a thin wedge under the piece at one end, lift it slowly off the spoilboard and "
        "peel the tape off."
    )
    return [line(words, "wedge")]


def _last_pass(step: Step) -> bool:
    return step.final


def _waste_on_tabs(steps: Sequence[Step]) -> list[Line]:
    """Return how the waste inside the parts comes out, which hangs on tabs of its own."""
    held = [step for step in steps if _last_pass(step)]
    if not held:
        return []
    words = say(
        "Waste still held inside the parts: {held}. Saw or chisel through these tabs first, on the side of the waste, "
        "and take it out.",
        held=listed([_waste_by_tabs(step) for step in held]),
    )
    return [line(words, "fine_saw", "chisel")]


def _waste_by_tabs(step: Step) -> str:
    part, name, count = step.part.title, step_title(step), len(step.tabs)
    if step.copies > 1:
        return say_counted(
            "“{step}” of {part} by one tab each", "“{step}” of {part} by {count} tabs each", count, step=name, part=part
        )
    return say_counted(
        "“{step}” of {part} by one tab", "“{step}” of {part} by {count} tabs", count, step=name, part=part
    )


def _waste_on_skin(step: Step, grit: int | None, units: Units) -> Line:
    """Paper is of the kit's own coarsest grit; a kit that sands nothing has its edges pared."""
    name, part, skin = step_title(step), step.part.title, units.length(step.operation.skin)
    if grit is None:
        words = say(
            "“{step}” of {part}: a skin of {skin} still holds the waste. Cut it with a knife and pare the edge with a "
            "sharp chisel.",
            step=name,
            part=part,
            skin=skin,
        )
        return line(words, "knife", "chisel")
    words = say(
        "“{step}” of {part}: a skin of {skin} still holds the waste. Cut it with a knife and sand the edge with {grit} "
        "grit.",
        step=name,
        part=part,
        skin=skin,
        grit=grit,
    )
    return line(words, "knife", _paper(grit))


def _tabbed(steps: Sequence[Step], grit: int | None) -> list[Line]:
    if not steps:
        return []
    return [
        line(
            say(
                "Still held: {held}. Saw or chisel through each tab from the outside, a little proud of the edge. "
                "Never break a tab out: it tears the grain.",
                held=listed([_held_by_tabs(step) for step in steps]),
            ),
            "fine_saw",
            "chisel",
        ),
        _stubs(grit),
    ]


def _stubs(grit: int | None) -> Line:
    """Paper is of the kit's own coarsest grit, so that the stubs ask for none that is bought for nothing else."""
    if grit is None:
        return line(say("Pare the stubs flush with a sharp chisel."), "chisel")
    words = say("Pare the stubs flush with a sharp chisel, or with {grit} grit on a block.", grit=grit)
    return line(words, "chisel", "sanding_block", _paper(grit))


def _paper(grit: int) -> Use:
    return Use("abrasive_paper", detail=say("grit {grit}", grit=grit))


def _held_by_tabs(step: Step) -> str:
    part, count = step.part.title, len(step.tabs)
    if step.copies > 1:
        return say_counted("{part} by one tab each", "{part} by {count} tabs each", count, part=part)
    return say_counted("{part} by one tab", "{part} by {count} tabs", count, part=part)


def _skinned(step: Step, hold: OnionSkin, grit: int | None, units: Units) -> Line:
    part, skin = step.part.title, units.length(hold.thickness)
    if grit is None:
        words = say(
            "{part}: a skin of {skin} is left below. Lift the piece, cut it with a knife and pare the edge with a "
            "sharp chisel.",
            part=part,
            skin=skin,
        )
        return line(words, "knife", "chisel")
    words = say(
        "{part}: a skin of {skin} is left below. Lift the piece, cut it with a knife and sand the edge with {grit} "
        "grit.",
        part=part,
        skin=skin,
        grit=grit,
    )
    return line(words, "knife", _paper(grit))


def _loose(steps: Sequence[Step]) -> list[Line]:
    if not steps:
        return []
    names = listed([step.part.title for step in steps])
    words = say(
        "Free when the cut ends: {parts}. Ease it off its hold-down with a thin blade, along the grain.",
        parts=names,
    )
    return [line(words, "thin_blade")]


def changes(kit: Kit) -> tuple[ChangeRow, ...]:
    """Return what changed in each version, newest first as the author wrote it."""
    return tuple(ChangeRow(c.version, c.date or "", tuple(sentence(t) for t in c.text)) for c in kit.info.changes)
