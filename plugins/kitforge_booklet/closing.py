"""After the cut: how the parts come free; and what changed from version to version."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from kitforge.kit import OnionSkin
from kitforge.language import say, say_counted
from kitforge.lines import Line, Use, line
from kitforge.print.figures import Units, listed, sentence
from kitforge_booklet.records import ChangeRow, Freeing
from kitforge_booklet.safety import freed_parts, loose_small_parts

if TYPE_CHECKING:
    from kitforge.kit import Kit
    from kitforge.plan import Plan, Step


def freeing(kit: Kit, plan: Plan, units: Units) -> Freeing | None:
    """Return how the parts come free; None when no step frees anything."""
    frees = [step for step in plan.steps if step.frees]
    if not frees:
        return None
    small = loose_small_parts(kit)
    steps = [
        line(
            say(
                "Wait until the spindle stands still and the dust has settled. Vacuum the cuts before you lift "
                "anything."
            ),
            "vacuum_cleaner",
        )
    ]
    steps += _tabbed([step for step in frees if step.tabs])
    steps += [
        _skinned(step, step.operation.hold, units) for step in frees if isinstance(step.operation.hold, OnionSkin)
    ]
    steps += _loose([step for step in frees if step.operation.hold is None])
    return Freeing(tuple(steps), (freed_parts(small),) if small else ())


def _tabbed(steps: Sequence[Step]) -> list[Line]:
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
        line(
            say("Pare the stubs flush with a sharp chisel, or with 120 grit on a block."),
            "chisel",
            "sanding_block",
            Use("abrasive_paper", detail=say("grit {grit}", grit=120)),
        ),
    ]


def _held_by_tabs(step: Step) -> str:
    part, count = step.part.title, len(step.tabs)
    if step.copies > 1:
        return say_counted("{part} by one tab each", "{part} by {count} tabs each", count, part=part)
    return say_counted("{part} by one tab", "{part} by {count} tabs", count, part=part)


def _skinned(step: Step, hold: OnionSkin, units: Units) -> Line:
    skin = units.length(hold.thickness)
    words = say(
        "{part}: a skin of {skin} is left below. Lift the piece, cut it with a knife and sand the edge.",
        part=step.part.title,
        skin=skin,
    )
    return line(words, "knife", "abrasive_paper")


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
