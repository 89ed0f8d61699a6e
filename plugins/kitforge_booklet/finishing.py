"""Sanding and finish: facts, and one list of everything that is done in order, the rags right after the coats."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from kitforge.language import decimal, say, say_as, say_many
from kitforge.model.facts import PieceUse, When
from kitforge.model.lines import Line, Use, line
from kitforge.print.figures import listed, sentence
from kitforge_booklet.amounts import finish_amounts
from kitforge_booklet.records import FinishPage
from kitforge_booklet.safety import oily_rags
from kitforge_booklet.signs import coating_signs, sanding_signs
from kitforge_booklet.step_records import LabelledFact
from kitforge_booklet.surface_areas import surface_text

if TYPE_CHECKING:
    from collections.abc import Iterable

    from kitforge.model.kit import Finishing, Kit
    from kitforge.model.workshop import Finish, Span
    from kitforge.print.figures import Units


def finish_page(kit: Kit, units: Units, coated: float) -> FinishPage | None:
    """Return sanding and finish; None when the kit asks for neither. coated: surface to finish, mm²."""
    finishing = kit.finishing
    finish = finishing.finish
    if not (finishing.sanding or finish or finishing.steps):
        return None
    return FinishPage(
        finish=say_as(finish.name) if finish else "",
        facts=_facts(kit, finish, units, coated) if finish else (),
        steps=finishing_steps(finishing),
        cautions=tuple(sentence(say_as(one)) for one in finish.cautions) if finish else (),
        messages=(oily_rags(say_as(finish.name)),) if finish is not None and finish.self_heating else (),
        sanding_signs=sanding_signs(),
        coating_signs=coating_signs() if finish and finish.coats else (),
    )


def finishing_steps(finishing: Finishing) -> tuple[Line, ...]:
    """Return all that is done to the surface, in order: sanding, before the coats, each coat, the rags, after."""
    finish = finishing.finish
    steps = _sanding(finishing)
    steps += _said(finish.before) if finish else []
    steps += _own(finishing, When.BEFORE)
    steps += _coats(finish, _own(finishing, When.BETWEEN)) if finish and finish.coats else []
    if finish is not None and finish.self_heating:
        steps.append(
            line(
                say("After every coat, before you do anything else: put each rag away as the warning says."), "rag_can"
            )
        )
    steps += _said(finish.after) if finish else []
    steps += _own(finishing, When.AFTER)
    return tuple(steps)


def _own(finishing: Finishing, when: When) -> list[Line]:
    return [Line(sentence(one.line.text), one.line.uses) for one in finishing.steps if one.when is when]


def _said(lines: Iterable[Line]) -> list[Line]:
    return [Line(sentence(say_as(one.text)), one.uses) for one in lines]


def _sanding(finishing: Finishing) -> list[Line]:
    """Return all sanding, the kit's own last; the dust goes once nothing more is sanded."""
    own = _own(finishing, When.SANDING)
    if not finishing.sanding:
        return own
    words = listed([str(grit) for grit in finishing.sanding])
    if not own:
        return [line(say("Sand as the table says, along the grain: grit {grits}. Then remove all dust.", grits=words))]
    first = line(say("Sand as the table says, along the grain: grit {grits}.", grits=words))
    return [first, *own, line(say("Remove all dust."))]


def _coats(finish: Finish, own: list[Line]) -> list[Line]:
    """Return one coat with the kit's own words on it, what lies between two, and how many there are.

    What is used for each is counted so often. The own words come before the drying: they are for the wet coat.
    """
    steps = _said(finish.coat)
    if any(use.item in ("cloth", "pad") for one in steps for use in one.uses):
        steps.append(line(say("Take a fresh cloth or pad for every coat."), Use("cloth", finish.coats)))
    steps.append(
        line(say("Finish the coat on one part before you set it down on pins or narrow strips."), "drying_strip")
    )
    if finish.coats > 1:
        steps += [*own, _between(finish)]
        steps.append(line(say("Put on the next coat in the same way: {count} in all.", count=finish.coats)))
    return steps


def _between(finish: Finish) -> Line:
    hours = _hours(finish.dry_hours)
    grit = finish.between_coats_grit
    if grit is None:
        return line(say("Between two coats let it dry for {hours}.", hours=hours))
    return line(
        say(
            "Between two coats let it dry for {hours}, rub it lightly with grit {grit} along the grain, and wipe the "
            "dust off.",
            hours=hours,
            grit=grit,
        ),
        Use("fine_abrasive", detail=say("grit {grit}", grit=grit)),
        Use("cloth", 1),
        "dust_mask",
    )


def _facts(kit: Kit, finish: Finish, units: Units, coated: float) -> tuple[LabelledFact, ...]:
    facts = [LabelledFact(say("Where"), sentence(kit.finishing.surfaces or say("All faces and edges")))]
    facts += _coat_facts(kit, finish, units, coated) if finish.coats else []
    if finish.food_contact:
        facts.append(LabelledFact(say("Food contact"), sentence(say_as(finish.food_contact))))
    return tuple(facts)


def _coat_facts(kit: Kit, finish: Finish, units: Units, coated: float) -> list[LabelledFact]:
    amounts = finish_amounts(kit, coated, units)
    days = max(1, math.ceil(finish.coats * finish.dry_hours.high / 24))
    cure = _days(finish.cure_days)
    return [
        LabelledFact(say("Coats"), str(finish.coats)),
        LabelledFact(
            say("Amount for all coats"),
            say("{amount} on {area}", amount=amounts.uses, area=surface_text(coated, units)),
        ),
        LabelledFact(say("For one coat"), amounts.each),
        LabelledFact(say("Drying between coats"), _hours(finish.dry_hours)),
        LabelledFact(
            say("From the first coat to the last dry one"), say_many("about one day", "about {count} days", days)
        ),
        LabelledFact(say("Fully cured after"), _cured(kit, cure)),
    ]


def _cured(kit: Kit, days: str) -> str:
    """Return how long until a finish is hard; food is spoken of unless the stated use has nothing to do with it."""
    if kit.info.uses and PieceUse.FOOD not in kit.info.uses:
        return say("{days}; no water and no weight on it before", days=days)
    return say("{days}; no water, no weight and no food on it before", days=days)


def _hours(span: Span) -> str:
    return say_many("{span} hour", "{span} hours", span.high, span=_span(span))


def _days(span: Span) -> str:
    return say_many("{span} day", "{span} days", span.high, span=_span(span))


def _span(span: Span) -> str:
    return decimal(f"{span.low:g}" if span.low == span.high else f"{span.low:g}–{span.high:g}")
