"""Path data of SVG (the `d` attribute), by the grammar of SVG 1.1 section 8.3 and SVG 2 section 9.3.

Strict: a token that does not fit is an error with its position, where a browser would draw what came before it.
Circular arcs stay arcs; the conversion of arcs follows SVG 1.1 appendix F.6 (implementation notes).
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass, field

from kitforge.geometry.affine import Affine
from kitforge.geometry.bezier import Cubic, Point, quadratic
from kitforge.geometry.biarc import FIT_TOLERANCE
from kitforge.geometry.ellipse import EllipticArc
from kitforge.model.drawing import MisfitError, shown
from kitforge.model.messages import Message, msg
from kitforge.model.path import Path, Vertex

_NUMBER = re.compile(r"[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]{1,4})?")
_BETWEEN = re.compile(r"[ \t\r\n\f]*,?[ \t\r\n\f]*")
_SPACE = re.compile(r"[ \t\r\n\f]*")
_ARGUMENTS = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 7, "Z": 0}
_SAME = 1e-9
_MAX_SEGMENTS = 200_000

Segment = Point | Cubic | EllipticArc


@dataclass(slots=True)
class Subpath:
    """One run of the pen in the file's own units: where it starts and what follows (a point is a straight line)."""

    start: Point
    segments: list[Segment] = field(default_factory=list)
    closed: bool = False

    def to_path(
        self, matrix: Affine, tolerance: float = FIT_TOLERANCE, grown: Callable[[int], None] | None = None
    ) -> Path:
        """Return the image under `matrix` (to mm) as lines and arcs; curves are fitted within `tolerance` mm.

        `grown` is told after every curve by how many arcs it is more than one, and may raise to stop.
        """
        here = matrix(*self.start)
        vertices: list[Vertex] = []
        for segment in self.segments:
            if isinstance(segment, tuple) and not isinstance(segment, Cubic):
                vertices.append(Vertex(*here))
                here = matrix(*segment)
                continue
            image = segment.transformed(matrix)
            drawn = image.vertices(tolerance)
            if grown is not None:
                grown(len(drawn) - 1)
            vertices += [Vertex(*here, drawn[0].bulge), *drawn[1:]]
            here = image.end()
        return _finish(vertices, here, self.closed)

    def curves(self, matrix: Affine) -> int:
        """Return how many segments are neither lines nor, as seen under `matrix`, parts of circles."""
        bent = [segment for segment in self.segments if isinstance(segment, Cubic | EllipticArc)]
        return sum(isinstance(one, Cubic) or not (matrix @ one.frame).keeps_circles for one in bent)


def _finish(vertices: list[Vertex], end: Point, closed: bool) -> Path:
    if closed and vertices and math.hypot(end[0] - vertices[0].x, end[1] - vertices[0].y) <= 1e-6:
        return Path(tuple(vertices))
    return Path((*vertices, Vertex(*end)), closed)


def parse_path_data(text: str) -> list[Subpath]:
    """Return the subpaths of a `d` attribute. Raises ValueError that names the position of the first fault."""
    return _Reader(text).read()


def path_from_data(text: str) -> Path:
    """Return the one path that path data describe, in mm with y upwards (so sweep flag 1 turns counter-clockwise)."""
    paths = paths_from_data(text)
    if len(paths) != 1:
        raise MisfitError(msg("the path data must draw one path, not {count}", count=len(paths)))
    return paths[0]


def paths_from_data(text: str) -> list[Path]:
    """Return every path that path data draw, in mm with y upwards."""
    return [subpath.to_path(Affine()) for subpath in parse_path_data(text) if subpath.segments]


