"""The pen that takes glyphs down as closed chains of cubic curves. Imports fontTools: import it where it is needed."""

from __future__ import annotations

from typing import Any

from fontTools.misc.psCharStrings import T2OutlineExtractor
from fontTools.pens.basePen import BasePen

from kitforge.geometry.bezier import Cubic
from kitforge.model.messages import Message, msg

MOST_PIECES = 4_000
_MOST_PROGRAM = 200_000
_MOST_CALLS = 2_000
_FARTHEST = 1e6

Point = tuple[float, float]


class NoEndError(Exception):
    """A glyph takes more work than any honest one."""

    def __init__(self, message: Message) -> None:
        super().__init__(str(message))
        self.message = message


class ContourPen(BasePen):  # type: ignore[misc]
    """Keeps closed contours; components are drawn in place. Raises NoEndError beyond 4,000 pieces."""

    def __init__(self, glyphs: Any) -> None:  # noqa: ANN401
        super().__init__(glyphs)
        self.contours: list[tuple[Cubic, ...]] = []
        self._pieces: list[Cubic] = []
        self._start: Point = (0.0, 0.0)
        self._count = self._calls = 0

    def addComponent(self, glyphName: str, transformation: Any) -> None:  # noqa: N802, ANN401
        """Draw a part of the glyph."""
        self._calls += 1
        if self._calls > _MOST_CALLS:
            raise NoEndError(msg("it is put together from too many parts."))
        super().addComponent(glyphName, transformation)

    def _moveTo(self, pt: Point) -> None:  # noqa: N802
        self._start, self._pieces = pt, []

    def _lineTo(self, pt: Point) -> None:  # noqa: N802
        here = self._getCurrentPoint()
        self._keep(Cubic(here, here, pt, pt))

    def _curveToOne(self, pt1: Point, pt2: Point, pt3: Point) -> None:  # noqa: N802
        self._keep(Cubic(self._getCurrentPoint(), pt1, pt2, pt3))

    def _closePath(self) -> None:  # noqa: N802
        if not self._pieces:
            return
        end = self._pieces[-1].p3
        if end != self._start:
            self._keep(Cubic(end, end, self._start, self._start))
        self.contours.append(tuple(self._pieces))
        self._pieces = []

    def _endPath(self) -> None:  # noqa: N802
        self._closePath()

    def _keep(self, piece: Cubic) -> None:
        self._count += 1
        if self._count > MOST_PIECES:
            raise NoEndError(msg("it has too many pieces."))
        if not all(abs(value) < _FARTHEST for point in piece for value in point):
            raise NoEndError(msg("it lies far off the page."))
        if piece.p0 != piece.p3 or piece.p1 != piece.p2:
            self._pieces.append(piece)


class _Metered(T2OutlineExtractor):  # type: ignore[misc]
    """Counts the work of a glyph program; subroutines that call one another can make it endless."""

    work = 0

    def execute(self, charString: Any) -> None:  # noqa: ANN401
        self.work += 1 + len(charString.bytecode or charString.program or ())
        if self.work > _MOST_PROGRAM:
            raise NoEndError(msg("its drawing does not come to an end."))
        super().execute(charString)


def metered(glyphs: Any, glyph: str) -> None:  # noqa: ANN401
    """Put a meter on the program of one glyph, in a font whose glyphs are programs."""
    strings = getattr(glyphs, "charStrings", None)
    if strings is not None:
        strings[glyph].outlineExtractor = _Metered
