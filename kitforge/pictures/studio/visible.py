"""Which surface every dot of the paper shows, with nine looks at every dot, so that edges are smooth.

Nine samples a dot are looked at for what is seen, in strips whose arrays stay in the cache. Only the middle one is
coloured: where the others show other surfaces, the dot mixes the colours of its neighbours that show those.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from kitforge.pictures.studio.bodies import Ball, Patch, Stage
from kitforge.pictures.studio.camera import Camera
from kitforge.surface.outline import CrossingTable, inside_between

if TYPE_CHECKING:
    from typing import Any

    Points = NDArray[np.floating[Any]]

LOOKS = 3
"""Samples of a dot, across and up."""
_STRIP = 64
_AROUND = tuple((up, right) for up in (-1, 0, 1) for right in (-1, 0, 1) if up or right)


@dataclass(frozen=True, slots=True, eq=False)
class Seen:
    """What the dots show. piece: number of the patch, or of the ball after them, -1 for the ground; surface: of that;
    near: 1 / distance along the axis, 0 for the ground; all of shape (rows, columns), row 0 lowest.

    mixed: flat numbers of dots that show several surfaces, with the nine of each, shape (n, 9).
    """

    piece: NDArray[np.int32]
    surface: NDArray[np.int32]
    near: NDArray[np.float32]
    mixed: NDArray[np.intp]
    looks: NDArray[np.int32]


@dataclass(frozen=True, slots=True, eq=False)
class _Flat:
    """A patch or a ball on the fine paper: its number, its rings (none for a ball), its box and its plane."""

    number: int
    rings: tuple[NDArray[np.float64], ...]
    box: tuple[int, int, int, int]
    plane: tuple[float, float, float]
    ball: Ball | None = None


def seen_by(camera: Camera, stage: Stage) -> Seen:
    """Return what a camera sees of a stage."""
    fine = camera.finer(LOOKS)
    flats = [flat for n, patch in enumerate(stage.patches) if (flat := _flat(fine, n, patch)) is not None]
    flats += [_flat_ball(fine, len(stage.patches) + n, ball) for n, ball in enumerate(stage.balls)]
    surfaces = np.array([*(p.smooth for p in stage.patches), *(b.smooth for b in stage.balls), -1], dtype=np.int32)
    piece = np.full((camera.rows, camera.columns), -1, dtype=np.int32)
    near = np.zeros(piece.shape, dtype=np.float32)
    mixed, looks, table = [], [], CrossingTable(flat.rings for flat in flats)
    # Beside the box of the whole object there is ground alone.
    left, right = min(flat.box[0] for flat in flats) // LOOKS, -(-max(flat.box[2] for flat in flats) // LOOKS)
    low, high = min(flat.box[1] for flat in flats) // LOOKS, -(-max(flat.box[3] for flat in flats) // LOOKS)
    for first in range(low, high, _STRIP):
        last = min(first + _STRIP, high)
        number, close = _strip(flats, table, fine, (left * LOOKS, first * LOOKS, right * LOOKS, last * LOOKS))
        middle = LOOKS // 2
        piece[first:last, left:right] = number[middle::LOOKS, middle::LOOKS]
        near[first:last, left:right] = close[middle::LOOKS, middle::LOOKS]
        row, column, found = _several(number, surfaces)
        mixed.append((row + first) * camera.columns + column + left)
        looks.append(found)
    return Seen(piece, surfaces[piece], near, np.concatenate(mixed), np.concatenate(looks))


def _several(
    number: NDArray[np.int32], surfaces: NDArray[np.int32]
) -> tuple[NDArray[np.intp], NDArray[np.intp], NDArray[np.int32]]:
    """Return row and column of the dots that show several surfaces, and the nine of each.

    Nearly every dot shows one patch alone, which is quick to see; only the others are looked up.
    """
    middle, offsets = LOOKS // 2, [(up, right) for up in range(LOOKS) for right in range(LOOKS)]
    centre = number[middle::LOOKS, middle::LOOKS]
    differs = np.zeros(centre.shape, dtype=np.bool_)
    for up, right in offsets:
        if (up, right) != (middle, middle):
            differs |= number[up::LOOKS, right::LOOKS] != centre
    row, column = np.nonzero(differs)
    nine = np.stack([number[row * LOOKS + up, column * LOOKS + right] for up, right in offsets], axis=1)
    looks = surfaces[nine]
    kept = np.flatnonzero((looks != looks[:, middle * LOOKS + middle, None]).any(axis=1))
    return row[kept], column[kept], looks[kept]


def _flat(fine: Camera, number: int, patch: Patch) -> _Flat | None:
    """Return a patch on the fine paper, None where it looks away."""
    if float(patch.normal @ (fine.at - patch.rings[0][0])) <= 1e-6:
        return None
    rings = tuple(fine.seen(ring).astype(np.float64) for ring in patch.rings)
    low = np.floor(np.min([ring.min(axis=0) for ring in rings], axis=0)).astype(int)
    high = np.ceil(np.max([ring.max(axis=0) for ring in rings], axis=0)).astype(int) + 1
    box = max(0, int(low[0])), max(0, int(low[1])), min(fine.columns, int(high[0])), min(fine.rows, int(high[1]))
    return _Flat(number, rings, box, fine.nearness(patch.normal, patch.rings[0][0]))


def _flat_ball(fine: Camera, number: int, ball: Ball) -> _Flat:
    way = ball.middle - fine.at
    far = float(fine.axes[2] @ way)
    x, y = (float(v) for v in fine.seen(ball.middle[None])[0])
    reach = 1.2 * ball.radius / far * fine.scale + 2
    box = (
        max(0, math.floor(x - reach)),
        max(0, math.floor(y - reach)),
        min(fine.columns, math.ceil(x + reach)),
        min(fine.rows, math.ceil(y + reach)),
    )
    return _Flat(number, (), box, (0.0, 0.0, 0.0), ball)


def _strip(
    flats: Sequence[_Flat], table: CrossingTable, fine: Camera, part: tuple[int, int, int, int]
) -> tuple[NDArray[np.int32], NDArray[np.float32]]:
    """Return numbers and nearness of a part of the fine paper: from its left and lowest dot up to its right and top.

    table: where the rings of `flats` cross its rows.
    """
    left, bottom, right, top = part
    number = np.full((top - bottom, right - left), -1, dtype=np.int32)
    near = np.zeros(number.shape, dtype=np.float32)
    whose, row, column = table.between(bottom, top)
    ends = np.searchsorted(whose, np.arange(len(flats) + 1)).tolist()
    x, y = np.arange(fine.columns) + 0.5, np.arange(bottom, top) + 0.5
    for index, flat in enumerate(flats):
        c0, r0, c1, r1 = flat.box[0], max(flat.box[1], bottom), flat.box[2], min(flat.box[3], top)
        if c0 >= c1 or r0 >= r1:
            continue
        place = slice(r0 - bottom, r1 - bottom), slice(c0 - left, c1 - left)
        if flat.ball is None:
            a, b, c = flat.plane
            close = (a + y[place[0]] * c).astype(np.float32)[:, None] + (x[c0:c1] * b).astype(np.float32)
            own = slice(ends[index], ends[index + 1])
            across = np.minimum(np.maximum(column[own] - c0, 0), c1 - c0)
            shown = inside_between(close.shape, row[own] - r0, across)
        else:
            close = _ball_nearness(fine, flat.ball, (c0, r0, c1, r1))
            shown = close > 0
        shown &= close > near[place]
        np.copyto(near[place], close, where=shown)
        np.copyto(number[place], flat.number, where=shown)
    return number, near


def _ball_nearness(fine: Camera, ball: Ball, box: tuple[int, int, int, int]) -> NDArray[np.float32]:
    """Return 1 / distance of a ball in a box of dots, 0 beside it: the nearer root of a quadratic."""
    x = np.arange(box[0], box[2], dtype=np.float64)[None, :] + 0.5
    y = np.arange(box[1], box[3], dtype=np.float64)[:, None] + 0.5
    across, up = (x + fine.left) / fine.scale, (y + fine.low) / fine.scale
    m = fine.axes @ (ball.middle - fine.at)
    size = across * across + up * up + 1
    half = across * m[0] + up * m[1] + m[2]
    root = half * half - size * (float(m @ m) - ball.radius**2)
    far = (half - np.sqrt(np.maximum(root, 0))) / size
    return np.where(root > 0, 1 / far, 0).astype(np.float32)


def mixed_colours(seen: Seen, flat: NDArray[np.float32]) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """Return the colours (n, 3) of the dots in `seen.mixed`, and the share of each that the object takes.

    flat: colour of the middle of every dot of the paper, shape (dots, 3), anything where that is ground.
    """
    rows, columns = seen.surface.shape
    surface = seen.surface.ravel()
    total = np.zeros((len(seen.mixed), 3), dtype=np.float32)
    row, column = np.divmod(seen.mixed, columns)
    beside = [
        (np.clip(row + up, 0, rows - 1) * columns + np.clip(column + right, 0, columns - 1)) for up, right in _AROUND
    ]
    for look in range(LOOKS * LOOKS):
        wanted = seen.looks[:, look]
        source = seen.mixed.copy()
        missing = wanted != surface[source]
        for other in beside:
            fits = missing & (surface[other] == wanted)
            source[fits] = other[fits]
            missing &= ~fits
        # A surface that no middle shows lends the colour of its nearest object dot, never that of the ground.
        for other in beside:
            fits = missing & (surface[source] < 0) & (surface[other] >= 0)
            source[fits] = other[fits]
        total += flat[source] * (wanted >= 0).astype(np.float32)[:, None]
    share = (seen.looks >= 0).mean(axis=1, dtype=np.float32)
    return total / (LOOKS * LOOKS) / np.maximum(share, np.float32(1e-3))[:, None], share
