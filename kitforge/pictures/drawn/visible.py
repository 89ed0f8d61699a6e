"""Small cuts made large enough to be seen in a small picture: they keep their shape and stay clear of one another."""

from __future__ import annotations

from shapely import Polygon, STRtree
from shapely.geometry.base import BaseGeometry

_THIN, _SHORT = 0.5, 1.5
"""No stroke is drawn thinner, no hole smaller than this, mm of paper."""
_SHARE = 0.3
"""How much of the gap to its neighbour a cut may take up; both may, so two fifths of it stay."""


def made_visible(pieces: list[Polygon], scale: float) -> list[BaseGeometry]:
    """Return the pieces of a cut at a scale, in their own coordinates, those too small to be seen grown all round.

    A stroke grows to a least width, a dot to a least size, so far as the gaps between the pieces allow.
    """
    gaps = _gaps(pieces)
    grown: list[BaseGeometry] = []
    for piece, gap in zip(pieces, gaps, strict=True):
        by = min(_lacking(piece, scale), _SHARE * gap)
        grown.append(piece.buffer(by) if by > 0 else piece)
    return grown


def _lacking(piece: Polygon, scale: float) -> float:
    """Return how far a piece must grow on all sides to be seen, mm of its own."""
    left, bottom, right, top = piece.bounds
    longest, width = max(right - left, top - bottom) * scale, width_of(piece) * scale
    wanted = _SHORT - longest if longest < _SHORT and width > 0.5 * longest else _THIN - width
    return max(0.0, wanted / 2 / scale)


def width_of(piece: Polygon) -> float:
    """Return about how wide a piece is, mm: of a stroke the width of a rectangle of the same area and edge."""
    half = piece.length / 2
    # w + l = half and w l = area
    root = max(half * half / 4 - piece.area, 0.0) ** 0.5
    return float(half / 2 - root)


def _gaps(pieces: list[Polygon]) -> list[float]:
    """Return how far each piece lies from its nearest neighbour, mm; very far for one alone."""
    alone = 1e6
    if len(pieces) < 2:
        return [alone] * len(pieces)
    gaps = [alone] * len(pieces)
    (which, _), distances = STRtree(pieces).query_nearest(pieces, exclusive=True, return_distance=True)
    for index, distance in zip(which.tolist(), distances.tolist(), strict=True):
        gaps[index] = min(gaps[index], distance)
    return gaps
