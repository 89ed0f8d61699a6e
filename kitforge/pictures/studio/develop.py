"""From what every dot shows to its colour: wood, light, gloss."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from kitforge.pictures.studio.bodies import SceneBody, Stage
from kitforge.pictures.studio.camera import Camera
from kitforge.pictures.studio.colours import linear, wood_colour
from kitforge.pictures.studio.relief import SQUARE, Between, LitRelief, lit_relief, met
from kitforge.pictures.studio.timber import Timber, tone
from kitforge.pictures.studio.visible import Seen

if TYPE_CHECKING:
    from typing import Any

    Values = NDArray[np.floating[Any]]

# Weights of the lights, as in the studio's notes: the sky, the lamp, a card at the front right, light from the ground.
SKY, KEY, CARD, BOUNCE, HOLLOW = 0.30, 0.62, 0.24, 0.20, 0.08
_END_GRAIN = 0.16
_BEVEL = 0.4
"""How wide arrises are broken, mm."""
_TURNED = 0.6
"""How far the arris of an outline looks outwards, beside what its face looks."""
_PIECE = 1 << 16
_AROUND = (-1, 0), (1, 0), (0, -1), (0, 1), (-1, -1), (1, 1), (-1, 1), (1, -1)


@dataclass(frozen=True, slots=True, eq=False)
class Lights:
    """Unit vectors towards the lamp and the card."""

    key: Values
    card: Values


@dataclass(slots=True, eq=False)
class Dots:
    """Dots of the object: flat numbers, place and normal in space, slope of the view, body and its lights."""

    flat: NDArray[np.intp]
    place: list[Values]
    normal: list[Values]
    body: NDArray[np.int32]
    key: Values
    sky: Values


def normals(stage: Stage, seen: Seen, flat: NDArray[np.intp], place: Sequence[Values]) -> list[Values]:
    """Return x, y and z of the normals of dots: turning across rounded sides, and from the middle of a ball."""
    zero = np.zeros(3)
    rows = [patch.ends or (zero, zero, patch.normal, patch.normal) for patch in stage.patches]
    rows += [(ball.middle, zero, zero, zero) for ball in stage.balls]
    table = np.array(rows, dtype=np.float32).reshape(len(rows), 12)
    piece = seen.piece.ravel()[flat]
    found = _united(list(table[:, 6:9].T))
    found = [part.take(piece) for part in found]
    # Most dots lie on level patches.
    turning = np.array([patch.ends is not None for patch in stage.patches] + [True] * len(stage.balls))
    some = np.flatnonzero(turning.take(piece))
    own = piece[some]
    per = [table[:, k].take(own) for k in range(12)]
    off = [place[k].take(some) - per[k] for k in range(3)]
    share = np.clip(off[0] * per[3] + off[1] * per[4] + off[2] * per[5], 0, 1)
    balls = own >= len(stage.patches)
    turned = _united([np.where(balls, off[k], per[6 + k] * (1 - share) + per[9 + k] * share) for k in range(3)])
    for k in range(3):
        found[k][some] = turned[k]
    return found


def _united(way: list[Values]) -> list[Values]:
    size = 1 / np.sqrt(np.maximum(way[0] * way[0] + way[1] * way[1] + way[2] * way[2], np.float32(1e-12)))
    return [part * size for part in way]


def bevelled(camera: Camera, seen: Seen, dots: Dots) -> None:
    """Turn the normals near the edges of a body: mean of those around that lie on the same body and no step away."""
    rows, columns = seen.surface.shape
    near = seen.near.ravel()
    width = _BEVEL * camera.scale * float(np.median(near[dots.flat]))
    reach = max(1, min(4, round(width)))
    edge = np.flatnonzero(_edges(seen.surface, reach)[dots.flat])
    mine = dots.flat[edge]
    # Which of the object's dots a dot of the paper is, -1 for the ground.
    which = np.full(rows * columns, -1, dtype=np.int32)
    which[dots.flat] = np.arange(len(dots.flat), dtype=np.int32)
    row, column = np.divmod(mine, columns)
    total = [part[edge] for part in dots.normal]
    body, own, weight = dots.body[edge], near[mine], np.float32(min(1.0, width / reach))
    for ring in range(1, reach + 1):
        for up, right in ((a * ring, b * ring) for a, b in _AROUND):
            other = np.clip(row + up, 0, rows - 1) * columns + np.clip(column + right, 0, columns - 1)
            there, away = which.take(other), near.take(other) - own
            # Nearness of a level surface changes little from dot to dot; behind a silhouette it jumps.
            fits = (there >= 0) & (np.abs(away) < own * np.float32(0.006 * ring))
            fits &= dots.body.take(there, mode="clip") == body
            # Where something further off begins, the arris turns away towards it.
            ends = np.flatnonzero(~fits & (away < 0))
            fits = np.flatnonzero(fits)
            there = there.take(fits)
            out = (camera.axes[0] * right + camera.axes[1] * up) * (_TURNED / (up * up + right * right) ** 0.5)
            for k in range(3):
                total[k][fits] += dots.normal[k].take(there) * weight
                total[k][ends] += np.float32(out[k]) * weight
    for k, part in enumerate(_united(total)):
        dots.normal[k][edge] = part


def _edges(surface: NDArray[np.int32], reach: int) -> NDArray[np.bool_]:
    """Return which dots have another surface within so many dots, flat."""
    from scipy.ndimage import maximum_filter, minimum_filter

    size = 2 * reach + 1
    return np.asarray(maximum_filter(surface, size) != minimum_filter(surface, size)).ravel()


def coloured(
    stage: Stage, camera: Camera, seen: Seen, dots: Dots, lights: Lights, timbers: Sequence[Timber | None]
) -> NDArray[np.float32]:
    """Return the linear colours of the dots, shape (n, 3)."""
    out = np.zeros((len(dots.flat), 3), dtype=np.float32)
    order = np.argsort(dots.body, kind="stable")
    ends = np.searchsorted(dots.body[order], np.arange(len(stage.bodies) + 1))
    for number, body in enumerate(stage.bodies):
        mine = order[ends[number] : ends[number + 1]]
        if not len(mine):
            continue
        ready = _ready(body, camera, lights)
        size = 1 / camera.scale / float(np.median(seen.near.ravel()[dots.flat[mine]]))
        for first in range(0, len(mine), _PIECE):
            some = mine[first : first + _PIECE]
            out[some] = _piece(stage, camera, seen, dots, lights, (body, timbers[number], ready, size), some)
    return out


def _ready(body: SceneBody, camera: Camera, lights: Lights) -> LitRelief | None:
    """Return a body's relief under the lamp, None if it has none."""
    if body.board is None or body.relief is None:
        return None
    axes = body.board.axes
    if (axes @ -camera.axes[2])[2] <= 0.05:
        return None
    return lit_relief(body.relief, [float(v) for v in axes @ lights.key])


