"""Flat faces of boards in space, and which of them every dot of a paper shows: a depth buffer in NumPy."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray
from shapely import MultiPolygon, union_all
from shapely.geometry.polygon import orient

from kitforge.model.kit import OperationKind, Part, Side
from kitforge.pictures.shaded.view import PictureView
from kitforge.planning.areas import filled, multi
from kitforge.surface.grid import Grid
from kitforge.surface.layers import WoodLayer
from kitforge.surface.outline import inside_rings

if TYPE_CHECKING:
    from typing import Any


Vector = tuple[float, float, float]
# Where a side meets a face that looks at the eye, the face is seen.
_BEHIND = 0.03
_SEAM = 0.002


@dataclass(frozen=True, slots=True)
class Placed:
    """A part in space. at: where the origin of its drawing (on its face) lies, mm; along_x, along_y: which way its
    x and y run, unit vectors at right angles. Its face looks along their cross product. layers: the part as cut;
    without them it has its outline and through holes alone. picked: whether it is picked out among the others."""

    part: Part
    at: Vector
    along_x: Vector = (1.0, 0.0, 0.0)
    along_y: Vector = (0.0, 1.0, 0.0)
    layers: tuple[WoodLayer, ...] = ()
    picked: bool = False

    def moved(self, by: Vector) -> Placed:
        """Return the part elsewhere, as for an exploded view."""
        x, y, z = (a + b for a, b in zip(self.at, by, strict=True))
        return replace(self, at=(x, y, z))


@dataclass(frozen=True, slots=True, eq=False)
class Facet:
    """A plane in space with closed rings of points (n, 3) in it, even-odd. board: number of its part."""

    board: int
    normal: NDArray[np.floating[Any]]
    rings: tuple[NDArray[np.floating[Any]], ...]
    behind: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class Board:
    """A placed part as numbers: axes (3, 3) as rows x, y, z of the part in space, origin (3,)."""

    placed: Placed
    axes: NDArray[np.floating[Any]]
    origin: NDArray[np.floating[Any]]

    def world(self, points: NDArray[np.floating[Any]]) -> NDArray[np.floating[Any]]:
        """Return points (n, 3) of the part's own coordinates in space."""
        moved: NDArray[np.floating[Any]] = points @ self.axes + self.origin
        return moved

    def corners(self) -> NDArray[np.floating[Any]]:
        """Return the eight corners of its box in space, shape (8, 3)."""
        box, thick = self.placed.part.outline.bounds, self.placed.part.thickness
        own = [(x, y, z) for x in (box.left, box.right) for y in (box.bottom, box.top) for z in (0.0, -thick)]
        return self.world(np.array(own))


def board_of(placed: Placed) -> Board:
    """Return a placed part as numbers. Raises ValueError unless its directions are unit vectors at right angles."""
    x, y = np.array(placed.along_x, dtype=np.float64), np.array(placed.along_y, dtype=np.float64)
    if abs(x @ x - 1) > 1e-6 or abs(y @ y - 1) > 1e-6 or abs(x @ y) > 1e-6:
        raise ValueError("a part's directions in space must be unit vectors at right angles")
    return Board(placed, np.array([x, y, np.cross(x, y)]), np.array(placed.at, dtype=np.float64))


def faces_of(board: Board, number: int, fine: float = 0.02) -> Iterator[Facet]:
    """Yield the faces of a part as cut; curves are straight within `fine` mm."""
    part = board.placed.part
    layers = board.placed.layers or (WoodLayer(_uncut(part), 0.0, part.thickness),)
    # Level faces are drawn whole: two layers that end at one height have no seam between them.
    for z, areas, normal in (
        *((-top, areas, board.axes[2]) for top, areas in by_height([(one.top, one.area) for one in layers])),
        *((-low, areas, -board.axes[2]) for low, areas in by_height([(one.bottom, one.area) for one in layers])),
    ):
        for rings in rings_of(areas, fine):
            level = (np.column_stack([ring, np.full(len(ring), z)]) for ring in rings)
            yield Facet(number, normal, tuple(board.world(ring) for ring in level))
    for layer in layers:
        for rings in rings_of([layer.area], fine):
            for ring in rings:
                yield from _sides(board, number, ring, -layer.top, -layer.bottom)


def by_height(ends: Sequence[tuple[float, MultiPolygon]]) -> list[tuple[float, list[MultiPolygon]]]:
    """Return areas by the height at which they end, heights in the order in which they come."""
    return [(height, [area for at, area in ends if at == height]) for height in dict.fromkeys(at for at, _ in ends)]


def rings_of(areas: Sequence[MultiPolygon], fine: float) -> Iterator[list[NDArray[np.floating[Any]]]]:
    """Yield the rings of each polygon of joined areas, shape (n, 2): the outer one to the left, holes to the right."""
    joined = areas[0] if len(areas) == 1 else union_all([area.buffer(_SEAM, join_style="mitre") for area in areas])
    for polygon in multi([joined.simplify(fine)]).geoms:
        turned = orient(polygon)
        yield [np.asarray(ring.coords)[:, :2] for ring in (turned.exterior, *turned.interiors)]


