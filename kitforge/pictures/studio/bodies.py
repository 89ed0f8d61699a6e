"""What stands before the camera: flat patches and balls, each of a body of wood or of a plain material."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from kitforge.pictures.shaded.solids import Board, Placed, board_of, by_height, rings_of

if TYPE_CHECKING:
    from typing import Any

    from kitforge.pictures.studio.relief import Relief

    Points = NDArray[np.floating[Any]]

# Sides that meet at less than this are one rounded side.
_SMOOTH = math.cos(math.radians(28))


@dataclass(frozen=True, slots=True)
class Plain:
    """A material that is no wood. colour: '#rrggbb'; gloss: how much of the lamp it mirrors; power: how sharply;
    through: share of the light that comes through it."""

    colour: str
    gloss: float = 0.05
    power: int = 16
    through: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class Patch:
    """A flat piece of a surface: closed rings of points (n, 3), even-odd, and the way that it looks.

    smooth: the number of a surface that runs on without an edge; ends: where the way it looks turns from one side to
    the other (a point, the way across divided by its length, and both normals); level: it lies on a part's face.
    """

    body: int
    smooth: int
    normal: Points
    rings: tuple[Points, ...]
    ends: tuple[Points, Points, Points, Points] | None = None
    level: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Ball:
    """A ball. middle: (3,) mm."""

    body: int
    smooth: int
    middle: Points
    radius: float


@dataclass(frozen=True, slots=True, eq=False)
class SceneBody:
    """A thing in the picture: a board with its relief if it has any, or something of a plain material."""

    board: Board | None = None
    relief: Relief | None = None
    plain: Plain | None = None


class Stage:
    """Where bodies are put; numbers them and their surfaces."""

    def __init__(self) -> None:
        self.bodies: list[SceneBody] = []
        self.patches: list[Patch] = []
        self.balls: list[Ball] = []
        self._surfaces = 0

    def surface(self) -> int:
        """Return the number of a new surface."""
        self._surfaces += 1
        return self._surfaces - 1

    @property
    def surfaces(self) -> int:
        """How many surfaces there are."""
        return self._surfaces

    def add_board(self, placed: Placed, relief: Relief | None, fine: float) -> None:
        """Put a part as cut on the stage; its curves are straight within `fine` mm."""
        board, number = board_of(placed), len(self.bodies)
        self.bodies.append(SceneBody(board, relief))
        ends = [(-layer.top, True, layer.area) for layer in placed.layers]
        ends += [(-layer.bottom, False, layer.area) for layer in placed.layers]
        for up in (True, False):
            normal = board.axes[2] * (1.0 if up else -1.0)
            for z, areas in by_height([(height, area) for height, top, area in ends if top is up]):
                for rings in rings_of(areas, fine):
                    level = tuple(board.world(np.column_stack([ring, np.full(len(ring), z)])) for ring in rings)
                    self.patches.append(Patch(number, self.surface(), normal, level, level=up))
        for layer in placed.layers:
            for rings in rings_of([layer.area], fine):
                for ring in rings:
                    self._add_wall(board, number, ring, -layer.top, -layer.bottom)

    def _add_wall(self, board: Board, number: int, ring: Points, high: float, low: float) -> None:
        """Add the upright sides along a ring of (x, y); its wood lies to the left of it."""
        for run in smooth_runs(ring):
            surface = self.surface()
            for start, end, first, last in run:
                corners = _upright(start, end, high, low)
                a, b = board.world(corners[:2])
                # The plane is that of the corners: seen flat, another one would reach in front of what hides it.
                out = np.array([end[1] - start[1], start[0] - end[0], 0.0]) @ board.axes
                along = (b - a) / float((b - a) @ (b - a))
                ends = a, along, _flat3(first) @ board.axes, _flat3(last) @ board.axes
                self.patches.append(Patch(number, surface, _unit(out), (board.world(corners),), ends))

    def add_turned(
        self, profile: Sequence[tuple[float, float]], at: Points, axis: Points, plain: Plain, sides: int = 60
    ) -> None:
        """Add a turned thing: the profile (radius, height), outside from the bottom up, about an axis through `at`."""
        number = len(self.bodies)
        self.bodies.append(SceneBody(plain=plain))
        across = np.array([axis[1], axis[2], axis[0]]) if abs(axis[2]) < 0.9 else np.array([1.0, 0.0, 0.0])
        u = _unit(np.cross(axis, across))
        v = np.cross(axis, u)
        turns = [2 * math.pi * k / sides for k in range(sides + 1)]
        spokes = [math.cos(turn) * u + math.sin(turn) * v for turn in turns]
        for (r0, h0), (r1, h1) in pairwise(profile):
            self._add_band(number, at, axis, spokes, (r0, h0, r1, h1))

    def _add_band(
        self,
        number: int,
        at: Points,
        axis: Points,
        spokes: Sequence[Points],
        band: tuple[float, float, float, float],
    ) -> None:
        r0, h0, r1, h1 = band
        size = math.hypot(r1 - r0, h1 - h0)
        out, up = (h1 - h0) / size, (r0 - r1) / size
        surface = self.surface()
        if out == 0:  # a level ring, drawn whole
            rings = [np.array([at + axis * h0 + s * r for s in spokes]) for r in (r0, r1) if r > 0]
            self.patches.append(Patch(number, surface, axis * up, tuple(rings)))
            return
        for a, b in pairwise(spokes):
            low, high = [at + axis * h0 + s * r0 for s in (a, b)], [at + axis * h1 + s * r1 for s in (a, b)]
            ring = np.array([*low, *reversed(high), low[0]])
            first, last = a * out + axis * up, b * out + axis * up
            wide = (low[0] + high[0]) / 2, (low[1] + high[1]) / 2
            way = wide[1] - wide[0]
            ends = wide[0], way / float(way @ way), first, last
            plane = np.cross(ring[2] - ring[0], ring[3] - ring[1])
            self.patches.append(Patch(number, surface, _unit(plane), (ring,), ends))

    def add_slab(self, ring: Points, at: Points, axes: Points, thick: float, plain: Plain) -> None:
        """Add a flat thing: a closed ring (n, 2) counter-clockwise on rows x, y of `axes`, `thick` mm along row z."""
        number = len(self.bodies)
        self.bodies.append(SceneBody(plain=plain))
        low = ring[:, :1] * axes[0] + ring[:, 1:] * axes[1] + at
        high = low + axes[2] * thick
        self.patches.append(Patch(number, self.surface(), axes[2], (high,)))
        self.patches.append(Patch(number, self.surface(), -axes[2], (low,)))
        surface = self.surface()
        for k in range(len(ring) - 1):
            out = _unit(np.cross(low[k + 1] - low[k], axes[2]))
            corners = np.array([high[k], high[k + 1], low[k + 1], low[k], high[k]])
            self.patches.append(Patch(number, surface, out, (corners,)))

    def add_ball(self, middle: Points, radius: float, plain: Plain) -> None:
        """Add a ball."""
        self.balls.append(Ball(len(self.bodies), self.surface(), middle, radius))
        self.bodies.append(SceneBody(plain=plain))

    def corners(self) -> Points:
        """Return points (n, 3) that everything lies within."""
        found = [ring for patch in self.patches for ring in patch.rings]
        for ball in self.balls:
            found.append(
                ball.middle + ball.radius * np.array([[i, j, k] for i in (-1, 1) for j in (-1, 1) for k in (-1, 1)])
            )
        return np.concatenate(found)


def smooth_runs(ring: Points) -> Iterator[list[tuple[Points, Points, Points, Points]]]:
    """Yield the sides of a closed ring (n, 2) in runs without an edge: start, end, and the normals at both."""
    ways = ring[1:] - ring[:-1]
    sizes = np.sqrt((ways * ways).sum(axis=1))
    kept = sizes > 1e-6
    starts, ends, ways = ring[:-1][kept], ring[1:][kept], ways[kept] / sizes[kept][:, None]
    outs = np.stack([ways[:, 1], -ways[:, 0]], axis=1)
    before, after = np.roll(outs, 1, axis=0), np.roll(outs, -1, axis=0)
    goes_on = (outs * after).sum(axis=1) > _SMOOTH
    comes_on = np.roll(goes_on, 1)
    first = np.where(comes_on[:, None], outs + before, 2 * outs)
    last = np.where(goes_on[:, None], outs + after, 2 * outs)
    first /= np.sqrt((first * first).sum(axis=1))[:, None]
    last /= np.sqrt((last * last).sum(axis=1))[:, None]
    edge = np.flatnonzero(~comes_on)
    begin = int(edge[0]) if len(edge) else 0
    run: list[tuple[Points, Points, Points, Points]] = []
    for step in range(len(starts)):
        k = (begin + step) % len(starts)
        if run and not comes_on[k]:
            yield run
            run = []
        run.append((starts[k], ends[k], first[k], last[k]))
    if run:
        yield run


def _upright(start: Points, end: Points, high: float, low: float) -> Points:
    return np.array([(*start, high), (*end, high), (*end, low), (*start, low), (*start, high)])


def _flat3(way: Points) -> Points:
    return np.array([way[0], way[1], 0.0])


def _unit(way: Points) -> Points:
    found: Points = way / float(way @ way) ** 0.5
    return found
