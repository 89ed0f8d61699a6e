"""Wood as a solid, at its true size: growth rings about a pith, pores, fibres, plies with glue lines.

Everything depends on the place in the stock alone, so that the grain of a board runs on through all parts cut from it.
Only + - * / and square roots are worked out for each dot, and integers: those give the same bits on every processor.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from kitforge.model.kit import Grain, Stock
from kitforge.model.workshop import MaterialKind
from kitforge.pictures.shaded.wood import noise_at

if TYPE_CHECKING:
    from typing import Any

    Values = NDArray[np.floating[Any]]

_PLY = 1.4
_FINE_RINGS = 4096
# How far a strip's pith lies below its face and beside its middle, mm, and how much it leans along the grain.
_BELOW, _BESIDE, _LEAN = (25.0, 85.0), 60.0, (0.010, 0.014)


@dataclass(frozen=True, slots=True)
class GrainFigure:
    """How a wood looks. ring: mean width mm; late: how dark late wood is; pores: across and along mm, share of places
    that have one, how dark, and how much they keep to early wood; fibre: how strongly fibres show."""

    ring: float
    late: float
    pores: tuple[float, float, float, float, float]
    fibre: float = 0.075


_NONE = (0.0, 0.0, 0.0, 0.0, 0.0)
_DIFFUSE = GrainFigure(2.4, 0.14, (0.09, 2.2, 0.035, 0.20, 0.0), 0.06)
_SEMI = GrainFigure(3.0, 0.36, (0.17, 3.4, 0.06, 0.42, 0.6))
_RING = GrainFigure(2.6, 0.26, (0.28, 6.0, 0.20, 0.50, 0.95), 0.09)
_CONIFER = GrainFigure(2.6, 0.55, _NONE, 0.07)
# Which woods are ring-porous, semi-ring-porous or diffuse-porous: the usual classes of wood anatomy, from memory; the
# sizes are from memory as well and were tuned by eye.
_BY_WOOD = {
    **dict.fromkeys(("white_oak", "northern_red_oak", "white_ash", "shagbark_hickory", "black_locust", "teak"), _RING),
    **dict.fromkeys(("black_walnut", "butternut", "pecan_hickory"), _SEMI),
    "black_cherry": GrainFigure(2.8, 0.20, (0.08, 1.6, 0.05, 0.22, 0.3)),
    "mahogany": GrainFigure(4.5, 0.20, (0.22, 4.5, 0.06, 0.45, 0.0)),
    "western_redcedar": GrainFigure(2.2, 0.50, _NONE),
}
_BY_KIND = {MaterialKind.HARDWOOD: _DIFFUSE, MaterialKind.SOFTWOOD: _CONIFER}


@dataclass(frozen=True, slots=True)
class Timber:
    """A piece of stock as it looks. colour: '#rrggbb'; along_x: its grain runs along x; strip: width of the boards that
    it is glued up from, mm; seed: which tree it is from; at: where a part's origin lies on it, mm."""

    colour: str
    kind: MaterialKind
    figure: GrainFigure
    along_x: bool
    thickness: float
    strip: float
    seed: int
    at: tuple[float, float] = (0.0, 0.0)


def timber_of(stock: Stock, at: tuple[float, float] = (0.0, 0.0)) -> Timber:
    """Return the look of a part's stock; at: where the part's origin lies on it, mm."""
    material = stock.material
    figure = _BY_WOOD.get(material.key, _BY_KIND.get(material.kind, _DIFFUSE))
    seed = sum((n + 1) * ord(letter) for n, letter in enumerate(stock.key)) % 9973
    strip = stock.boards or 85.0
    along_x = stock.grain is not Grain.WIDTH
    return Timber(material.colour, material.kind, figure, along_x, stock.actual, strip, seed, at)


def tone(timber: Timber, x: Values, y: Values, z: Values, dot: float) -> Values:
    """Return how dark the wood is at points of a part (mm, z up from its face): 0 its plain colour, 1 very dark.

    dot: size of a dot, mm; nothing is drawn finer than dots show.
    """
    x, y = x + np.float32(timber.at[0]), y + np.float32(timber.at[1])
    g, w = (x, y) if timber.along_x else (y, x)
    if timber.kind is MaterialKind.PLYWOOD:
        return _plies(timber, x, y, z, dot)
    if timber.kind in _BY_KIND:
        return _solid(timber, g, w, z, dot)
    if timber.kind is MaterialKind.STRAND_BOARD:
        turn = np.sign(noise_at(g / 24, w / 16))
        return 0.25 + 0.3 * noise_at((g + turn * w) / 30 + z, (w - turn * g) / 5) + 0.12 * noise_at(g / 2, w / 0.6 + z)
    return 0.14 + 0.05 * noise_at(x / 1.1 + z, y / 1.1 + z) + 0.04 * noise_at(x / 0.5, y / 0.5 + z / 0.5)


