"""Small cuts made easy to find: a light halo around them, and a round inset that shows them larger.

All of it is laid over the finished dots: what is small is told from its size on paper.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kitforge.surface.pictures.palette import rgb
from kitforge.surface.pictures.places import Cuts, Spot, cuts_on

if TYPE_CHECKING:
    from collections.abc import Callable

    import numpy as np
    from numpy.typing import NDArray

    from kitforge.surface.pictures.palette import Style
    from kitforge.surface.pictures.render import Scene
    from kitforge.surface.pictures.view import Canvas, View

    Drawn = Callable[[Canvas], NDArray[np.uint8]]

_HALO, _CORE = 0.0075, 0.002
_LIGHT = (255, 253, 247)
_INK = (26, 26, 26)
# The inset: its width, the largest piece that calls for one, and how much larger it shows it, as shares of the wood's
# width and as factors.
_INSET, _CALLS = 0.27, 0.085
_LEAST, _MOST = 1.8, 6.0
_FILLED = 0.72
_COARSE = 8


@dataclass(frozen=True, slots=True)
class Inset:
    """A round enlargement: its middle on the paper and its radius in dots, the spot it shows, how much larger."""

    x: float
    y: float
    radius: float
    spot: Spot
    larger: float


def pointed_out(
    paper: NDArray[np.uint8], scene: Scene, view: View, canvas: Canvas, style: Style, drawn: Drawn
) -> tuple[NDArray[np.uint8], float]:
    """Return the paper with its small cuts picked out, and how much larger its inset shows them, 1 without one.

    paper: RGBA dots, row 0 on top; drawn: draws the same scene on another canvas.
    """
    cuts = cuts_on(scene, view, canvas)
    if cuts is None:
        return paper, 1.0
    haloed = _with_halo(paper, cuts, style)
    inset = inset_for(cuts)
    if inset is None:
        return haloed, 1.0
    return _with_inset(haloed, inset, drawn(_canvas_of(inset, canvas))), inset.larger


def _with_halo(paper: NDArray[np.uint8], cuts: Cuts, style: Style) -> NDArray[np.uint8]:
    """Return the paper with every small cut filled with the colour of marks, inside a light rim."""
    import numpy as np

    if not cuts.small.any():
        return paper
    out = paper.copy()
    halo, core = _grown(cuts.small, _HALO * cuts.width), _grown(cuts.small, _CORE * cuts.width)
    for mask, colour, share in ((halo, np.array(_LIGHT), 0.94), (core, rgb(style.mark) * 255, 0.9)):
        there = out[mask]
        there[:, :3] = (1 - share) * there[:, :3] + share * colour
        there[:, 3] = 255
        out[mask] = there
    return out


def _grown(mask: NDArray[np.bool_], by: float) -> NDArray[np.bool_]:
    """Return the dots within `by` dots of a mask, shape of the mask."""
    import numpy as np
    from scipy.ndimage import distance_transform_edt

    row, column = np.nonzero(mask)
    rim = math.ceil(by) + 1
    box = tuple(slice(max(0, int(at.min()) - rim), int(at.max()) + rim + 1) for at in (row, column))
    out = np.zeros_like(mask)
    out[box] = distance_transform_edt(~mask[box]) <= by
    return out


def inset_for(cuts: Cuts) -> Inset | None:
    """Return the inset that a step's cuts call for: of all of them if they lie close together, else of one place."""
    if max(spot.across for spot in cuts.spots) > _CALLS * cuts.width:
        return None
    radius = _INSET * cuts.width / 2
    place = _free_place(cuts, radius)
    if place is None:
        return None
    shown = _fitting(cuts.whole, radius)
    if shown < _LEAST:
        spot = min(cuts.spots, key=lambda s: (round(math.dist((s.x, s.y), place)), s.x, s.y))
        shown = _fitting(spot, radius)
    else:
        spot = cuts.whole
    return Inset(*place, radius, spot, shown) if shown >= _LEAST else None


def _fitting(spot: Spot, radius: float) -> float:
    """Return how much larger a spot may be shown in a circle, in halves."""
    return math.floor(2 * min(_MOST, 2 * radius * _FILLED / spot.across)) / 2