def _piece(
    stage: Stage,
    camera: Camera,
    seen: Seen,
    dots: Dots,
    lights: Lights,
    made: tuple[SceneBody, Timber | None, LitRelief | None, float],
    some: NDArray[np.intp],
) -> NDArray[np.float32]:
    body, timber, ready, size = made
    place = [part[some] for part in dots.place]
    normal = [part[some] for part in dots.normal]
    key, sky = dots.key[some], dots.sky[some]
    if body.board is not None and timber is not None:
        own = _turned([p - np.float32(o) for p, o in zip(place, body.board.origin, strict=True)], body.board.axes)
        if ready is not None:
            normal, key, sky = _into_relief(
                stage, camera, seen, dots.flat[some], body, ready, own, normal, key, sky, place
            )
        mine = _turned(normal, body.board.axes)
        end = mine[0] if timber.along_x else mine[1]
        dark = tone(timber, own[0], own[1], own[2], size) + np.float32(_END_GRAIN) * end * end
        base, gloss, power, through = wood_colour(timber.colour, dark), 0.055, 4, 0.0
    else:
        plain = body.plain
        if plain is None:
            raise ValueError("a body without a board has a plain material")
        base = np.broadcast_to(np.array(linear(plain.colour), dtype=np.float32), (len(some), 3))
        gloss, power, through = plain.gloss, max(2, plain.power.bit_length() - 1), plain.through
    return _shaded(camera, lights, base, place, normal, (key, sky), (gloss, power, through))


def _turned(values: Sequence[Values], axes: Values) -> list[Values]:
    a = axes.astype(np.float32)
    return [values[0] * row[0] + values[1] * row[1] + values[2] * row[2] for row in a]


