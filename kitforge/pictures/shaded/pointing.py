"""Small cuts made easy to find: a light halo around them, and a round inset that shows them larger.

All of it is laid over the finished dots: what is small is told from its size on paper.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from kitforge.pictures.shaded.palette import rgb
from kitforge.pictures.shaded.places import Cuts, CutSpot, covered, cuts_on

if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import Any

    from PIL.ImageDraw import ImageDraw

    from kitforge.pictures.shaded.palette import Style
    from kitforge.pictures.shaded.render import LitScene
    from kitforge.pictures.shaded.view import PictureView, PixelCanvas

    Drawn = Callable[[PixelCanvas, Style], NDArray[np.uint8]]

_HALO, _RIM, _CORE = 0.0065, 0.002, 0.0008
_LIGHT = (255, 253, 247)
_INK = (26, 26, 26)
# The inset: its width, and the largest cut that calls for one if all lie close together and if they do not, as shares
# of the wood's width; how much larger it shows them at least and at most, and how much of it they fill.
_INSET, _CALLS, _CALLS_APART = 0.27, 0.09, 0.06
_LEAST, _MOST = 2.0, 5.0
_FILLED = 0.9
_COARSE = 8


@dataclass(frozen=True, slots=True)
class Inset:
    """A round enlargement: its middle on the paper and its radius in dots, the spot it shows, how much larger."""

    x: float
    y: float
    radius: float
    spot: CutSpot
    larger: float


def pointed_out(
    paper: NDArray[np.uint8], scene: LitScene, view: PictureView, canvas: PixelCanvas, style: Style, drawn: Drawn
) -> tuple[NDArray[np.uint8], float]:
    """Return the paper with its small cuts picked out, and how much larger its inset shows them, 1 without one.

    paper: RGBA dots, row 0 on top, drawn upon; drawn: draws the same scene on another canvas, in another style.
    """
    cuts = cuts_on(scene, view, canvas)
    if cuts is None:
        return paper, 1.0
    _add_halo(paper, cuts, scene, view, canvas, style, filled=True)
    inset = inset_for(cuts)
    if inset is None:
        return paper, 1.0
    nearer = _canvas_of(inset, canvas)
    shown = drawn(nearer, style)
    _add_halo(shown, cuts, scene, view, nearer, style, filled=False)
    return _with_inset(paper, inset, shown), inset.larger


def _add_halo(
    paper: NDArray[np.uint8],
    cuts: Cuts,
    scene: LitScene,
    view: PictureView,
    canvas: PixelCanvas,
    style: Style,
    *,
    filled: bool,
) -> None:
    """Draw a coloured rim and a light halo around every cut on the paper. filled: so are the small cuts."""
    colour = rgb(style.mark) * 255
    small = covered((layer for layer in cuts.layers if layer.small), scene, view, canvas)
    broad = covered((layer for layer in cuts.layers if not layer.small), scene, view, canvas)
    core_by, rim_by, halo_by = (share * cuts.width for share in (_CORE, _RIM, _HALO))
    box = _around(small | broad, math.ceil(1.3 * (core_by + rim_by + halo_by)) + 3)
    if box is None:
        return
    small, broad, part = small[box], broad[box], paper[box]
    core = grown(small, core_by)
    rim = grown(broad, rim_by) & ~broad
    halo = grown(broad | rim | core, halo_by) & ~(broad | rim | core)
    _painted(part, halo, np.array(_LIGHT), 0.94)
    _painted(part, rim, colour, 0.9)
    if filled:
        _painted(part, core, colour, 0.85)


def _around(mask: NDArray[np.bool_], room: int) -> tuple[slice, slice] | None:
    """Return the rows and columns of what a mask holds, with room around; None of an empty one."""
    rows, columns = np.flatnonzero(mask.any(axis=1)), np.flatnonzero(mask.any(axis=0))
    if not len(rows):
        return None
    return (
        slice(max(0, int(rows[0]) - room), int(rows[-1]) + room + 1),
        slice(max(0, int(columns[0]) - room), int(columns[-1]) + room + 1),
    )


def _painted(
    paper: NDArray[np.uint8], mask: NDArray[np.bool_], colour: NDArray[np.floating[Any]], share: float
) -> None:
    # Dots are moved as one number each, and every byte of a colour is mixed once.
    dots = paper.view(np.uint32)[..., 0]
    there = dots[mask]
    values = there.view(np.uint8).reshape(-1, 4)
    for band, wanted in enumerate(colour):
        mixed = ((1 - share) * np.arange(256) + share * wanted).astype(np.uint8)
        values[:, band] = mixed.take(values[:, band])
    values[:, 3] = 255
    dots[mask] = there


def grown(mask: NDArray[np.bool_], by: float) -> NDArray[np.bool_]:
    """Return a mask grown by about `by` dots: octagons, which take a tenth of the time of circles."""
    wide = mask.copy()
    for turn in range(round(by * 1.2)):
        last = wide.copy()
        wide[1:] |= last[:-1]
        wide[:-1] |= last[1:]
        if turn % 2:
            last = wide.copy()
        wide[:, 1:] |= last[:, :-1]
        wide[:, :-1] |= last[:, 1:]
    return np.asarray(wide)


def inset_for(cuts: Cuts) -> Inset | None:
    """Return the inset that a step's cuts call for: of all of them if they lie close together, else of one place."""
    largest = max(spot.across for spot in cuts.spots)
    radius = _INSET * cuts.width / 2
    together = _fitting(cuts.whole, radius) >= _LEAST
    if largest > (_CALLS if together else _CALLS_APART) * cuts.width:
        return None
    place = _free_place(cuts, radius)
    if place is None:
        return None
    spot = cuts.whole if together else min(cuts.spots, key=lambda s: (round(math.dist((s.x, s.y), place)), s.x, s.y))
    return Inset(*place, radius, spot, _fitting(spot, radius))


