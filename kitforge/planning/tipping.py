"""How much of a hold-down counts where the cutter lifts a piece at its edge: the piece tips about the opposite edge.

Statics alone, no test. Lengths mm. The piece is taken as stiff.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from shapely import contains_xy, get_coordinates
from shapely.geometry.base import BaseGeometry

from kitforge.model.holds import FastenerPlace
from kitforge.model.workshop import HoldDown, HoldKind
from kitforge.planning.acting import TAPES, places_for
from kitforge.planning.fasteners import FASTENED

TAPE_SHARE = 1 / 4
"""A lift F at the middle of an edge of a rectangle b x l, stuck down all over: F / (b l) + (F b / 2) / (l b^2 / 6)."""
VACUUM_SHARE = 1 / 2
"""Suction presses on the middle, half of the width from the edge that the piece tips about."""
_DIRECTIONS = 24


def edge_share(hold: HoldDown, outline: BaseGeometry | None, places: Iterable[FastenerPlace]) -> float | None:
    """Return what counts of a hold-down that acts on a piece, as a share of what it bears in the middle.

    None where the hold-down bears by friction at the edges, which a lift at one of them does not unload.
    """
    if hold.kind in TAPES:
        return TAPE_SHARE
    if hold.kind is HoldKind.VACUUM:
        return VACUUM_SHARE
    if hold.kind is HoldKind.EDGE_FENCES or outline is None:
        return None
    return _worst(outline, [(place.x, place.y) for place in places_for(hold, places)], hold.kind in FASTENED)


def _worst(outline: BaseGeometry, spots: Sequence[tuple[float, float]], drawn: bool) -> float | None:
    """Return the least share of all directions in which the piece may tip."""
    inside = [spot for spot in spots if contains_xy(outline, *spot)]
    corners = get_coordinates(outline.convex_hull).tolist()
    if not inside:
        return None
    found = []
    for number in range(_DIRECTIONS):
        turn = 2 * math.pi * number / _DIRECTIONS
        across = [x * math.cos(turn) + y * math.sin(turn) for x, y in corners]
        pivot, width = min(across), max(across) - min(across)
        levers = [x * math.cos(turn) + y * math.sin(turn) - pivot for x, y in inside]
        found.append(share_of(levers, width, drawn=drawn))
    return min(1.0, *found)


def share_of(levers: Sequence[float], width: float, *, drawn: bool) -> float:
    """Return what fasteners count at these distances from the edge that a piece tips about, lifted `width` from it.

    drawn: screws and brads are drawn as far as they lie from that edge, so that the farthest one gives way first:
    F w = T (d1^2 + d2^2 + ...) / d_max. Clamps press with the same force however far they are.
    """
    farthest = max(levers)
    if farthest <= 0 or width <= 0:
        return 0.0
    moment = sum(lever**2 for lever in levers) / farthest if drawn else sum(levers)
    return moment / (width * len(levers))
