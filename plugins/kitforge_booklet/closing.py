"""After the cut: freeing, sanding, finish, assembly, changes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from kitforge.kit import OnionSkin
from kitforge.language import decimal, say, say_as, say_counted, say_many
from kitforge.print.figures import Units, listed, sentence
from kitforge_booklet.needs import area_words, finish_words
from kitforge_booklet.records import (
    ChangeRow,
    Fact,
    FinishPage,
    Freeing,
)
from kitforge_booklet.safety import freed_parts, loose_small_parts, oily_rags
from kitforge_booklet.signs import coating_signs, sanding_signs

if TYPE_CHECKING:
    from kitforge.kit import Kit
    from kitforge.plan import Plan, Step
    from kitforge.workshop.records import Finish, Span


def freeing(kit: Kit, plan: Plan, units: Units) -> Freeing | None:
    """Return how the parts come free; None when no step frees anything."""
    frees = [step for step in plan.steps if step.frees]
    if not frees:
        return None
    small = loose_small_parts(kit)
    steps = [
        say("Wait until the spindle stands still and the dust has settled. Vacuum the cuts before you lift anything.")
    ]
    steps += _tabbed([step for step in frees if step.tabs])
    steps += [
        _skinned(step, step.operation.hold, units) for step in frees if isinstance(step.operation.hold, OnionSkin)
    ]
    steps += _loose([step for step in frees if step.operation.hold is None])
    return Freeing(tuple(steps), (freed_parts(small),) if small else ())


def _tabbed(steps: Sequence[Step]) -> list[str]:
    if not steps:
        return []
    return [
        say(
            "Still held: {held}. Saw or chisel through each tab from the outside, a little proud of the edge. "
            "Never break a tab out: it tears the grain.",
            held=listed([_held_by_tabs(step) for step in steps]),
        ),
        say("Pare the stubs flush with a sharp chisel, or with 120 grit on a block."),
    ]


def _held_by_tabs(step: Step) -> str:
    part, count = step.part.title, len(step.tabs)
    if step.copies > 1:
        return say_counted("{part} by one tab each", "{part} by {count} tabs each", count, part=part)
    return say_counted("{part} by one tab", "{part} by {count} tabs", count, part=part)


def _skinned(step: Step, hold: OnionSkin, units: Units) -> str:
    skin = units.length(hold.thickness)
    return say(
        "{part}: a skin of {skin} is left below. Lift the piece, cut it with a knife and sand the edge.",
        part=step.part.title,
        skin=skin,
    )


def _loose(steps: Sequence[Step]) -> list[str]:
    if not steps:
        return []
    names = listed([step.part.title for step in steps])
    return [
        say(
            "Free when the cut ends: {parts}. Ease it off its hold-down with a thin blade, along the grain.",
            parts=names,
        )
    ]


def finish_page(kit: Kit, units: Units, coated: float) -> FinishPage | None:
    """Return sanding and finish; None when the kit asks for neither."""
    finishing = kit.finishing
    finish = finishing.finish
    if not (finishing.sanding or finish or finishing.steps):
        return None
    steps = [sentence(line) for line in (*map(say_as, finish.steps if finish else ()), *finishing.steps)]
    messages = (oily_rags(say_as(finish.name)),) if finish is not None and finish.self_heating else ()
    return FinishPage(
        grits=_grits(kit),
        finish=say_as(finish.name) if finish else "",
        facts=_finish_facts(kit, finish, units, coated) if finish else (),
        steps=tuple(steps),
        cautions=_cautions(finish) if finish else (),
        messages=messages,
        sanding_signs=sanding_signs(),
        coating_signs=coating_signs(),
    )


def _cautions(finish: Finish) -> tuple[str, ...]:
    """The finish's own cautions, but for those about rags where the warning above has said it."""
    said = finish.self_heating
    return tuple(sentence(say_as(line)) for line in finish.cautions if not (said and _about_rags(line)))


def _about_rags(line: str) -> bool:
    return any(word in line.lower() for word in ("rag", "metal can"))


def _grits(kit: Kit) -> tuple[Fact, ...]:
    grits = kit.finishing.sanding
    words = []
    for index, grit in enumerate(grits):
        if index == 0:
            text = say("Until every mark of the cutter is gone. Sand along the grain.")
        elif index == len(grits) - 1:
            text = say("Last: only until the scratches of the grit before are gone. Wipe the dust off.")
        else:
            text = say("Until the scratches of the grit before are gone.")
        words.append(Fact(str(grit), text))
    return tuple(words)


def _finish_facts(kit: Kit, finish: Finish, units: Units, coated: float) -> tuple[Fact, ...]:
    facts = [
        Fact(say("Where"), sentence(kit.finishing.surfaces or say("All faces and edges"))),
        Fact(say("Coats"), str(finish.coats)),
        Fact(
            say("Amount for all coats"),
            say("{amount} on {area}", amount=finish_words(kit, units, coated), area=area_words(units, coated)),
        ),
        Fact(say("Drying between coats"), _hours(finish.dry_hours)),
        Fact(say("Fully cured after"), _days(finish.cure_days)),
    ]
    if finish.between_coats_grit:
        rub = say("A light rub with grit {grit}", grit=finish.between_coats_grit)
        facts.append(Fact(say("Between coats"), rub))
    if finish.food_contact:
        facts.append(Fact(say("Food contact"), sentence(say_as(finish.food_contact))))
    return tuple(facts)


def _hours(span: Span) -> str:
    return say_many("{span} hour", "{span} hours", span.high, span=_span(span))


def _days(span: Span) -> str:
    return say_many("{span} day", "{span} days", span.high, span=_span(span))


def _span(span: Span) -> str:
    return decimal(f"{span.low:g}" if span.low == span.high else f"{span.low:g}–{span.high:g}")


def changes(kit: Kit) -> tuple[ChangeRow, ...]:
    """Return what changed in each version, newest first as the author wrote it."""
    return tuple(ChangeRow(c.version, c.date or "", tuple(sentence(t) for t in c.text)) for c in kit.info.changes)
