"""Small cuts made large enough to be seen in a small picture: they keep their shape and stay clear of one another."""

from __future__ import annotations

import numpy as np
from shapely import Polygon, bounds, distance, prepare
from shapely.geometry.base import BaseGeometry

_THIN, _SHORT = 0.5, 1.5
"""No stroke is drawn thinner, no hole smaller than this, mm of paper."""
_SHARE = 0.3
"""How much of the gap to its neighbour a cut may take up; both may, so two fifths of it stay."""
_ALONE = 1e6
"""How far off the neighbour of a cut without any is taken to be, mm."""


def made_visible(pieces: list[Polygon], scale: float) -> list[BaseGeometry]:
    """Return the pieces of a cut at a scale, in their own coordinates, those too small to be seen grown all round.

    A stroke grows to a least width, a dot to a least size, so far as the gaps between the pieces allow.
    """
    lacking = [_lacking(piece, scale) for piece in pieces]
    gaps = _gaps(pieces, [number for number, by in enumerate(lacking) if by > 0])
    return [
        piece.buffer(min(by, _SHARE * gaps[number])) if number in gaps and gaps[number] > 0 else piece
        for number, (piece, by) in enumerate(zip(pieces, lacking, strict=True))
    ]


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


def _gaps(pieces: list[Polygon], asked: list[int]) -> dict[int, float]:
    """Return how far the pieces that are asked for lie from their nearest neighbours, mm; very far for one alone.

    Pieces are tried from the nearest box on, up to the first box that is farther off than a piece was. An index of
    boxes would measure fewer pairs, but without the index of its edges that a prepared piece keeps, which saves more.
    """
    boxes = bounds(np.array(pieces, dtype=object)) if asked else np.empty((0, 4))
    gaps: dict[int, float] = {}
    for number in asked:
        left, bottom, right, top = boxes[number]
        aside = np.maximum(0.0, np.maximum(boxes[:, 0] - right, left - boxes[:, 2]))
        along = np.maximum(0.0, np.maximum(boxes[:, 1] - top, bottom - boxes[:, 3]))
        least, off = _ALONE, np.hypot(aside, along)
        off[number] = np.inf
        prepare(pieces[number])
        for other in np.argsort(off, kind="stable").tolist():
            if off[other] >= least:
                break
            least = min(least, float(distance(pieces[number], pieces[other])))
        gaps[number] = least
    return gaps
