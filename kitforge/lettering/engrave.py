"""V-cut engraving: at every point of the middle line the bit goes as deep as its cone just touches both sides.

Depth = (2 r - t) / (2 tan(A/2)) for an inscribed circle of radius r, a tip of t mm and an included angle A (geometry
of the point; the width rule of a V-groove with w = 2 r).
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from shapely import MultiPolygon, Polygon

from kitforge.geometry.crowded import buffered
from kitforge.geometry.region import area_of
from kitforge.lettering.axis import Axis, axis_of
from kitforge.lettering.typeface import LetteringError
from kitforge.model.kit import Cutter, CutterKind
from kitforge.model.messages import Quantity, msg
from kitforge.model.path import Path
from kitforge.model.record import record

_KEPT = 0.003
_FINEST = 0.02


@record(eq=False)
class Engraving:
    """chains: arrays (n, 3) of x, y and depth of the tip, mm, one point being a plunge; deepest mm.

    too_narrow: the narrowest stroke between two sides is not wider than the tip: (x, y, its width), else None.
    wide: what is too wide for the bit or the greatest depth and stays in the middle of the strokes, mm².
    """

    chains: tuple[NDArray[np.float64], ...]
    deepest: float
    narrowest: float | None
    too_narrow: tuple[float, float, float] | None
    wide: float


def engrave(
    paths: Sequence[Path], cutter: Cutter, max_depth: float | None = None, spacing: float | None = None
) -> Engraving:
    """Return the way of a V-bit that engraves closed paths (a shape in a shape is left standing).

    max_depth: mm; strokes too wide for it are cut along both sides at that depth. spacing: mm between the points of
    the boundary that are looked at; None: a 500th of the size of the paths, 0.02 to 0.2 mm.
    Raises LetteringError for a cutter without a point, or a depth that is none.
    """
    if cutter.kind is not CutterKind.V_BIT or not cutter.angle or not 0 < cutter.angle < 180:
        raise LetteringError(msg("Engraving along the middle of strokes needs a V-bit with its angle."))
    if max_depth is not None and not max_depth > 0:
        raise LetteringError(
            msg(
                "The greatest depth of an engraving must be above 0 mm, not {max_depth} mm.",
                max_depth=Quantity(max_depth, "", 6),
            )
        )
    area = area_of([path for path in paths if path.closed])
    if area.is_empty:
        raise LetteringError(msg("There is no closed outline to engrave."))
    axis = axis_of(area, spacing or _spacing(area))
    steep = 1 / math.tan(math.radians(cutter.angle) / 2)
    widest = min(cutter.radius, math.inf if max_depth is None else cutter.tip / 2 + max_depth / steep)
    pieces = [piece for chain in axis.chains for piece in between(chain, cutter.tip / 2, widest)]
    rim, wide = _rims(area, axis, widest)
    chains = [_kept(_deep(piece, steep, cutter.tip)) for piece in (*pieces, *rim)]
    deepest = max((float(chain[:, 2].max()) for chain in chains), default=0.0)
    narrow = axis.stroke
    return Engraving(
        tuple(chain for chain in chains if float(chain[:, 2].max()) > 0),
        deepest,
        None if narrow is None else 2 * narrow[2],
        (narrow[0], narrow[1], 2 * narrow[2]) if narrow is not None and 2 * narrow[2] <= cutter.tip else None,
        wide,
    )


def _spacing(area: Polygon | MultiPolygon) -> float:
    left, low, right, high = area.bounds
    return min(0.2, max(_FINEST, math.hypot(right - left, high - low) / 500, area.length / 60_000))


def between(chain: NDArray[np.float64], low: float, high: float) -> list[NDArray[np.float64]]:
    """Return the pieces of a chain (x, y, radius) where the radius is from `low` to `high`, cut at those radii."""
    if len(chain) == 1:
        return [chain] if low <= chain[0, 2] <= high * (1 + 1e-9) else []
    cut = _with_crossings(_with_crossings(chain, low), high)
    middle = (cut[:-1, 2] + cut[1:, 2]) / 2
    good = (middle >= low) & (middle <= high)
    edges = np.flatnonzero(np.diff(np.concatenate([[0], good.astype(np.int8), [0]])))
    return [cut[first : last + 1] for first, last in edges.reshape(-1, 2)]


def _with_crossings(chain: NDArray[np.float64], radius: float) -> NDArray[np.float64]:
    """Return the chain with points added where its radius passes a value."""
    if not math.isfinite(radius):
        return chain
    over = chain[:, 2] > radius
    where = np.flatnonzero(over[1:] != over[:-1])
    share = (radius - chain[where, 2]) / (chain[where + 1, 2] - chain[where, 2])
    added = chain[where] + share[:, None] * (chain[where + 1] - chain[where])
    added[:, 2] = radius
    return np.insert(chain, where + 1, added, axis=0)


def _rims(area: Polygon | MultiPolygon, axis: Axis, widest: float) -> tuple[list[NDArray[np.float64]], float]:
    """Return loops along the sides of what is too wide, with their radius, and the area inside them, mm²."""
    if not any(float(chain[:, 2].max()) > widest * (1 + 1e-9) for chain in axis.chains):
        return [], 0.0
    inner = buffered(area, -widest, 64)
    rings = [r for p in getattr(inner, "geoms", [inner]) if p.area > 0 for r in (p.exterior, *p.interiors)]
    loops = [np.asarray(ring.coords)[:, :2] for ring in rings]
    return [np.column_stack([loop, np.full(len(loop), widest)]) for loop in loops], float(inner.area)


def _deep(chain: NDArray[np.float64], steep: float, tip: float) -> NDArray[np.float64]:
    return np.column_stack([chain[:, :2], np.maximum(chain[:, 2] - tip / 2, 0) * steep])


def _kept(chain: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the chain without points that lie within 0.003 mm of the line between those kept, depth included."""
    if len(chain) < 3:
        return chain
    keep = np.zeros(len(chain), dtype=bool)
    keep[[0, -1]] = True
    stack = [(0, len(chain) - 1)]
    while stack:
        first, last = stack.pop()
        if last - first < 2:
            continue
        line = chain[last] - chain[first]
        inner = chain[first + 1 : last] - chain[first]
        share = np.clip(inner @ line / max(float(line @ line), 1e-18), 0, 1)
        off = np.linalg.norm(inner - share[:, None] * line, axis=1)
        worst = int(np.argmax(off))
        if off[worst] > _KEPT:
            middle = first + 1 + worst
            keep[middle] = True
            stack += [(first, middle), (middle, last)]
    return chain[keep]
