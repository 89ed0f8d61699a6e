"""The example of plugins/README.md: a check and a document about the weight of the parts."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from kitforge import hookimpl
from kitforge.model.findings import Finding, FindingType, Severity
from kitforge.model.pack import PackFile

if TYPE_CHECKING:
    from kitforge.model.kit import Kit, Part
    from kitforge.model.pack import BuildOptions
    from kitforge.model.plan import Plan

HEAVY = FindingType("part-heavy", Severity.NOTE, "A part weighs more than one person should lift at arm's length.")
LIMIT_KG = 10.0  # invented for the example


@hookimpl
def kitforge_check(kit: Kit, plan: Plan) -> Iterable[Finding]:
    """Point out every part above the limit."""
    for part in kit.parts:
        if weight(part) > LIMIT_KG:
            yield HEAVY.new(
                f"'{part.title}' weighs about {weight(part):.1f} kg.",
                "Say in a note that two people should lift it.",
                source=part.source,
                part=part.key,
            )


@hookimpl
def kitforge_render(kit: Kit, plan: Plan, findings: Sequence[Finding], options: BuildOptions) -> Iterable[PackFile]:
    """Add weights.csv, one line per part."""
    lines = ["part,count,kg each", *(f"{part.key},{part.count},{weight(part):.3f}" for part in kit.parts)]
    yield PackFile("weights.csv", ("\n".join(lines) + "\n").encode(), "What every part weighs")


def weight(part: Part) -> float:
    """Return the weight of a part's blank in kg: area times thickness times density; pockets are not taken off."""
    cubic_metres = abs(part.outline.area) * part.stock.actual * 1e-9
    return cubic_metres * part.stock.material.density.value
