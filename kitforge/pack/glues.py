"""The glues that the sentences of a kit use up: bought as hardware is, and named in every list of what to buy."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kitforge.language import say_as
from kitforge.model.lines import Use
from kitforge.model.record import every
from kitforge.workshop.bench import BenchKind, wanted

if TYPE_CHECKING:
    from kitforge.model.kit import Kit
    from kitforge.model.plan import Plan

FOR_BOARDS = "wood_glue"
"""What boards are glued up with: a key of the bench table."""


def glue_names(kit: Kit, plan: Plan) -> tuple[str, ...]:
    """Return the names of the glues of the author's own sentences and of glued-up stock, in the language in use."""
    uses = [*every(Use, (kit, tuple(kit.stock.values())))]
    if any(one.glue is not None for one in plan.prepared):
        uses.append(Use(FOR_BOARDS))
    return tuple(say_as(one.item.name) for one in wanted(uses) if one.item.kind is BenchKind.GLUE)
