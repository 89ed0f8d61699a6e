"""What a stock asks of its buyer that the author may not have thought of: a glue-up, a cutter to flatten it with."""

from __future__ import annotations

from collections.abc import Iterator

from kitforge.model.findings import Finding
from kitforge.model.messages import mm, msg, msg_many
from kitforge.model.plan import Flattening, GlueUp, Plan, Prepared
from kitforge.planning.preparing import across, widest_board
from kitforge.workshop.handwork import handwork
from kitforge_outline import kinds


def check_boards(plan: Plan) -> Iterator[Finding]:
    """Yield stock that no board gives, and stock that the router flattens with a cutter that the kit lacks."""
    for ready in plan.prepared:
        if ready.glue is not None and ready.stock.boards is None:
            yield _glued(ready, ready.glue)
        if ready.flattening is not None and ready.flattening.bought:
            yield _bought(ready, ready.flattening)


def _glued(ready: Prepared, glue: GlueUp) -> Finding:
    stock = ready.stock
    return kinds.GLUED_UP.new(
        msg_many(
            "'{title}' is {width} wide, and boards of {wood} are sold up to about {widest}: the booklet has it glued "
            "up from {count} strip.",
            "'{title}' is {width} wide, and boards of {wood} are sold up to about {widest}: the booklet has it glued "
            "up from {count} strips.",
            glue.strips,
            title=stock.title,
            width=mm(across(stock)),
            wood=stock.material.name,
            widest=mm(widest_board(stock), 0),
        ),
        msg("Write `boards:` with the widest board you use; as wide as the piece if one board gives it."),
        source=stock.source,
    )


def _bought(ready: Prepared, flattening: Flattening) -> Finding:
    return kinds.FLATTENING_CUTTER.new(
        msg(
            "'{title}' is wider than the planer takes, and no cutter of the kit with a flat end is {least} wide: the "
            "booklet asks for {cutter}.",
            title=ready.stock.title,
            least=mm(handwork().flattening["narrowest"].value, 0),
            cutter=flattening.step.cutter.name,
        ),
        msg("Add a surfacing cutter to the kit, or write `planer:` with what your planer takes."),
        source=ready.stock.source,
    )