def _fitting(spot: CutSpot, radius: float) -> float:
    """Return how much larger a spot may be shown in a circle, in halves."""
    return math.floor(2 * min(_MOST, 2 * radius * _FILLED / spot.across)) / 2


def _free_place(cuts: Cuts, radius: float) -> tuple[float, float] | None:
    """Return where a circle hides least of the wood and none of the cuts, lower right first; None without a place."""
    wood, taken = cuts.wood(_COARSE), cuts.marked(_COARSE)
    rows, columns = np.nonzero(wood)
    y, x = np.mgrid[: wood.shape[0], : wood.shape[1]] * float(_COARSE)
    best: tuple[float, tuple[float, float]] | None = None
    left, right = float(columns.min() * _COARSE), float(columns.max() * _COARSE)
    top, bottom = float(rows.min() * _COARSE), float(rows.max() * _COARSE)
    step, reach = radius / 3, radius * 1.1
    for at_y in np.arange(bottom - radius, top + radius, -step):
        for at_x in np.arange(right - radius, left + radius, -step):
            around = tuple(
                slice(max(0, math.floor((at - reach) / _COARSE)), math.ceil((at + reach) / _COARSE) + 1)
                for at in (at_y, at_x)
            )
            disc = (x[around] - at_x) ** 2 + (y[around] - at_y) ** 2 <= reach**2
            if taken[around][disc].any():
                continue
            cost = float(wood[around][disc].mean()) + (
                0.3 if at_x < (left + right) / 2 and at_y < (top + bottom) / 2 else 0.0
            )
            if best is None or cost < best[0] - 0.01:
                best = cost, (float(at_x), float(at_y))
    return best[1] if best else None


def _canvas_of(inset: Inset, canvas: PixelCanvas) -> PixelCanvas:
    """Return the square canvas of an inset, around its spot."""
    from kitforge.pictures.shaded.view import PixelCanvas as Paper

    scale, side = canvas.scale * inset.larger, 2 * math.ceil(inset.radius)
    u = canvas.left + inset.spot.x / canvas.scale
    v = canvas.low + (canvas.rows - inset.spot.y) / canvas.scale
    return Paper(side, side, u - side / 2 / scale, v - side / 2 / scale, scale)


def _with_inset(paper: NDArray[np.uint8], inset: Inset, shown: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Return the paper with the inset in its circle, a smaller circle around its spot, and a line between them."""
    from PIL import Image
    from PIL.ImageDraw import Draw

    image = Image.fromarray(paper)
    draw = Draw(image)
    thick = max(2, round(inset.radius * 0.018))
    spot, reach = inset.spot, inset.radius / inset.larger
    far = math.dist((inset.x, inset.y), (spot.x, spot.y))
    ux, uy = (inset.x - spot.x) / far, (inset.y - spot.y) / far
    ends = [(spot.x + ux * reach, spot.y + uy * reach), (inset.x, inset.y)]
    for colour, width in ((_LIGHT, 3 * thick), (_INK, thick)):
        draw.line(ends, fill=(*colour, 255), width=width)
        _circle(draw, spot.x, spot.y, reach + width / 2, colour, width)
    disc = Image.new("L", (shown.shape[1], shown.shape[0]), 0)
    Draw(disc).ellipse((0, 0, shown.shape[1] - 1, shown.shape[0] - 1), fill=255)
    image.paste(
        Image.fromarray(shown), (round(inset.x - shown.shape[1] / 2), round(inset.y - shown.shape[0] / 2)), disc
    )
    _circle(draw, inset.x, inset.y, inset.radius + 2.5 * thick, _LIGHT, 3 * thick)
    _circle(draw, inset.x, inset.y, inset.radius + thick, _INK, round(1.6 * thick))
    return np.asarray(image)


def _circle(draw: ImageDraw, x: float, y: float, radius: float, colour: tuple[int, int, int], width: int) -> None:
    draw.ellipse((x - radius, y - radius, x + radius, y + radius), outline=(*colour, 255), width=width)