def _into_relief(
    stage: Stage,
    camera: Camera,
    seen: Seen,
    flat: NDArray[np.intp],
    body: SceneBody,
    ready: LitRelief,
    own: list[Values],
    normal: list[Values],
    key: Values,
    sky: Values,
    place: Sequence[Values],
) -> tuple[list[Values], Values, Values]:
    """Follow the ways of dots on the face into the relief; `own` is moved to where they meet it."""
    level = np.array([patch.level for patch in stage.patches] + [False] * len(stage.balls))
    grid = ready.grid
    column = np.clip((own[0] - np.float32(grid.x0)) * np.float32(1 / grid.cell), 0, grid.columns - 1).astype(np.int32)
    row = np.clip((own[1] - np.float32(grid.y0)) * np.float32(1 / grid.cell), 0, grid.rows - 1).astype(np.int32)
    square = row // SQUARE * np.int32(ready.reached.shape[1]) + column // SQUARE
    here = np.flatnonzero(level[seen.piece.ravel()[flat]] & ready.reached.ravel()[square])
    if not len(here) or body.board is None:
        return normal, key, sky
    way = _turned([place[k][here] - np.float32(camera.at[k]) for k in range(3)], body.board.axes)
    down = 1 / np.maximum(-way[2], np.float32(1e-3))
    x, y, depth = met(ready, own[0][here], own[1][here], (way[0] * down, way[1] * down))
    own[0][here], own[1][here], own[2][here] = x, y, own[2][here] - depth
    between = Between(grid, x, y)
    sx, sy = between.of(ready.slope_x), between.of(ready.slope_y)
    turned = _united([-sx, -sy, np.ones_like(sx)])
    axes = body.board.axes.astype(np.float32)
    normal = [part.copy() for part in normal]
    bent = np.abs(sx) + np.abs(sy) > 0.02
    there = here[bent]
    for k in range(3):
        normal[k][there] = sum(turned[j][bent] * axes[j, k] for j in range(3))
    key, sky = key.copy(), sky.copy()
    key[here] *= between.nearest(ready.key)
    # Letters must be read: what lies in a hollow shows darker than a broad lamp would leave it.
    sky[here] *= np.maximum(2 * between.nearest(ready.sky) - 1, 0)
    return normal, key, sky


def _dot(a: Sequence[Values], b: Sequence[float] | Values) -> Values:
    found: Values = a[0] * np.float32(b[0]) + a[1] * np.float32(b[1]) + a[2] * np.float32(b[2])
    return found


def light_on(lights: Lights, normal: Sequence[Values], key: Values, sky: Values) -> Values:
    """Return the light on faces that look along `normal`, 1 for an open level one."""
    up = normal[2]
    lamp = np.maximum(_dot(normal, lights.key), 0) * key * np.float32(KEY / float(lights.key[2]))
    heaven = sky * (np.float32(0.75) + np.float32(0.25) * up) * np.float32(SKY)
    card = np.maximum(_dot(normal, lights.card), 0) * (np.float32(0.4) + np.float32(0.6) * sky) * np.float32(CARD)
    ground = (1 - up) * (np.float32(0.25) + np.float32(0.75) * sky) * np.float32(BOUNCE * 0.5)
    full = KEY + SKY + CARD * float(lights.card[2])
    found: Values = (lamp + heaven + card + ground + np.float32(HOLLOW) * (1 - sky)) * np.float32(1 / full)
    return found


def _shaded(
    camera: Camera,
    lights: Lights,
    base: Values,
    place: Sequence[Values],
    normal: Sequence[Values],
    shares: tuple[Values, Values],
    finish: tuple[float, int, float],
) -> NDArray[np.float32]:
    gloss, power, through = finish
    key, sky = shares
    light = light_on(lights, normal, key, sky)
    if through:
        light = light * np.float32(1 - through) + np.float32(1.05 * through)
    view = _united([np.float32(camera.at[k]) - place[k] for k in range(3)])
    shine = (
        _lobe(normal, view, lights.key, power) * key
        + np.float32(0.6) * _lobe(normal, view, lights.card, power - 1) * sky
    )
    out: NDArray[np.float32] = (base * light[:, None]).astype(np.float32)
    out += (np.float32(gloss) * shine)[:, None] * (np.float32(0.25) + np.float32(0.75) * base)
    return out


def _lobe(normal: Sequence[Values], view: Sequence[Values], way: Values, doublings: int) -> Values:
    """Return how strongly a lamp is mirrored, less what a level face mirrors of it: (n h) to a power of two."""
    half = _united([view[k] + np.float32(way[k]) for k in range(3)])
    shine = np.maximum(normal[0] * half[0] + normal[1] * half[1] + normal[2] * half[2], 0)
    level = half[2]
    for _ in range(doublings):
        shine, level = shine * shine, level * level
    # A black thing cannot lose more light than it has.
    found: Values = np.maximum(shine - level, np.float32(-0.1))
    return found