@lru_cache(maxsize=16)
def _rings(seed: int, ring: float) -> tuple[Values, Values]:
    """Return the year at each 0.1 mm from the pith, and how strong each year's late wood is."""
    dice = np.random.RandomState(seed)
    width = ring * dice.uniform(0.55, 1.45, _FINE_RINGS)
    smooth = (width + np.roll(width, 1) + np.roll(width, -1)) / 3
    edges = np.concatenate([[0.0], np.cumsum(smooth)])
    at = np.arange(_FINE_RINGS) * 0.1
    years = np.interp(at, edges, np.arange(len(edges)))
    return years.astype(np.float32), dice.uniform(0.55, 1.0, 1024).astype(np.float32)


@lru_cache(maxsize=16)
def _piths(seed: int) -> Values:
    """Return for 64 strips: beside, below, lean along the grain, and a shift of the field along it."""
    dice = np.random.RandomState(seed + 7)
    rows = [
        dice.uniform(-_BESIDE, _BESIDE, 64),
        dice.uniform(*_BELOW, 64),
        dice.uniform(*_LEAN, 64) * dice.choice([-1, 1], 64),
        dice.uniform(0, 400, 64),
    ]
    return np.array(rows, dtype=np.float32)


@lru_cache(maxsize=4)
def _field(seed: int) -> Values:
    """Return a smooth field of 512 x 512, -1 to 1, that repeats; waves of about 32 along and 8 across."""
    from scipy.ndimage import zoom

    coarse = np.random.RandomState(seed).uniform(-1, 1, (64, 16))
    padded = np.pad(coarse, 3, mode="wrap")
    fine = zoom(padded, (8, 32), order=3, mode="grid-wrap", grid_mode=True)[24:-24, 96:-96]
    return np.ascontiguousarray(fine, dtype=np.float32)


def _smooth(field: Values, g: Values, w: Values) -> Values:
    """Return the field between its values, so that no blocks show: bilinear."""
    gi, wi = np.floor(g), np.floor(w)
    gf, wf = g - gi, w - wi
    i, j = gi.astype(np.int32) & 511, wi.astype(np.int32) & 511
    flat, i1, j1 = field.ravel(), (i + 1) & 511, (j + 1) & 511
    j, j1, rest = j << 9, j1 << 9, 1 - gf
    low = flat.take(j | i) * rest + flat.take(j | i1) * gf
    high = flat.take(j1 | i) * rest + flat.take(j1 | i1) * gf
    found: Values = low * (1 - wf) + high * wf
    return found


def _solid(timber: Timber, g: Values, w: Values, z: Values, dot: float) -> Values:
    figure = timber.figure
    strip = np.floor(w * np.float32(1 / timber.strip))
    number = strip.astype(np.int32) & 63
    pith = [row.take(number) for row in _piths(timber.seed)]
    g = g + pith[3]
    warp = _smooth(_field(3), g * np.float32(1 / 6.5), w * np.float32(1 / 7.5))
    fine_warp = _smooth(_field(4), g * np.float32(1 / 2.0), w * np.float32(1 / 2.8))
    side = w - (strip + np.float32(0.5)) * np.float32(timber.strip) - pith[0]
    below = z + pith[1] + pith[2] * g
    far = np.sqrt(side * side + below * below) + np.float32(4.5) * warp + np.float32(0.5) * fine_warp
    years, strong = _rings(timber.seed, figure.ring)
    at = np.clip(far * 10, 0, _FINE_RINGS - 2)
    index = at.astype(np.int32)
    first = years.take(index)
    year = first + (at - np.floor(at)) * (years.take(index + 1) - first)
    whole = np.floor(year)
    part = year - whole
    # Late wood grows darker towards the end of the year, and ends over a few percent of a ring, or a dot.
    end = max(0.06, 1.2 * dot / figure.ring)
    late = part * part
    late = late * (part if timber.kind is MaterialKind.SOFTWOOD else np.float32(1)) * np.clip((1 - part) / end, 0, 1)
    late *= strong.take(whole.astype(np.int32) & 1023) * np.float32(min(1.0, figure.ring / (3 * dot)))
    thin = max(0.5, 4 * dot)
    fibre = noise_at(g / 19, (w + z * np.float32(1.3)) * np.float32(1 / thin))
    fibre += np.float32(0.6) * noise_at(g / 7 + 31, (w + z) * np.float32(1.9 / thin))
    dark: Values = np.float32(figure.late) * late + np.float32(figure.fibre) * fibre
    dark += np.float32(0.05) * warp + np.float32(0.06)
    if figure.pores[0]:
        dark += _pores(figure, g, w, z, part, dot)
    return dark


