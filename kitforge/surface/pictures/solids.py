"""Flat faces of boards in space, and which of them every dot of a paper shows: a depth buffer in NumPy."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from kitforge.kit import Doing, Part, Side
from kitforge.surface.grid import Grid
from kitforge.surface.outline import inside_rings
from kitforge.surface.pictures.view import View

if TYPE_CHECKING:
    from typing import Any

    import numpy as np
    from numpy.typing import NDArray

Vector = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Placed:
    """A part in space. at: where the origin of its drawing (on its face) lies, mm; along_x, along_y: which way its
    x and y run, unit vectors at right angles. Its face looks along their cross product."""

    part: Part
    at: Vector
    along_x: Vector = (1.0, 0.0, 0.0)
    along_y: Vector = (0.0, 1.0, 0.0)

    def moved(self, by: Vector) -> Placed:
        """Return the part elsewhere, as for an exploded view."""
        x, y, z = (a + b for a, b in zip(self.at, by, strict=True))
        return Placed(self.part, (x, y, z), self.along_x, self.along_y)


@dataclass(frozen=True, slots=True, eq=False)
class Face:
    """A plane with rings in it, even-odd. board: number of its part; origin, a, b: in the part's own coordinates."""

    board: int
    origin: NDArray[np.floating[Any]]
    a: NDArray[np.floating[Any]]
    b: NDArray[np.floating[Any]]
    normal: NDArray[np.floating[Any]]
    rings: tuple[NDArray[np.floating[Any]], ...]


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


def board_of(placed: Placed) -> Board:
    """Return a placed part as numbers. Raises ValueError unless its directions are unit vectors at right angles."""
    import numpy as np

    x, y = np.array(placed.along_x, dtype=np.float64), np.array(placed.along_y, dtype=np.float64)
    if abs(x @ x - 1) > 1e-6 or abs(y @ y - 1) > 1e-6 or abs(x @ y) > 1e-6:
        raise ValueError("a part's directions in space must be unit vectors at right angles")
    return Board(placed, np.array([x, y, np.cross(x, y)]), np.array(placed.at, dtype=np.float64))


def faces_of(board: Board, number: int) -> Iterator[Face]:
    """Yield the face, the underside and the sides of a part with its holes."""
    import numpy as np

    part = board.placed.part
    through = (o for o in part.operations if o.does is Doing.PROFILE and o.through and o.side is Side.INSIDE)
    holes = [path for o in through for path in o.shapes if path.closed]
    rings = [part.outline.counter_clockwise().flatten(0.02)]
    rings += [hole.counter_clockwise().flatten(0.02)[::-1] for hole in holes]
    thick = part.stock.actual
    x, y, z = np.eye(3)
    flat = tuple(rings)
    yield Face(number, np.zeros(3), x, y, board.axes[2], flat)
    yield Face(number, np.array([0, 0, -thick]), x, y, -board.axes[2], flat)
    square = np.array([[0, 0], [1, 0], [1, 1], [0, 1], [0, 0]], dtype=np.float64)
    for ring in rings:
        for start, end in pairwise(ring):
            along = np.array([*(end - start), 0.0])
            size = float(np.linalg.norm(along))
            if size > 1e-6:
                out = np.array([along[1], -along[0], 0.0]) / size
                yield Face(number, np.array([*start, -thick]), along, thick * z, out @ board.axes, (square,))


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


def axes_of(view: View) -> NDArray[np.floating[Any]]:
    """Return the directions right, up and away of a view."""
    import numpy as np

    c, s = math.cos(math.radians(view.turn)), math.sin(math.radians(view.turn))
    lift, height = view.lift, view.height
    return np.array([[c, -s, 0.0], [s * lift, c * lift, height], [s * height, c * height, -lift]])


def eye_towards(
    axes: NDArray[np.floating[Any]], corners: NDArray[np.floating[Any]], width: int, rim: float = 0.05
) -> Eye:
    """Return an eye whose paper of `width` dots shows all the points (n, 3)."""
    seen = corners @ axes.T
    (left, low, _), (right, high, _) = seen.min(axis=0), seen.max(axis=0)
    scale = width * (1 - 2 * rim) / max(float(right - left), 1e-6)
    rows = math.ceil((high - low) * scale + 2 * rim * width)
    return Eye(axes, width, rows, float(left) - rim * width / scale, float(low) - rim * width / scale, scale)


@dataclass(frozen=True, slots=True, eq=False)
class Shown:
    """What the dots show: away mm (inf: nothing), face number (-1: nothing), a and b in the plane of the face."""

    away: NDArray[np.floating[Any]]
    face: NDArray[np.int32]
    a: NDArray[np.floating[Any]]
    b: NDArray[np.floating[Any]]


def look(eye: Eye, boards: Sequence[Board], faces: Sequence[Face]) -> Shown:
    """Return which face every dot shows, nearest first; row 0 lowest. Faces that look away are left out."""
    import numpy as np

    shape = (eye.rows, eye.columns)
    away = np.full(shape, np.inf, dtype=np.float32)
    shown = Shown(away, np.full(shape, -1, dtype=np.int32), np.zeros(shape, np.float32), np.zeros(shape, np.float32))
    for number, face in enumerate(faces):
        if float(face.normal @ eye.axes[2]) < -1e-4:
            _draw(eye, boards[face.board], face, number, shown)
    return shown


def _draw(eye: Eye, board: Board, face: Face, number: int, shown: Shown) -> None:
    import numpy as np

    origin = eye.seen(board.world(face.origin[None]))[0]
    a, b = (eye.seen((side @ board.axes)[None])[0] for side in (face.a, face.b))
    rings = [origin[:2] + ring[:, :1] * a[:2] + ring[:, 1:2] * b[:2] for ring in face.rings]
    low = np.floor((np.min([r.min(axis=0) for r in rings], axis=0) - (eye.left, eye.low)) * eye.scale).astype(int)
    high = np.ceil((np.max([r.max(axis=0) for r in rings], axis=0) - (eye.left, eye.low)) * eye.scale).astype(int)
    (c0, r0), (c1, r1) = np.maximum(low, 0), np.minimum(high + 1, (eye.columns, eye.rows))
    turn = float(a[0] * b[1] - a[1] * b[0])
    if c0 >= c1 or r0 >= r1 or abs(turn) < 1e-9:
        return
    window = Grid(eye.left + c0 / eye.scale, eye.low + r0 / eye.scale, 1 / eye.scale, int(r1 - r0), int(c1 - c0))
    row, column = np.nonzero(inside_rings(window, rings))
    x, y = window.x()[column] - origin[0], window.y()[row] - origin[1]
    u, v = (x * b[1] - y * b[0]) / turn, (y * a[0] - x * a[1]) / turn
    away = (origin[2] + u * a[2] + v * b[2]).astype(np.float32)
    row, column = row + r0, column + c0
    near = away < shown.away[row, column]
    row, column = row[near], column[near]
    shown.away[row, column], shown.face[row, column] = away[near], number
    shown.a[row, column], shown.b[row, column] = u[near], v[near]