def _uncut(part: Part) -> MultiPolygon:
    """Return the outline of a part with what its inside profiles take out of it."""
    through = (o for o in part.operations if o.does is OperationKind.PROFILE and o.through and o.side is Side.INSIDE)
    holes = filled([path for operation in through for path in operation.shapes])
    return multi([filled([part.outline]).difference(holes)])


def _sides(board: Board, number: int, ring: NDArray[np.floating[Any]], high: float, low: float) -> Iterator[Facet]:
    """Yield the upright faces along a ring; its wood lies to the left of it."""
    for start, end in pairwise(ring):
        along = end - start
        size = float(np.hypot(*along))
        if size > 1e-6:
            corners = [(*start, high), (*end, high), (*end, low), (*start, low), (*start, high)]
            out = np.array([along[1], -along[0], 0.0]) / size
            yield Facet(number, out @ board.axes, (board.world(np.array(corners)),), _BEHIND)


@dataclass(frozen=True, slots=True, eq=False)
class Eye:
    """A parallel view: rows of `axes` are right, up and away in space; dots of 1/scale mm; left, low: the corner."""

    axes: NDArray[np.floating[Any]]
    columns: int
    rows: int
    left: float
    low: float
    scale: float

    def seen(self, points: NDArray[np.floating[Any]]) -> NDArray[np.floating[Any]]:
        """Return points (n, 3) of space as (right, up, away), mm."""
        turned: NDArray[np.floating[Any]] = points @ self.axes.T
        return turned

    def coarser(self, times: int) -> Eye:
        """Return the same view with fewer dots."""
        return Eye(
            self.axes, -(-self.columns // times), -(-self.rows // times), self.left, self.low, self.scale / times
        )


def axes_of(view: PictureView) -> NDArray[np.floating[Any]]:
    """Return the directions right, up and away of a view."""
    c, s = math.cos(math.radians(view.turn)), math.sin(math.radians(view.turn))
    lift, height = view.lift, view.height
    return np.array([[c, -s, 0.0], [s * lift, c * lift, height], [s * height, c * height, -lift]])


def eye_towards(
    axes: NDArray[np.floating[Any]],
    corners: NDArray[np.floating[Any]],
    width: int,
    rim: float = 0.05,
    height: int | None = None,
) -> Eye:
    """Return an eye whose paper of `width` dots shows all the points (n, 3), at most `height` dots high.

    Where the height is what limits, the paper is as narrow as the points need.
    """
    seen = corners @ axes.T
    (left, low, _), (right, high, _) = seen.min(axis=0), seen.max(axis=0)
    across, up = max(float(right - left), 1e-6), max(float(high - low), 1e-6)
    if height is not None and up * width * (1 - 2 * rim) / across + 2 * rim * width > height:
        width = max(1, math.floor(height / (up * (1 - 2 * rim) / across + 2 * rim)))
    scale = width * (1 - 2 * rim) / across
    rows = math.ceil(up * scale + 2 * rim * width)
    return Eye(axes, width, rows, float(left) - rim * width / scale, float(low) - rim * width / scale, scale)


@dataclass(frozen=True, slots=True, eq=False)
class Shown:
    """What the dots show: away mm (inf: nothing), and the number of the face (-1: nothing)."""

    away: NDArray[np.floating[Any]]
    face: NDArray[np.int32]


def look(eye: Eye, faces: Sequence[Facet]) -> Shown:
    """Return which face every dot shows, nearest first; row 0 lowest. Faces that look away are left out."""
    shape = (eye.rows, eye.columns)
    shown = Shown(np.full(shape, np.inf, dtype=np.float32), np.full(shape, -1, dtype=np.int32))
    for number, face in enumerate(faces):
        if float(face.normal @ eye.axes[2]) < -1e-4:
            _draw(eye, face, number, shown)
    return shown


def _draw(eye: Eye, face: Facet, number: int, shown: Shown) -> None:
    rings = [eye.seen(ring)[:, :2].astype(np.float64) for ring in face.rings]
    corner = np.array([eye.left, eye.low])
    low = np.floor((np.min([r.min(axis=0) for r in rings], axis=0) - corner) * eye.scale).astype(int)
    high = np.ceil((np.max([r.max(axis=0) for r in rings], axis=0) - corner) * eye.scale).astype(int)
    (c0, r0), (c1, r1) = np.maximum(low, 0), np.minimum(high + 1, (eye.columns, eye.rows))
    if c0 >= c1 or r0 >= r1:
        return
    window = Grid(eye.left + c0 / eye.scale, eye.low + r0 / eye.scale, 1 / eye.scale, int(r1 - r0), int(c1 - c0))
    # The plane: every point p of it has normal * p the same.
    right, up, away = (float(face.normal @ axis) for axis in eye.axes)
    level = float(face.normal @ face.rings[0][0]) / away + face.behind
    far = ((level - window.y() * (up / away))[:, None] - window.x() * (right / away)).astype(np.float32)
    place = slice(r0, r1), slice(c0, c1)
    near = inside_rings(window, rings) & (far < shown.away[place])
    np.copyto(shown.away[place], far, where=near)
    np.copyto(shown.face[place], number, where=near)