class _Reader:
    """A pen that runs over the text."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.here: Point = (0.0, 0.0)
        self.control: Point | None = None
        self.before = ""
        self.subpaths: list[Subpath] = []
        self.count = 0

    def read(self) -> list[Subpath]:
        self._skip(_SPACE)
        while self.at < len(self.text):
            letter = self.text[self.at]
            if letter.upper() not in _ARGUMENTS:
                raise self._fault(msg("'{letter}' is no path command", letter=shown(letter)))
            if not self.subpaths and letter not in "Mm":
                raise self._fault(msg("path data must begin with M"))
            self.at += 1
            self._skip(_SPACE)
            self._command(letter)
            self._skip(_SPACE)
        return self.subpaths

    def _command(self, letter: str) -> None:
        kind = letter.upper()
        if kind == "Z":
            self._close()
            return
        while True:
            values = self._values(_ARGUMENTS[kind], flags=kind == "A")
            self._draw(kind, values, self.here if letter.islower() else (0.0, 0.0))
            kind = "L" if kind == "M" else kind
            mark = self.at
            self._skip(_BETWEEN)
            if not _NUMBER.match(self.text, self.at):
                if "," in self.text[mark : self.at]:
                    raise self._fault(msg("a number is missing after the comma"))
                return

    def _values(self, count: int, *, flags: bool) -> list[float]:
        values = []
        for index in range(count):
            if index:
                self._skip(_BETWEEN)
            values.append(self._flag() if flags and index in (3, 4) else self._number())
        return values

    def _number(self) -> float:
        match = _NUMBER.match(self.text, self.at)
        if match is None:
            raise self._fault(msg("a number is missing"))
        self.at = match.end()
        value = float(match[0])
        if not abs(value) < 1e20:
            raise self._fault(msg("the number {number} is too large", number=shown(match[0], 20)))
        return value

    def _flag(self) -> float:
        flag = self.text[self.at : self.at + 1]
        if flag not in ("0", "1"):
            raise self._fault(msg("an arc flag must be 0 or 1"))
        self.at += 1
        return float(flag)

    def _skip(self, pattern: re.Pattern[str]) -> None:
        match = pattern.match(self.text, self.at)
        self.at = match.end() if match else self.at

    def _fault(self, what: Message) -> MisfitError:
        near, at = shown(self.text[self.at : self.at + 12]), self.at + 1
        if near:
            return MisfitError(msg("path data: {what} at character {at}, before '{near}'", what=what, at=at, near=near))
        return MisfitError(msg("path data: {what} at character {at}", what=what, at=at))

    def _draw(self, kind: str, values: list[float], origin: Point) -> None:
        self.count += 1
        if self.count > _MAX_SEGMENTS:
            raise self._fault(msg("more than {most} segments", most=_MAX_SEGMENTS))
        if kind == "M":
            self._move(values[0] + origin[0], values[1] + origin[1])
            return
        if self.before == "Z":
            self.subpaths.append(Subpath(self.here))
        self._add(kind, values, origin)
        self.before = kind

    def _add(self, kind: str, values: list[float], origin: Point) -> None:
        if kind == "A":
            self._arc(values, (values[5] + origin[0], values[6] + origin[1]))
        elif kind == "H":
            self._to((values[0] + origin[0], self.here[1]))
        elif kind == "V":
            self._to((self.here[0], values[0] + origin[1]))
        else:
            points = [(values[k] + origin[0], values[k + 1] + origin[1]) for k in range(0, len(values), 2)]
            self._curve(kind, points)

    def _move(self, x: float, y: float) -> None:
        self.here = (x, y)
        self.subpaths.append(Subpath(self.here))
        self.before, self.control = "M", None

    def _close(self) -> None:
        if self.before == "Z":
            return  # the grammar allows it, and it draws nothing
        subpath = self.subpaths[-1]
        subpath.closed = True
        self.here, self.before, self.control = subpath.start, "Z", None

    def _to(self, point: Point) -> None:
        self.subpaths[-1].segments.append(point)
        self.here, self.control = point, None

    def _curve(self, kind: str, points: list[Point]) -> None:
        if kind == "L":
            self._to(points[0])
            return
        reflected = self._reflected(kind)
        if kind in "ST":
            points = [reflected, *points]
        cubic = Cubic(self.here, *points) if kind in "CS" else quadratic(self.here, *points)
        self.subpaths[-1].segments.append(cubic)
        self.here, self.control = points[-1], points[-2]

    def _reflected(self, kind: str) -> Point:
        """Return the control point of S and T: the last one mirrored, if the command before was of the same family."""
        if self.control is None or self.before not in ("CS" if kind == "S" else "QT"):
            return self.here
        return 2 * self.here[0] - self.control[0], 2 * self.here[1] - self.control[1]

    def _arc(self, values: list[float], end: Point) -> None:
        rx, ry, turn, large, sweep = values[:5]
        if math.hypot(end[0] - self.here[0], end[1] - self.here[1]) <= _SAME:
            return
        if rx == 0 or ry == 0:
            self._to(end)
            return
        arc = arc_by_ends(self.here, end, (abs(rx), abs(ry)), turn, large=large == 1, sweep=sweep == 1)
        self.subpaths[-1].segments.append(arc)
        self.here, self.control = end, None


def arc_by_ends(start: Point, end: Point, radii: Point, degrees: float, *, large: bool, sweep: bool) -> EllipticArc:
    """Return the elliptical arc between two points (SVG 1.1 F.6.5 and F.6.6); radii too small are scaled up."""
    rx, ry = radii
    turn = math.radians(degrees % 360) if rx != ry else 0.0
    cos, sin = math.cos(turn), math.sin(turn)
    hx, hy = (start[0] - end[0]) / 2, (start[1] - end[1]) / 2
    # half the chord in the frame where the ellipse is the unit circle
    ux, uy = (cos * hx + sin * hy) / rx, (cos * hy - sin * hx) / ry
    square = ux * ux + uy * uy
    if square > 1:
        grow = math.sqrt(square)
        rx, ry, ux, uy, square = rx * grow, ry * grow, ux / grow, uy / grow, 1.0
    lift = math.sqrt(max(0.0, 1 / square - 1)) * (1 if large != sweep else -1)
    vx, vy = lift * uy, -lift * ux
    first, last = math.atan2(uy - vy, ux - vx), math.atan2(-uy - vy, -ux - vx)
    angle = (last - first) % (2 * math.pi)
    angle = angle if sweep else angle - 2 * math.pi
    frame = Affine(cos * rx, sin * rx, -sin * ry, cos * ry)
    mx, my = frame.direction(vx, vy)
    centre = ((start[0] + end[0]) / 2 + mx, (start[1] + end[1]) / 2 + my)
    return EllipticArc(frame._replace(e=centre[0], f=centre[1]), first, angle, end)