def _pores(figure: GrainFigure, g: Values, w: Values, z: Values, part: Values, dot: float) -> Values:
    """Return the dark dashes of pores cut along their length: lanes as wide as a pore, or as a dot if that is wider."""
    wide, long, share, depth, early = figure.pores
    lane = max(wide, 0.9 * dot)
    a = np.floor(w * np.float32(1 / lane)).astype(np.int32).view(np.uint32)
    b = np.floor(z * np.float32(1 / lane)).astype(np.int32).view(np.uint32)
    mixed = _hashed(a * np.uint32(2654435761) ^ b * np.uint32(2246822519))
    shift = (mixed & np.uint32(1023)).astype(np.float32) * np.float32(1 / 1024)
    along = g * np.float32(1 / long) + shift
    cell = np.floor(along)
    drawn = _hashed(mixed ^ cell.astype(np.int32).view(np.uint32) * np.uint32(3266489917))
    chance = (drawn & np.uint32(65535)).astype(np.float32) * np.float32(1 / 65536)
    # In ring-porous wood nearly all of them lie in what grew in spring.
    weight = np.float32(1 - early) + np.float32(early * 3.0) * np.clip((np.float32(0.36) - part) * 6, 0, 1)
    inner = along - cell
    body = np.clip(inner * 6, 0, 1) * np.clip((1 - inner) * 6, 0, 1)
    found: Values = np.where(chance < share * weight, np.float32(depth * min(1.0, 1.5 * wide / lane)) * body, 0)
    return found.astype(np.float32)


def _hashed(value: NDArray[np.uint32]) -> NDArray[np.uint32]:
    """Return whole numbers well stirred (the finaliser of a common integer hash; from memory, tried by eye)."""
    value = value ^ (value >> np.uint32(16))
    value = value * np.uint32(0x45D9F3B)
    value = value ^ (value >> np.uint32(16))
    value = value * np.uint32(0x45D9F3B)
    found: NDArray[np.uint32] = value ^ (value >> np.uint32(16))
    return found


def _plies(timber: Timber, x: Values, y: Values, z: Values, dot: float) -> Values:
    """Plies of about 1.4 mm, an odd number, crosswise in turn, glue lines between; faces peeled, so broad in figure."""
    count = max(3, 2 * round((timber.thickness / _PLY - 1) / 2) + 1)
    ply = np.clip(-z, 0, np.float32(timber.thickness - 1e-3)) * np.float32(count / timber.thickness)
    layer = ply.astype(np.int32)
    part = ply - layer
    cross = (layer & 1).astype(np.float32)
    along = (layer & 1) == (0 if timber.along_x else 1)
    g, w = np.where(along, x, y), np.where(along, y, x)
    shift = layer.astype(np.float32) * np.float32(37.0)
    broad = _smooth(_field(5), g * np.float32(1 / 4.5) + shift, w * np.float32(1 / 5.5))
    line = _smooth(_field(6), g * np.float32(1 / 5.0), w * np.float32(1 / 1.3) + shift)
    thin = max(0.5, 4 * dot)
    fibre = noise_at(g / 15, w * np.float32(1 / thin) + shift)
    # Peeled veneer cuts the rings nearly along: wide, soft, wavering bands.
    band = broad * np.float32(3.2)
    band = band - np.floor(band)
    band = np.float32(4) * band * (1 - band)
    dark = np.float32(0.10) + np.float32(0.10) * band * band + np.float32(0.03) * line + np.float32(0.06) * fibre
    glue_wide = max(0.14, 0.5 * dot)
    glue = np.clip(1.2 - np.minimum(part, 1 - part) * np.float32(timber.thickness / count / glue_wide), 0, 1)
    glue *= ((ply > 0.5) & (ply < count - 0.5)).astype(np.float32) * np.float32(min(1.0, 0.14 / glue_wide))
    found: Values = dark + cross * np.float32(0.20) + np.float32(0.55) * glue
    return found


def seed_of(text: str) -> int:
    """Return a small whole number that belongs to a text."""
    return math.floor(sum((n + 1) * ord(letter) for n, letter in enumerate(text))) % 9973
