"""Which pieces the through cuts have divided a stock into, after each step, from the areas that the cutter sweeps.

Nothing here asks what an operation is meant for. Both faces count together: wood is gone where what is cut from the top
and what is cut from the bottom meet. Tabs and skins are left standing and recorded as bridges.
"""

from __future__ import annotations

import itertools
import math
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property, lru_cache

from shapely import (
    LineString,
    MultiPolygon,
    Point,
    Polygon,
    box,
    get_coordinates,
    get_parts,
    make_valid,
    minimum_bounding_radius,
    prepare,
    set_precision,
    union_all,
)
from shapely.geometry.base import BaseGeometry

from kitforge.geometry.crowded import thinned
from kitforge.model.datum import ROUNDING
from kitforge.model.identity import IdentityKey
from kitforge.model.kit import Face, Kit, OnionSkin, OperationKind, Stock
from kitforge.model.path import Path
from kitforge.model.piece import Bounds
from kitforge.model.pieces import Bridge, Division, WoodPiece, least_of_part
from kitforge.model.plan import Placement, PlannedSetup, Sheet
from kitforge.model.record import record
from kitforge.model.steps import Step, TabPlace
from kitforge.planning.areas import engraved_at, filled, multi, shrunk, united, width_at
from kitforge.planning.bare import KEPT, StepAreas, bare_step, bare_stock, step_areas
from kitforge.planning.tabs import lifted_over, split_at_tabs

# A web of less than twice this, mm, is none; and pieces that vanish with it are chips: common practice, no source.
_WEB = 0.1
_CHIP, _DUST = 0.25, 0.1  # mm, mm2
_GRID, _CHORD = 1e-3, 0.02  # mm: far less than what _NEAR allows
_HAIR = 0.01  # mm: by so much more than its radius a cutter takes, so that no slivers stay
_AROUND = 40.0  # mm of stock around a step that is looked at alone
_SAME = 0.01  # share of its area by which a shape may change when it is thinned
# How near two shapes lie that touch, mm: more than the chords of round cuts stray.
_NEAR = 0.15
# A bridge counts on a piece that it touches for this share of a tab's width, or for this length of a skin, mm.
_TAB_SHARE, _SKIN_LEAST = 0.5, 1.0
_TURN = 15.0  # degrees: directions of a skin that count as one
# What lies in a part's outline by this share belongs to it: walls may still have stock on them.
_INSIDE = 0.9
_ROUND = 0.985  # of the area of the circle around it; a square has 0.64 of it

_Reach = tuple[Polygon, Polygon]
_SheetKey = tuple[str, int]


def with_pieces(kit: Kit, setups: Sequence[PlannedSetup], steps: Sequence[Step]) -> tuple[PlannedSetup, ...]:
    """Return the setups with what the stock consists of after each of their steps, both faces of a piece together."""
    by_key = {step.key: step for step in steps}
    outlines = {part.key: part.outline for part in kit.parts}
    chains: dict[_SheetKey, list[Step]] = defaultdict(list)
    for setup in setups:
        chains[_key_of(setup)] += [by_key[key] for key in setup.steps]
    sheets = {_key_of(setup): setup.sheets[0] for setup in reversed(setups)}
    left = {key: iter(_divisions(*_bare_sheet(sheets[key], outlines), *_bare(chain))) for key, chain in chains.items()}
    return tuple(
        replace(setup, divisions=tuple(itertools.islice(left[_key_of(setup)], len(setup.steps)))) for setup in setups
    )


def _key_of(setup: PlannedSetup) -> _SheetKey:
    return setup.sheets[0].stock.key, setup.sheets[0].number


def _bare_sheet(sheet: Sheet, outlines: Mapping[str, Path]) -> tuple[Sheet, tuple[tuple[str, Path], ...]]:
    parts = dict.fromkeys(run.part for run in sheet.placements)
    return replace(sheet, stock=bare_stock(sheet.stock)), tuple((part, outlines[part]) for part in parts)


def _bare(steps: Sequence[Step]) -> tuple[tuple[Step, ...], tuple[StepAreas, ...]]:
    return tuple(map(bare_step, steps)), tuple(map(step_areas, steps))


@lru_cache(maxsize=KEPT)
def _divisions(
    sheet: Sheet, outlines: tuple[tuple[str, Path], ...], steps: tuple[Step, ...], _areas: tuple[StepAreas, ...]
) -> tuple[Division, ...]:
    """Return what a piece of stock consists of after each of its steps; outlines: of the parts on it, by key."""
    wood = _Wood({part: filled([outline]) for part, outline in outlines}, sheet)
    return tuple(wood.after(step) for step in steps)


