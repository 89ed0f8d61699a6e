"""What a calliper finds on a shape: its diameter, or its length and width along its own axes.

The jaws of a calliper are parallel and lie on flats where there are any. So the axes of a shape are those of its
straight outer edges, of which most length lies along them; on a shape without such edges they are its main axes, x and
y where it has none. Every figure is a distance between two parallel lines that touch the shape: arcs count exactly.
Lengths mm, angles degrees.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray
from shapely import MultiPoint, get_coordinates

from kitforge.geometry.transform import rotated
from kitforge.model.path import Path, is_circle
from kitforge.model.piece import Bounds, Piece
from kitforge.model.record import record

Spot = tuple[float, float]

_ROUND = 0.005
"""An arc may lie so far off a circle, mm: what drawings round off."""
_FLAT = 1e-3
"""An edge touches the box around a shape if nothing reaches further beyond it than this, mm."""
_ALIKE = 0.05
"""Directions that differ by less than this count as one, degrees."""
_EVEN, _ENOUGH, _LONGER = 0.99, 0.03, 0.02
"""Own choice: axes with so large a share of the longest edges are as good; edges shorter than this share of the box's
round are no seat for a jaw; moments that differ by less than this share make no axis longer."""


class Form(StrEnum):
    """What a shape is to somebody who measures it."""

    ROUND = "round"
    SLOT = "slot"
    RECTANGLE = "rectangle"
    LINE = "line"
    FREE = "free"


@record
class Extent:
    """A shape as it measures: `along` its first axis, `across` it, and where its middle lies.

    angle: of the first axis to the x axis, in [-45, 45]; both sizes are the diameter of what is round, and across is 0
    for a straight line. centre: the middle of the box along the axes. open_along, open_across: on the piece a wall is
    missing that this size would be measured from; see `planning.walls`.
    """

    form: Form
    along: float
    across: float
    angle: float
    centre: Spot
    open_along: bool = False
    open_across: bool = False

    @property
    def longer(self) -> float:
        """The longer of both sizes."""
        return max(self.along, self.across)

    @property
    def shorter(self) -> float:
        """The shorter of both sizes."""
        return min(self.along, self.across)

    @property
    def is_even(self) -> bool:
        """Whether it measures the same both ways, to the hundredth that is printed."""
        return abs(self.along - self.across) < 0.01

    def at(self, along: float, across: float) -> Spot:
        """Return the point so far from the middle along both axes, mm."""
        dx, dy = _turned((along, across), self.angle)
        return self.centre[0] + dx, self.centre[1] + dy

    def from_middle(self, x: float, y: float) -> Spot:
        """Return how far a point lies from the middle along both axes, mm."""
        return _turned((x - self.centre[0], y - self.centre[1]), -self.angle)

    @property
    def is_turned(self) -> bool:
        """Whether its axes are not those of the drawing."""
        return abs(self.angle) > _ALIKE


def extent_of(path: Path) -> Extent:
    """Return how a path measures. Raises ValueError for a path without points."""
    circle = is_circle(path, _ROUND) if path.closed else None
    if circle is not None:
        x, y, radius = circle
        return Extent(Form.ROUND, 2 * radius, 2 * radius, 0.0, (x, y))
    pieces = [piece for piece in path.pieces() if piece.chord > 0]
    angle = _axis(path, pieces)
    box = _box(path, angle)
    return Extent(_form(path, pieces, box, angle), box.width, box.height, angle, _turned(box.centre, angle))


def round_extent(x: float, y: float, diameter: float) -> Extent:
    """Return how a circle measures."""
    return Extent(Form.ROUND, diameter, diameter, 0.0, (x, y))


def box_around(paths: Sequence[Path]) -> Extent:
    """Return the box along x and y around several paths. Raises ValueError where there is none."""
    boxes = [path.bounds for path in paths]
    if not boxes:
        raise ValueError("nothing has no extent")
    box = Bounds.around(boxes)
    return Extent(Form.FREE, box.width, box.height, 0.0, box.centre)


def _box(path: Path, angle: float) -> Bounds:
    """Return the box along axes turned by an angle, in coordinates turned back by it."""
    return (rotated(path, -angle) if angle else path).bounds


def _turned(spot: Spot, angle: float) -> Spot:
    if not angle:
        return spot
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    return spot[0] * c - spot[1] * s, spot[0] * s + spot[1] * c


def _axis(path: Path, pieces: Sequence[Piece]) -> float:
    """Return the angle of the first axis of a shape."""
    lines = [piece for piece in pieces if not piece.is_arc]
    if (len(pieces) == 1 and lines) or _is_slot(pieces):
        return _quarter(_heading(lines[0]))
    seats = _seats(path, pieces)
    longest = max(seats.values(), default=0.0)
    box = path.bounds
    if not seats or longest < _ENOUGH * 2 * (box.width + box.height):
        return _of_mass(path)
    return min((angle for angle, length in seats.items() if length >= _EVEN * longest), key=lambda a: (abs(a), a))


def _seats(path: Path, pieces: Sequence[Piece]) -> dict[float, float]:
    """Return how much length of straight edges lies on the boxes along each pair of axes."""
    lines = [piece for piece in pieces if not piece.is_arc]
    if not lines:
        return {}
    hull = _hull(path)
    seats: dict[float, float] = defaultdict(float)
    for piece in lines:
        nx, ny = (piece.y0 - piece.y1) / piece.chord, (piece.x1 - piece.x0) / piece.chord
        beside = hull @ np.array((nx, ny)) - (nx * piece.x0 + ny * piece.y0)
        if beside.max() <= _FLAT or beside.min() >= -_FLAT:
            angle = _quarter(_heading(piece))
            known = next((one for one in seats if abs(_quarter(angle - one)) < _ALIKE), angle)
            seats[known] += piece.chord
    return dict(seats)


def _hull(path: Path) -> NDArray[np.float64]:
    points: NDArray[np.float64] = get_coordinates(MultiPoint(path.flatten()).convex_hull)
    return points


def _heading(piece: Piece) -> float:
    return math.degrees(math.atan2(piece.y1 - piece.y0, piece.x1 - piece.x0))


def _quarter(angle: float) -> float:
    """Return the angle of the nearest axis of a pair of axes at right angles, in [-45, 45]; level is exactly 0."""
    turned = 45.0 - (45.0 - angle) % 90.0
    return 0.0 if abs(turned) < 1e-6 else turned


def _of_mass(path: Path) -> float:
    """Return the angle of the main axis of a closed shape, which is an axis of symmetry where there is one; 0 where
    no axis is longer than another, and for an open line.

    With the moments of the area about its centre: tan 2a = 2 Ixy / (Ix - Iy), any book of statics.
    """
    if not path.closed or abs(path.area) < _FLAT:
        return 0.0
    xx, xy, yy = _moments(path)
    if math.hypot(xx - yy, 2 * xy) < _LONGER * (xx + yy):
        return 0.0
    return _quarter(math.degrees(math.atan2(2 * xy, xx - yy) / 2))


def _moments(path: Path) -> tuple[float, float, float]:
    """Return the integrals of x², xy and y² over the area about its centre, by the sum over its edges, mm⁴."""
    points = path.flatten() - np.array(path.bounds.centre)
    (x0, y0), (x1, y1) = points[:-1].T, points[1:].T
    twice = x0 * y1 - x1 * y0
    area = twice.sum() / 2
    mx, my = (twice @ (x0 + x1) / (6 * area), twice @ (y0 + y1) / (6 * area))
    xx = twice @ (x0 * x0 + x0 * x1 + x1 * x1) / 12 - area * mx * mx
    yy = twice @ (y0 * y0 + y0 * y1 + y1 * y1) / 12 - area * my * my
    xy = twice @ (2 * x0 * y0 + x0 * y1 + x1 * y0 + 2 * x1 * y1) / 24 - area * mx * my
    sign = math.copysign(1.0, area)
    return float(sign * xx), float(sign * xy), float(sign * yy)


def _form(path: Path, pieces: Sequence[Piece], box: Bounds, angle: float) -> Form:
    if not path.closed:
        return Form.LINE if len(pieces) == 1 and not pieces[0].is_arc else Form.FREE
    if _is_slot(pieces):
        return Form.SLOT
    return Form.RECTANGLE if _squared(path, pieces, box, angle) else Form.FREE


def _is_slot(pieces: Sequence[Piece]) -> bool:
    """Whether pieces are two lines and two half circles in turns, as wide as each other."""
    if len(pieces) != 4:
        return False
    lines, arcs = sorted((pieces[::2], pieces[1::2]), key=lambda pair: pair[0].is_arc)
    if any(piece.is_arc for piece in lines) or not all(piece.is_arc for piece in arcs):
        return False
    halves = all(abs(abs(piece.sweep) - math.pi) < 1e-3 for piece in arcs)
    return halves and abs(arcs[0].radius - arcs[1].radius) <= _ROUND


def _squared(path: Path, pieces: Sequence[Piece], box: Bounds, angle: float) -> bool:
    """Whether a shape is its box but for rounded corners: straight sides lie along its axes, and only fillets lack."""
    lines = [piece for piece in pieces if not piece.is_arc]
    arcs = [piece for piece in pieces if piece.is_arc]
    level = all(abs(_quarter(_heading(piece) - angle)) < _ALIKE for piece in lines)
    if not (lines and level and all(abs(abs(piece.sweep) - math.pi / 2) < 1e-3 for piece in arcs)):
        return False
    missing = math.fsum((1 - math.pi / 4) * piece.radius**2 for piece in arcs)
    whole = box.width * box.height
    return len(arcs) <= 4 and abs(abs(path.area) + missing - whole) <= 1e-4 * whole
