"""An author's own sentences: preparing, finishing and putting together, with what they use looked up."""

from __future__ import annotations

from collections.abc import Sequence

from kitforge.definition.positions import Place
from kitforge.definition.schema import AssemblyEntry, FinishingEntry
from kitforge.definition.work import FinishingStepEntry, LineEntry, UseEntry
from kitforge.model.facts import FinishingStep, When
from kitforge.model.kit import AssemblyStep, Face, Finishing
from kitforge.model.lines import Line, Use
from kitforge.model.messages import msg
from kitforge.model.workshop import Workshop
from kitforge.resolve.values import FINISHES, ResolveContext
from kitforge.workshop.bench import bench


def resolve_lines(sheet: ResolveContext, entries: Sequence[str | LineEntry], at: Place) -> tuple[Line, ...]:
    """Return sentences in the order written."""
    return tuple(_line(sheet, entry, (*at, index)) for index, entry in enumerate(entries))


def resolve_finishing(sheet: ResolveContext, entry: FinishingEntry, workshop: Workshop) -> Finishing:
    """Return sanding, finish and the author's own steps in the order written."""
    at: Place = ("finishing",)
    finish = entry.finish and sheet.entry(workshop.finishes, entry.finish, FINISHES, *at, "finish")
    steps = tuple(
        FinishingStep(
            _line(sheet, step, (*at, "steps", index)),
            When(step.when) if isinstance(step, FinishingStepEntry) else When.BEFORE,
        )
        for index, step in enumerate(entry.steps)
    )
    return Finishing(tuple(entry.sanding), finish or None, entry.surfaces, steps)


def resolve_assembly(sheet: ResolveContext, entries: Sequence[AssemblyEntry]) -> tuple[AssemblyStep, ...]:
    """Return the assembly steps; that their parts exist is checked where the parts are known."""
    return tuple(
        AssemblyStep(
            one.text,
            tuple(one.parts),
            one.caution,
            one.dry,
            Face(one.face),
            _uses(sheet, one.uses, ("assembly", index, "uses")),
        )
        for index, one in enumerate(entries)
    )


def _line(sheet: ResolveContext, entry: str | LineEntry, at: Place) -> Line:
    if isinstance(entry, str):
        return Line(entry)
    return Line(entry.text, _uses(sheet, entry.uses, (*at, "uses")))


def _uses(sheet: ResolveContext, entries: Sequence[str | UseEntry], at: Place) -> tuple[Use, ...]:
    found = []
    for index, entry in enumerate(entries):
        use = Use(entry) if isinstance(entry, str) else Use(entry.item, entry.count or 0, entry.detail or "")
        place = (*at, index) if isinstance(entry, str) else (*at, index, "item")
        if sheet.look_up(bench(), use.item, msg("bench item"), *place) is not None:
            found.append(use)
    return tuple(found)
