"""Facing while a kit is resolved: what it does to the surfaces of each stock, and facings that cannot be."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kitforge.definition import kinds
from kitforge.model.findings import Finding
from kitforge.model.kit import Face, Operation, OperationKind, Part
from kitforge.model.messages import mm, msg
from kitforge.planning.facing import with_datums
from kitforge.resolve.values import ResolveContext

# Less wood than this under a faced surface is none, mm.
_NOTHING = 0.01


def resolve_facing(sheet: ResolveContext, parts: Sequence[Part], *, as_written: bool) -> tuple[Part, ...]:
    """Return the parts with the surface that each depth counts from. Notes facings that take all, or that differ."""
    found = with_datums(parts, as_written=as_written)
    for finding in (*_too_deep(found), *_differing(found)):
        sheet.add(finding)
    return found


def _too_deep(parts: Sequence[Part]) -> Iterator[Finding]:
    for part in parts:
        for operation in part.operations:
            wood = operation.datum.wood(part.stock.actual)
            if operation.does is OperationKind.FACE and wood - operation.depth < _NOTHING:
                yield kinds.FACED_AWAY.new(
                    msg(
                        "'{title}' takes {depth} off, and there are {wood} of wood.",
                        title=operation.title,
                        depth=mm(operation.depth),
                        wood=mm(max(wood, 0.0)),
                    ),
                    msg("Face less deep, or use thicker stock."),
                    source=operation.source,
                    part=part.key,
                    operation=operation.name,
                )


def _differing(parts: Sequence[Part]) -> Iterator[Finding]:
    """Yield parts that ask for another facing of their whole stock than the first part that asks for one."""
    first: dict[tuple[str, Face], Part] = {}
    for part in parts:
        for face in Face:
            own = _facings(part, face)
            asked = first.setdefault((part.stock.key, face), part) if own else part
            if asked is not part and _asked(own) != _asked(_facings(asked, face)):
                yield kinds.FACING_DIFFERS.new(
                    msg(
                        "'{title}' faces the whole of {stock}, which '{other}' faces in another way.",
                        title=own[0].title,
                        stock=part.stock.title,
                        other=asked.title,
                    ),
                    msg("The stock is faced once: write the same depth and cutter, or face one part of it only."),
                    source=own[0].source,
                    part=part.key,
                    operation=own[0].name,
                )


def _facings(part: Part, face: Face) -> list[Operation]:
    return [operation for operation in part.operations if operation.whole and operation.face is face]


def _asked(facings: Sequence[Operation]) -> list[tuple[object, ...]]:
    return [(one.depth, one.roughing, one.finishing) for one in facings]
