"""What facing does to the surfaces of a stock: the datum of every operation, and how thick the parts come out."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from kitforge.model.datum import Datum
from kitforge.model.kit import Face, Operation, OperationKind, Part
from kitforge.planning.areas import filled
from kitforge.planning.order import operations_in_order

if TYPE_CHECKING:
    from shapely import MultiPolygon

# Corners of an outline that a facing of this much area in all does not reach are rounding, mm2.
_ROUNDING = 0.01
_OTHER = {Face.TOP: Face.BOTTOM, Face.BOTTOM: Face.TOP}


def with_datums(parts: Sequence[Part], *, as_written: bool) -> tuple[Part, ...]:
    """Return the parts with the datum of each operation, the depth of through cuts, and what facing takes off them.

    A facing of the whole stock, and one that covers a part's whole outline, gives the part a new face, from which
    everything counts that is cut there afterwards. A facing of less leaves the face where it was.
    """
    by_stock: dict[str, list[Part]] = defaultdict(list)
    for part in parts:
        by_stock[part.stock.key].append(part)
    found = {part.key: part for own in by_stock.values() for part in _of_stock(own, as_written=as_written)}
    return tuple(found[part.key] for part in parts)


def repeated(parts: Iterable[Part]) -> set[tuple[str, str]]:
    """Return part and name of the facings of whole stock that another part on the same stock asks for as well.

    A stock is faced once: the first part that asks for it is the one whose facings are planned.
    """
    first: dict[tuple[str, Face], str] = {}
    found = set()
    for part in parts:
        for operation in part.operations:
            if operation.whole and first.setdefault((part.stock.key, operation.face), part.key) != part.key:
                found.add((part.key, operation.name))
    return found


@dataclass
class _Surfaces:
    """How far the faces of a stock lie below where they came, mm, and which step made them: as a whole and by part."""

    whole: dict[Face, float] = field(default_factory=lambda: dict.fromkeys(Face, 0.0))
    level: dict[tuple[str, Face], float] = field(default_factory=lambda: defaultdict(float))
    made_by: dict[tuple[str, Face], str] = field(default_factory=lambda: defaultdict(str))

    def datum(self, part: Part, operation: Operation) -> Datum:
        face = operation.face
        below = self.whole[face] if operation.whole else self.level[part.key, face]
        return Datum(below, self.level[part.key, _OTHER[face]], self.made_by[part.key, face])

    def cut(self, parts: Iterable[Part], operation: Operation, below: float, by: str) -> None:
        """Note what a facing leaves on the parts that it covers."""
        if operation.whole:
            self.whole[operation.face] = below
        for part in parts:
            if below > self.level[part.key, operation.face]:
                self.level[part.key, operation.face] = below
                self.made_by[part.key, operation.face] = by


def _of_stock(parts: Sequence[Part], *, as_written: bool) -> list[Part]:
    surfaces, told = _Surfaces(), repeated(parts)
    settled: dict[tuple[str, str], Operation] = {}
    for part, operation in operations_in_order(parts, as_written=as_written):
        datum = surfaces.datum(part, operation)
        depth = datum.wood(part.stock.actual) if operation.through else operation.depth
        settled[part.key, operation.name] = replace(operation, datum=datum, depth=depth)
        if operation.does is OperationKind.FACE and (part.key, operation.name) not in told:
            covered = parts if operation.whole else [part] if covers(operation, part) else []
            last_step = f"{part.key}/{operation.name}" + ("/finishing" if operation.roughing else "")
            surfaces.cut(covered, operation, datum.from_face(depth), last_step)
    return [
        replace(
            part,
            operations=tuple(settled[part.key, operation.name] for operation in part.operations),
            faced=(surfaces.level[part.key, Face.TOP], surfaces.level[part.key, Face.BOTTOM]),
        )
        for part in parts
    ]


def covers(operation: Operation, part: Part) -> bool:
    """Return whether a facing takes the whole face of a part down, so that nothing of the old one is left there."""
    if operation.does is not OperationKind.FACE or operation.whole:
        return operation.whole
    outline: MultiPolygon = filled([part.outline])
    return bool(outline.difference(filled(operation.shapes)).area <= _ROUNDING)