def _free_place(cuts: Cuts, radius: float) -> tuple[float, float] | None:
    """Return where a circle hides least of the wood and none of the cuts, lower right first; None without a place."""
    import numpy as np

    wood, taken = cuts.wood[::_COARSE, ::_COARSE], _pooled(cuts.marked, _COARSE)
    rows, columns = np.nonzero(wood)
    y, x = np.mgrid[: wood.shape[0], : wood.shape[1]] * float(_COARSE)
    best: tuple[float, tuple[float, float]] | None = None
    left, right = float(columns.min() * _COARSE), float(columns.max() * _COARSE)
    top, bottom = float(rows.min() * _COARSE), float(rows.max() * _COARSE)
    step = radius / 3
    for at_y in np.arange(bottom - radius, top + radius, -step):
        for at_x in np.arange(right - radius, left + radius, -step):
            disc = (x - at_x) ** 2 + (y - at_y) ** 2 <= (radius * 1.1) ** 2
            if taken[disc].any():
                continue
            cost = float(wood[disc].mean()) + (0.3 if at_x < (left + right) / 2 and at_y < (top + bottom) / 2 else 0.0)
            if best is None or cost < best[0] - 0.01:
                best = cost, (float(at_x), float(at_y))
    return best[1] if best else None


def _pooled(mask: NDArray[np.bool_], by: int) -> NDArray[np.bool_]:
    """Return whether any dot of each by x by square is set."""
    import numpy as np

    padded = np.pad(mask, ((0, -mask.shape[0] % by), (0, -mask.shape[1] % by)))
    found: NDArray[np.bool_] = padded.reshape(padded.shape[0] // by, by, -1, by).any(axis=(1, 3))
    return found


def _canvas_of(inset: Inset, canvas: Canvas) -> Canvas:
    """Return the square canvas of an inset, around its spot."""
    from kitforge.surface.pictures.view import Canvas as Paper

    scale, side = canvas.scale * inset.larger, 2 * math.ceil(inset.radius)
    u = canvas.left + inset.spot.x / canvas.scale
    v = canvas.low + (canvas.rows - inset.spot.y) / canvas.scale
    return Paper(side, side, u - side / 2 / scale, v - side / 2 / scale, scale)


def _with_inset(paper: NDArray[np.uint8], inset: Inset, shown: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Return the paper with the inset in its circle, a smaller circle around its spot, and a line between them."""
    import numpy as np
    from PIL import Image, ImageDraw

    image = Image.fromarray(paper)
    draw = ImageDraw.Draw(image)
    thick = max(2, round(inset.radius * 0.018))
    spot, reach = inset.spot, inset.radius / inset.larger
    far = math.dist((inset.x, inset.y), (spot.x, spot.y))
    ux, uy = (inset.x - spot.x) / far, (inset.y - spot.y) / far
    ends = [(spot.x + ux * reach, spot.y + uy * reach), (inset.x, inset.y)]
    for colour, width in ((_LIGHT, 3 * thick), (_INK, thick)):
        draw.line(ends, fill=(*colour, 255), width=width)
        _circle(draw, spot.x, spot.y, reach + width / 2, colour, width)
    disc = Image.new("L", (shown.shape[1], shown.shape[0]), 0)
    ImageDraw.Draw(disc).ellipse((0, 0, shown.shape[1] - 1, shown.shape[0] - 1), fill=255)
    image.paste(Image.fromarray(shown), (round(inset.x - shown.shape[1] / 2), round(inset.y - shown.shape[0] / 2)), disc)
    _circle(draw, inset.x, inset.y, inset.radius + 2.5 * thick, _LIGHT, 3 * thick)
    _circle(draw, inset.x, inset.y, inset.radius + thick, _INK, round(1.6 * thick))
    return np.asarray(image)


def _circle(draw: object, x: float, y: float, radius: float, colour: tuple[int, int, int], width: int) -> None:
    from PIL.ImageDraw import ImageDraw

    assert isinstance(draw, ImageDraw)
    draw.ellipse((x - radius, y - radius, x + radius, y + radius), outline=(*colour, 255), width=width)