def divided_by(step: Step) -> tuple[Stock, Division]:
    """Return the pieces that a step cuts by itself out of stock that is large enough, with that stock."""
    box = step.part.outline.bounds
    areas = [area.bounds for area in (step.swept, step.cut) if area is not None and not area.is_empty]
    edges = [(box.left, box.bottom, box.right, box.top), *areas]
    left, low = (min(edge[index] for edge in edges) - _AROUND for index in (0, 1))
    right, high = (max(edge[index] for edge in edges) + _AROUND for index in (2, 3))
    stock = replace(step.part.stock, length=right - left, width=high - low)
    sheet = Sheet(stock, 1, (Placement(step.part.key, 1, -left, -low),))
    return stock, _Wood({step.part.key: filled([step.part.outline])}, sheet).after(step)


@dataclass
class _Wood:
    """One piece of stock while it is cut. removed: by face, areas with how deep they are below the face as it came."""

    outlines: Mapping[str, MultiPolygon]
    sheet: Sheet
    removed: dict[Face, list[_Removed]] = field(default_factory=lambda: {face: [] for face in Face})
    gone: list[BaseGeometry] = field(default_factory=list)
    body: BaseGeometry | None = None
    bridges: list[Bridge] = field(default_factory=list)
    pieces: tuple[WoodPiece, ...] = ()
    reaches: dict[IdentityKey[BaseGeometry], tuple[_Reach, ...]] = field(default_factory=dict)

    @cached_property
    def named(self) -> list[tuple[Placement, BaseGeometry]]:
        """Every part on the stock with its outline there."""
        return [(run, run.shape(self.outlines[run.part])) for run in self.sheet.placements]

    def after(self, step: Step) -> Division:
        """Cut a step and return what is left."""
        runs, cut = self.sheet.runs(step), sound(step.cut) if step.cut is not None else multi([])
        tabs = _tab_shapes(step, cut)
        new = [one.placed(run) for one in _removed_by(step, tabs, cut) for run in runs] if runs else []
        gone = [area for one in new for area in self._meets(one, step.face)]
        self.removed[step.face] += new
        left = [_placed_bridge(bridge, run) for bridge in _bridges_of(step, tabs, cut) for run in runs]
        self._keep_bridges(gone, left)
        if gone or left or not self.pieces:
            self._divide([*gone, *(bridge.shape for bridge in left if bridge.shape is not None)], step.leave_walls)
        return Division(step.key, self.pieces, self._joined(), self._touched(step, runs), bool(self.gone))

    def _meets(self, one: _Removed, face: Face) -> Iterator[BaseGeometry]:
        """Yield where a new cut goes through: by itself, or down to what is cut from the other face."""
        thickness = self.sheet.stock.actual
        if one.tip >= thickness - ROUNDING:
            yield one.at(thickness)
            return
        for other in self.removed[Face.BOTTOM if face is Face.TOP else Face.TOP]:
            if one.tip + other.tip >= thickness - ROUNDING and one.near(other):
                shared = one.at(thickness - other.tip).intersection(other.at(thickness - one.tip))
                if not shared.is_empty:
                    yield shared

    def _keep_bridges(self, gone: Sequence[BaseGeometry], left: Sequence[Bridge]) -> None:
        """Take off the bridges what is cut through now, and add new ones; two passes leave one tab together."""
        kept = [_less(bridge, gone) for bridge in self.bridges]
        for bridge in (_less(new, self.gone) for new in left):
            same = [old for old in kept if old.skin is bridge.skin and _meet(old.shape, bridge.shape)]
            kept = [old for old in kept if old not in same]
            shapes = [one.shape for one in (bridge, *same) if one.shape is not None]
            kept.append(replace(bridge, shape=union_all(shapes)) if same else bridge)
        self.bridges = kept
        self.gone += gone

    def _divide(self, cut: Sequence[BaseGeometry], leave: float) -> None:
        body: BaseGeometry = self.body if self.body is not None else _whole(self.sheet.stock)
        if cut:
            left = get_parts(body.difference(union_all(cut, grid_size=_GRID)))
            body = multi(part for part in left if part.area > _DUST)
        self.body = body
        bodies = [part.buffer(_WEB, 4) for part in get_parts(shrunk(multi([body]), _WEB, 4))]
        bodies = [part for part in bodies if not _is_chip(part)]
        bodies.sort(key=lambda part: (-round(part.area, 1), *part.bounds))
        self.pieces = tuple(_piece(number, part, self.named, leave) for number, part in enumerate(bodies, 1))

    def _joined(self) -> tuple[Bridge, ...]:
        edges = {piece.number: piece.outline.boundary for piece in self.pieces if piece.outline is not None}
        joined = (_joining(bridge, self.pieces, self._reach(bridge), edges) for bridge in self.bridges)
        return tuple(one for found in joined for one in found)

    def _reach(self, bridge: Bridge) -> tuple[_Reach, ...]:
        """Return the parts of a bridge with what each of them touches; the same after every step that leaves it."""
        if bridge.shape is None:
            return ()
        key = IdentityKey(bridge.shape)
        if key not in self.reaches:
            parts = get_parts(multi([bridge.shape]))
            self.reaches[key] = tuple((part, part.buffer(_NEAR + _WEB)) for part in parts)
        return self.reaches[key]

    def _touched(self, step: Step, runs: Sequence[Placement]) -> frozenset[int]:
        if len(self.pieces) < 2 or step.cut is None or step.cut.is_empty:
            return frozenset(piece.number for piece in self.pieces)
        areas = [run.shape(step.cut) for run in runs]
        prepare([piece.outline for piece in self.pieces])
        return frozenset(
            piece.number
            for piece in self.pieces
            if any(piece.outline is not None and piece.outline.dwithin(area, _NEAR + _WEB) for area in areas)
        )


