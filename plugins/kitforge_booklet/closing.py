"""After the cut: freeing, sanding, finish, assembly, drawings, changes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from kitforge.kit import Face, OnionSkin
from kitforge.language import decimal, say, say_as, say_counted, say_many
from kitforge.print.figures import Units, listed, sentence, stock_title
from kitforge.print.pictures.drawing import dimensioned_drawing, drawing_scale, features_of, is_hidden, scale_words
from kitforge_booklet.needs import area_words, finish_words
from kitforge_booklet.records import (
    ChangeRow,
    DrawingPage,
    Fact,
    FeatureRow,
    FinishPage,
    Freeing,
)
from kitforge_booklet.safety import freed_parts, loose_small_parts, oily_rags
from kitforge_booklet.signs import coating_signs, sanding_signs

if TYPE_CHECKING:
    from kitforge.kit import Kit, Part
    from kitforge.plan import Plan, Step
    from kitforge.print.pictures.drawing import Feature
    from kitforge.workshop.records import Finish, Span

_WIDTH, _TALLEST, _HEADING, _PER_ROW = 174.0, 206.0, 34.0, 9.0
_LEAST = 110.0
"""Less height than this a drawing is not given, mm: a long table then runs on over the page."""


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


def drawings(kit: Kit, units: Units) -> tuple[DrawingPage, ...]:
    """Return the dimensioned drawing of every part."""
    return tuple(_drawing(part, units, first=index == 0) for index, part in enumerate(kit.parts))


def _row_height(title: str, *, both_faces: bool) -> float:
    return _PER_ROW if len(title) <= (21 if both_faces else 26) else _PER_ROW + 5.0


def _drawing_facts(part: Part, scale: float, units: Units) -> tuple[Fact, ...]:
    thickness = units.length(part.stock.actual)
    facts = (
        Fact(say("Count"), str(part.count)),
        Fact(say("Stock"), stock_title(part.stock)),
        Fact(say("Thickness"), thickness.main, thickness.other),
        Fact(say("Scale"), scale_words(scale)),
    )
    hidden = any(is_hidden(operation) for operation in part.operations)
    return (*facts, Fact(say("Dashed"), say("cut from the underside"))) if hidden else facts


def _drawing(part: Part, units: Units, *, first: bool) -> DrawingPage:
    both = len({operation.face for operation in part.operations}) > 1
    rows = sum(_row_height(feature.title, both_faces=both) for feature in features_of(part))
    page = _TALLEST - first * _HEADING
    size = _WIDTH, page - rows if page - rows >= _LEAST else page
    scale = drawing_scale(part, *size)
    return DrawingPage(
        title=part.title,
        facts=_drawing_facts(part, scale, units),
        picture=dimensioned_drawing(part, units, *size),
        scale=scale_words(scale),
        rows=tuple(
            FeatureRow(
                feature.letter,
                feature.title,
                feature.count,
                units.length(feature.x).main,
                units.length(feature.y).main,
                _size(feature, units),
                say("through") if feature.through else units.length(feature.depth).main,
                say("underside") if feature.face is Face.BOTTOM else say("upper face"),
            )
            for feature in features_of(part)
        ),
        both_faces=both,
        runs_on=page - rows < _LEAST,
    )


def _size(feature: Feature, units: Units) -> str:
    if feature.diameter:
        return f"Ø {units.length(feature.diameter).main}"
    size = units.size(feature.width, feature.height).main
    return say("{size}, line {width}", size=size, width=units.length(feature.line).main) if feature.line else size


def changes(kit: Kit) -> tuple[ChangeRow, ...]:
    """Return what changed in each version, newest first as the author wrote it."""
    return tuple(ChangeRow(c.version, c.date or "", tuple(sentence(t) for t in c.text)) for c in kit.info.changes)
