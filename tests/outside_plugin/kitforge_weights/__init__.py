"""The example of plugins/README.md: what parts weigh. A check with a setting, documents, a machine class, a limit."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from pydantic import Field

from kitforge.api import (
    BuildOptions,
    Finding,
    FindingType,
    Kit,
    KitKeys,
    PackFile,
    Part,
    Plan,
    Severity,
    Span,
    Workshop,
    documents,
    hookimpl,
    library_machine,
    mm,
    msg,
)

HERE = Path(__file__).parent
HEAVY = FindingType("part-heavy", Severity.NOTE, "A part weighs more than one person should lift at arm's length.")


class Keys(KitKeys):
    """What stands in kit.yaml under `plugins: {weights: ...}`. The figure is invented for the example."""

    limit_kg: float = Field(default=10.0, gt=0, le=500)


@hookimpl
def kitforge_kit_keys() -> type[KitKeys]:
    """Read these keys."""
    return Keys


@hookimpl
def kitforge_check(kit: Kit, plan: Plan) -> Iterable[Finding]:
    """Point out every part above the limit."""
    keys = kit.plugin_keys["weights"]
    assert isinstance(keys, Keys)
    for part in kit.parts:
        if weight(part) > keys.limit_kg:
            yield HEAVY.new(
                msg(
                    "'{part}', {thick} thick, weighs about {weight} kg; {limit} kg is the limit.",
                    part=part.title,
                    thick=mm(part.stock.actual),
                    weight=f"{weight(part):.1f}",
                    limit=f"{keys.limit_kg:g}",
                ),
                msg("Say in a note that two people should lift it."),
                source=part.source,
                part=part.key,
            )


@hookimpl
def kitforge_render(kit: Kit, plan: Plan, findings: Sequence[Finding], options: BuildOptions) -> Iterable[PackFile]:
    """Add weights.csv, one line per part, and the same as a page in the theme of the build."""
    lines = ["part,count,kg each", *(f"{part.key},{part.count},{weight(part):.3f}" for part in kit.parts)]
    yield PackFile("weights.csv", ("\n".join(lines) + "\n").encode(), msg("What every part weighs, as a table."))
    page = HERE / "weights.html"
    rows = tuple((part.title, part.count, round(1000 * weight(part))) for part in kit.parts)
    yield from documents(kit, options, "weights", page, lambda: Page(rows), msg("What every part weighs."))


@dataclass(frozen=True)
class Page:
    """What the template knows: of every part its title, how many pieces, and what each weighs in g."""

    rows: tuple[tuple[str, int, int], ...]


@hookimpl
def kitforge_catalogues() -> Path:
    """Say it in German as well: translations/de.po."""
    return HERE / "translations"


@hookimpl
def kitforge_workshop() -> Workshop:
    """Add a class of machines: a light router with more room. Its figures are checked like an author's own."""
    room = Span(900, 1000, "invented for the example")
    key, name = "wide_light_router", "Wide light router"
    return Workshop(machines={key: replace(library_machine("light_router"), key=key, name=name, area=(room, room))})


@hookimpl
def kitforge_cutting_rows() -> str:
    """Add a limit: what the arm that carries the hose lets the head travel."""
    return """
weights_arm [mm/min] what the arm of the hose lets the head travel
  = 6000 -- invented for the example
vf <= [mm/min] hose arm {hard}
  = weights_arm when work == 'profile' -- invented for the example
help hose arm: a longer arm
"""


def weight(part: Part) -> float:
    """Return the weight of a part's blank in kg: area times thickness times density; pockets are not taken off."""
    cubic_metres = abs(part.outline.area) * part.stock.actual * 1e-9
    return cubic_metres * part.stock.material.density.value