@record(eq=False)
class _Removed:
    """What a step takes away, `tip` mm deep below the face as it came; without its tabs, which are another one."""

    step: Step
    tip: float
    full: MultiPolygon
    run: Placement = Placement("", 1, 0.0, 0.0)

    def placed(self, run: Placement) -> _Removed:
        return replace(self, run=run)

    def at(self, level: float) -> BaseGeometry:
        """Return what is gone `level` mm below the face as it came."""
        return sound(self.run.shape(self._own(level)))

    def _own(self, level: float) -> MultiPolygon:
        operation, cutter = self.step.operation, self.step.cutter
        if operation.does is OperationKind.ENGRAVE:
            return engraved_at(operation, cutter, max(0.0, level - self.step.datum.below))
        depth = self.tip - self.step.datum.below
        narrower = (width_at(cutter, depth) - width_at(cutter, max(0.0, self.tip - level))) / 2
        return self.full if narrower < ROUNDING else shrunk(self.full, narrower)

    def near(self, other: _Removed) -> bool:
        a, b = self.run.box(Bounds(*self.full.bounds)), other.run.box(Bounds(*other.full.bounds))
        return not (a.right < b.left or b.right < a.left or a.top < b.bottom or b.top < a.bottom)


def sound(area: MultiPolygon) -> MultiPolygon:
    """Return an area on a grid fine enough, so that shapes which nearly touch cannot confuse their union."""
    for plain in (thinned(area, _CHORD), area):
        found = multi([set_precision(plain if plain.is_valid else make_valid(plain), _GRID)])
        # where thinning makes the sides of a sliver cross, a hole may be lost: then take it as it is
        if abs(found.area - area.area) <= _SAME * area.area + _DUST:
            return found
    return area


def _less(bridge: Bridge, gone: Sequence[BaseGeometry]) -> Bridge:
    shape = bridge.shape
    for area in gone:
        if shape is not None and shape.intersects(area):
            shape = shape.difference(area)
    return replace(bridge, shape=shape)


def _meet(shape: BaseGeometry | None, other: BaseGeometry | None) -> bool:
    return shape is not None and other is not None and bool(shape.dwithin(other, _NEAR))


def _whole(stock: Stock) -> Polygon:
    return box(0, 0, stock.length, stock.width)


def _removed_by(step: Step, tabs: Sequence[tuple[TabPlace, Polygon]], cut: MultiPolygon) -> list[_Removed]:
    """Return what a step takes away in its own coordinates: at full depth, and less over its tabs."""
    if cut.is_empty:
        return []
    if not tabs:
        return [_Removed(step, step.tip, cut)]
    lifted = united([shape for _tab, shape in tabs])
    over = step.datum.from_face(step.wood - max(tab.height for tab in step.tabs))
    return [_Removed(step, step.tip, multi([cut.difference(lifted.buffer(_CHORD))])), _Removed(step, over, lifted)]


def _tab_shapes(step: Step, cut: MultiPolygon) -> list[tuple[TabPlace, Polygon]]:
    """Return the tabs of a step as they are left: what no run at full depth takes away."""
    if not step.tabs or not step.through or cut.is_empty or step.travel is None:
        return []
    radius = step.cutter.radius
    below, over = split_at_tabs(step.travel.chains, step.tabs, radius, step.leave_walls)
    if not over:
        return []
    # A tab lies within a cutter's radius of where the cutter is lifted. Runs further off take nothing of it, and
    # slivers that they leave along a wall do not make one tab of two.
    room = lifted_over(step.tabs, radius, step.leave_walls, beyond=radius + _HAIR)
    passing = room.buffer(radius + 2 * _HAIR, join_style="mitre")
    runs = [LineString(chain).intersection(passing) for chain in below if len(chain) > 1]
    # drawn a hair wider, so that no slivers stay along the walls
    full = union_all([run.buffer(radius + _HAIR) for run in runs if not run.is_empty])
    stubs = [part for part in get_parts(multi([cut.intersection(room).difference(full)])) if part.area > 1.0]
    found = []
    for tab in step.tabs:
        near = min(stubs, key=lambda stub: stub.distance(Point(tab.x, tab.y)), default=None)
        if near is not None and near.distance(Point(tab.x, tab.y)) < step.cutter.radius + step.leave_walls:
            found.append((tab, MultiPolygon([near]).geoms[0]))
    return found


