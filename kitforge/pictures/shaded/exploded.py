"""Which way and how far parts are pulled off each other, so that one sees how they go together.

A part is pulled along its own direction until its box is clear of the boxes of those that were there before it. Where
the author gives no direction it is the way from the middle of the piece to the part's own middle.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from kitforge.model.kit import AssemblyPose, Kit
from kitforge.model.pictures import PictureStandIn
from kitforge.model.plan import Plan
from kitforge.pictures.shaded.assembly import ROUND_VIEW, Lead, staged
from kitforge.pictures.shaded.solids import Placed, Vector, axes_of, board_of
from kitforge.pictures.shaded.view import PictureView
from kitforge.surface.layers import layers_of

if TYPE_CHECKING:
    from typing import Any

_GAP, _LOOK_BETWEEN = 0.05, 0.3
"""Room between parts that are pulled past each other: shares of the piece's diagonal, and of the part's own width."""
_LOOSE, _LOOSE_SELF = 0.2, 0.6
"""How far a part with nothing in its way is pulled: the lesser of shares of the diagonal and of its own length."""
_TOUCHING = 0.5
_NEAR = 2.0
"""A door has such a gap, mm, and still belongs there; a point in the air has more. Common practice, no source."""
_OFF_CENTRE = 0.15


@dataclass(frozen=True, slots=True)
class SpaceBox:
    """A box in space, mm."""

    low: Vector
    high: Vector

    @property
    def middle(self) -> Vector:
        """Its centre."""
        return _vector((a + b) / 2 for a, b in zip(self.low, self.high, strict=True))

    @property
    def size(self) -> Vector:
        """Its edges."""
        return _vector(b - a for a, b in zip(self.low, self.high, strict=True))

    def moved(self, by: Vector) -> SpaceBox:
        """Return the box elsewhere."""
        return SpaceBox(_added(self.low, by), _added(self.high, by))

    def holds(self, point: Vector) -> bool:
        """Return whether a point lies in the box or touches it."""
        return all(
            low - _NEAR <= value <= high + _NEAR for low, value, high in zip(self.low, point, self.high, strict=True)
        )

    def beside(self, other: SpaceBox, way: Vector) -> bool:
        """Return whether the two pass each other when one moves along an axis."""
        return any(
            abs(way[k]) < 0.5 and min(self.high[k], other.high[k]) - max(self.low[k], other.low[k]) < _TOUCHING
            for k in range(3)
        )


@dataclass(frozen=True, slots=True)
class Stood:
    """A copy of a part where it stands, with its box."""

    standing: AssemblyPose
    placed: Placed
    room: SpaceBox


def stood(kit: Kit, plan: Plan) -> tuple[Stood, ...]:
    """Return every copy as cut, where it stands in the finished piece, in the order of putting it together."""
    layers = {part.key: layers_of(part, plan.steps_of(part.key)) for part in kit.parts}
    found = []
    for one in kit.together:
        placed = Placed(kit.part(one.part), one.at, one.along_x, one.along_y, layers[one.part])
        found.append(Stood(one, placed, _room(placed)))
    return tuple(sorted(found, key=lambda one: _turn(kit, one.standing)))


def _turn(kit: Kit, standing: AssemblyPose) -> tuple[int, int]:
    """Return when a part comes: by its step, and in a step in the order in which that names the parts."""
    step = standing.step
    if step is None:
        return len(kit.assembly), 0
    named = kit.assembly[step].parts
    return step, named.index(standing.part) if standing.part in named else len(named)


def _room(placed: Placed) -> SpaceBox:
    corners = board_of(placed).corners()
    return SpaceBox(_vector(corners.min(axis=0).tolist()), _vector(corners.max(axis=0).tolist()))


def _around(rooms: Sequence[SpaceBox]) -> SpaceBox:
    return SpaceBox(
        _vector(min(room.low[k] for room in rooms) for k in range(3)),
        _vector(max(room.high[k] for room in rooms) for k in range(3)),
    )


def pulled_off(coming: Sequence[Stood], there: Sequence[Stood], *, whole: bool = True) -> list[Vector]:
    """Return how far each of the coming parts is moved, in their order, mm; those that are there stay.

    With nothing there the first part stays; in a picture of the `whole` piece it does not where the author says which
    way it is pulled.
    """
    rooms = [one.room for one in there]
    room = _around([one.room for one in (*there, *coming)])
    diagonal = sum(edge**2 for edge in room.size) ** 0.5
    found = []
    for one in coming:
        way = _way(one, room, first=not rooms)
        if way is None or not (rooms or whole) or len(there) + len(coming) == 1:
            by: Vector = (0.0, 0.0, 0.0)
        else:
            by = _scaled(way, one.standing.pull_by or _distance(one.room, rooms, way, diagonal))
        found.append(by)
        rooms.append(one.room.moved(by))
    return found


def _way(one: Stood, room: SpaceBox, *, first: bool) -> Vector | None:
    """Return the direction of a pull; None where a part that nothing else came before stays."""
    if one.standing.pull is not None:
        return one.standing.pull
    if first:
        return None
    off = [(m - c) / max(edge / 2, 1.0) for m, c, edge in zip(one.room.middle, room.middle, room.size, strict=True)]
    axis = max(range(3), key=lambda k: abs(off[k]))
    if abs(off[axis]) < _OFF_CENTRE:
        return 0.0, 0.0, 1.0
    return _vector((1.0 if off[axis] > 0 else -1.0) if k == axis else 0.0 for k in range(3))


def _distance(own: SpaceBox, others: Sequence[SpaceBox], way: Vector, diagonal: float) -> float:
    """Return how far a box goes along a direction until it is past those in its way, with room to look between."""
    across = [edge for edge, w in zip(own.size, way, strict=True) if abs(w) < 0.5] or [0.0]
    gap = max(_GAP * diagonal, _LOOK_BETWEEN * min(across))
    needed = [min(_LOOSE * diagonal, _LOOSE_SELF * max(own.size))]
    for other in others:
        if not own.beside(other, way):
            needed.append(_reach(other, way) + _reach(own, _scaled(way, -1.0)) + gap)
    return max(needed)


def _reach(room: SpaceBox, way: Vector) -> float:
    """Return how far a box reaches along a direction from the origin of space."""
    return sum(max(low * w, high * w) for low, high, w in zip(room.low, room.high, way, strict=True))


def leads_of(one: Stood, by: Vector, number: int, view: PictureView = ROUND_VIEW) -> list[Lead]:
    """Return the lines from where a part is drawn to where it goes: from its outermost points to both sides.

    number: the part's number in the picture.
    """
    if not any(by):
        return []
    board, axes = board_of(one.placed), axes_of(view)
    flat = one.placed.part.outline.flatten(0.2)
    middle = np.column_stack([flat, np.full(len(flat), -one.placed.part.thickness / 2)])
    points = board.world(middle)
    way = axes[:2] @ np.array(by)
    across = points @ axes[:2].T @ np.array([way[1], -way[0]])
    ends = [points[int(index)].tolist() for index in (np.argmin(across), np.argmax(across))]
    return [Lead(_added(_vector(end), by), _vector(end), number) for end in ends]


def leads_to(
    coming: Sequence[tuple[Stood, Vector]], there: Sequence[Stood], things: Sequence[PictureStandIn] = ()
) -> list[Lead]:
    """Return the lines from coming parts, each with how far it is pulled, to those that are there or not pulled.

    A line to a place at which nothing stands would end in the air: it is left out. A part that goes onto a bought thing
    alone has a line to it from each hole or recess that takes it. Parts are numbered behind those that are there.
    """
    stay = [one.room for one in there] + [one.room for one, far in coming if not any(far)]
    rooms = rooms_of(things)
    return [
        lead
        for number, (one, far) in enumerate(coming, len(there))
        for lead in _held(leads_of(one, far, number), stay) or _held(_from_recesses(one, far, number), rooms)
    ]


def leads_apart(pulled: Sequence[tuple[Stood, Vector]], things: Sequence[PictureStandIn]) -> list[Lead]:
    """Return the lines of a picture in which all parts are pulled apart: to where each goes, or onto a thing."""
    rooms, found = rooms_of(things), []
    for number, (one, far) in enumerate(pulled):
        lines = leads_of(one, far, number)
        others = [other.room for other, _ in pulled if other is not one]
        onto = [] if _held(lines, others) else _held(_from_recesses(one, far, number), rooms)
        found += onto or lines
    return found


def _held(leads: Sequence[Lead], rooms: Sequence[SpaceBox]) -> list[Lead]:
    """Return the lines that end at something."""
    return [lead for lead in leads if any(room.holds(lead.end) for room in rooms)]


def _from_recesses(one: Stood, by: Vector, number: int) -> list[Lead]:
    """Return lines from the middles of a part's holes and recesses to where they go."""
    own = [operation for operation in one.placed.part.operations if not operation.frees]
    middles = [path.bounds.centre for operation in own for path in operation.shapes if path.closed and path.vertices]
    spots = [*middles, *(spot for operation in own for spot in operation.points)]
    if not any(by) or not spots:
        return []
    depth = -one.placed.part.thickness / 2
    points = board_of(one.placed).world(np.array([(x, y, depth) for x, y in dict.fromkeys(spots)]))
    return [Lead(_added(_vector(end), by), _vector(end), number) for end in points.tolist()]


def rooms_of(things: Sequence[PictureStandIn]) -> list[SpaceBox]:
    """Return the box around each body of the things, balls left out as in the pictures."""
    corners: dict[int, list[np.ndarray[Any, Any]]] = {}
    for patch in staged(things).patches:
        corners.setdefault(patch.body, []).extend(patch.rings)
    rings = [np.concatenate(found) for _, found in sorted(corners.items())]
    return [SpaceBox(_vector(one.min(axis=0).tolist()), _vector(one.max(axis=0).tolist())) for one in rings]


def drawn(one: Stood, by: Vector = (0.0, 0.0, 0.0), *, picked: bool = False) -> Placed:
    """Return a part for a picture, moved and picked out."""
    return replace(one.placed.moved(by), picked=picked)


def _vector(values: Iterable[float]) -> Vector:
    x, y, z = values
    return x, y, z


def _added(a: Vector, b: Vector) -> Vector:
    return a[0] + b[0], a[1] + b[1], a[2] + b[2]


def _scaled(a: Vector, by: float) -> Vector:
    return a[0] * by, a[1] * by, a[2] * by