def _bridges_of(step: Step, tabs: Sequence[tuple[TabPlace, Polygon]], cut: MultiPolygon) -> list[Bridge]:
    """Return the bridges that a step leaves, in its own coordinates: tabs of a through cut, and skins."""
    kerf = step.kerf
    if isinstance(step.operation.hold, OnionSkin) and step.operation.through:
        skin = step.operation.skin
        if step.depth < step.wood - skin - ROUNDING:
            return []
        middles = [(part.representative_point(), part) for part in get_parts(cut)]
        return [Bridge(step.key, at.x, at.y, 0.0, skin, kerf, True, shape=part) for at, part in middles]
    return [
        Bridge(step.key, tab.x, tab.y, tab.angle, tab.height, kerf, False, over=(tab.width,), shape=shape)
        for tab, shape in tabs
    ]


def skin_runs(bridge: Bridge, piece: WoodPiece) -> list[tuple[float, float]]:
    """Return in which directions a skin runs along a piece, degrees from 0 to 180, and how long in each, mm."""
    if bridge.shape is None or piece.outline is None:
        return []
    touched = piece.outline.boundary.intersection(bridge.shape.buffer(_NEAR + _WEB))
    found: dict[float, float] = {}
    for line in get_parts(touched):
        for (x, y), (u, v) in itertools.pairwise(get_coordinates(line).tolist()):
            angle = _TURN * (round(math.degrees(math.atan2(v - y, u - x)) / _TURN) % round(180 / _TURN))
            found[angle] = found.get(angle, 0.0) + math.dist((x, y), (u, v))
    return sorted((angle, length) for angle, length in found.items() if length > _SKIN_LEAST)


def _placed_bridge(bridge: Bridge, run: Placement) -> Bridge:
    x, y = run.spot(bridge.x, bridge.y)
    angle = bridge.angle if bridge.skin else bridge.angle + run.turn  # a skin has none
    return replace(bridge, x=x, y=y, angle=angle, shape=bridge.shape and run.shape(bridge.shape))


def _joining(
    bridge: Bridge, pieces: Sequence[WoodPiece], reaches: Sequence[_Reach], edges: Mapping[int, BaseGeometry]
) -> Iterator[Bridge]:
    """Yield a bridge, or what is left of it, with the pieces that it touches; edges: of the pieces, by number."""
    most = bridge.over[0] if bridge.over else float("inf")
    least = _SKIN_LEAST if bridge.skin else _TAB_SHARE * most
    for part, reach in reaches:
        touched = [
            (piece.number, min(most, edges[piece.number].intersection(reach).length))
            for piece in pieces
            if piece.outline is not None and piece.outline.intersects(reach)
        ]
        ends = [(number, over) for number, over in touched if over >= least]
        if ends:
            yield replace(bridge, joins=tuple(n for n, _o in ends), over=tuple(o for _n, o in ends), shape=part)


def _is_chip(body: Polygon) -> bool:
    """Return whether no disc of a chip's radius lies in a piece.

    The edges that lie r further inside are together at most 2 pi r longer for each hole than those of the piece, so an
    area in which no such disc lies is at most r times the length of its edges, and pi r2 more for each hole: looked at
    first, for large pieces with many points.
    """
    most = _CHIP * body.length + math.pi * _CHIP**2 * len(body.interiors)
    return body.area <= 2 * most and bool(body.buffer(-_CHIP, 4).is_empty)


def _piece(number: int, body: Polygon, placed: Sequence[tuple[Placement, BaseGeometry]], leave: float) -> WoodPiece:
    corners = get_coordinates(body.minimum_rotated_rectangle)[:3].tolist()
    sides = sorted(math.dist(a, b) for a, b in itertools.pairwise(corners))
    inside = body.representative_point()
    disc = math.pi * float(minimum_bounding_radius(body)) ** 2
    plain = WoodPiece(
        number, body.area, sides[-1], sides[0], body.area > _ROUND * disc, inside.x, inside.y,
        outline=body,
    )  # fmt: skip
    for run, own in placed:
        if own.intersects(body) and own.intersection(body).area > _INSIDE * body.area:
            large = body.area >= least_of_part(own.area)
            on_edge = large and body.distance(own.boundary) < _NEAR + _WEB + leave
            return replace(plain, part=run.part, copy=run.copy, of_part=on_edge)
    return plain
