"""The law of loose wood, worked out anew from the height map of the whole stock: what hangs together, what holds it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import pytest
from kit_samples import Sample
from numpy.typing import NDArray
from planted import Fault
from scipy import ndimage

from kitforge.cutting.hold import Held
from kitforge.model.holds import FastenerPlace, HoldResult
from kitforge.model.kit import Face
from kitforge.model.piece import Bounds
from kitforge.model.pieces import SMALL_WASTE, Bridge, Division, WoodPiece
from kitforge.model.plan import Placement, Plan, PlannedSetup
from kitforge.model.steps import Step
from kitforge.model.workshop import HoldDown, HoldKind
from kitforge.planning import acting, fasteners, holding, pieces
from kitforge.stages import planning
from kitforge.surface.grid import Grid
from kitforge.surface.heightmap import Surface, after_step
from kitforge_holding import kitforge_check, loose

LAW = "after each step every separate piece is held by something that acts on it, or is told"
CELL = 0.5
# pieces about as large as small waste may count either way: on both sides the edge of a disc is known to half a cell
_LARGE = SMALL_WASTE + 2 * CELL * math.sqrt(math.pi * SMALL_WASTE)
_NEAR = 0.12  # share by which areas on cells may differ
_LOOSE = {"loose-piece", "part-loose"}

Field = NDArray[np.float32]
Mask = NDArray[np.bool_]


def broken(sample: Sample) -> list[str]:
    """Return every piece that the plan does not know, and every one that is held by what does not act on it."""
    plan = sample.plan
    told = {(f.part, f.operation) for f in kitforge_check(sample.kit, plan) if f.code in _LOOSE}
    return [said for setup, states in _states(plan) for said in _of_setup(plan, setup, states, told)]


@dataclass(frozen=True)
class _State:
    """The stock after a step: which cells are gone, and the number of the part of the stock that each other is in."""

    step: Step
    gone: Mask
    labels: NDArray[np.int32]
    areas: NDArray[np.floating]

    def at(self, x: float, y: float) -> int:
        """Return the number of what lies at a place; 0 for nothing."""
        row, column = int(y / CELL), int(x / CELL)
        inside = 0 <= row < self.labels.shape[0] and 0 <= column < self.labels.shape[1]
        return int(self.labels[row, column]) if inside else 0

    def is_frame(self, label: int) -> bool:
        """Return whether it is the largest thing that reaches an edge of the stock."""
        rim = np.concatenate([self.labels[0], self.labels[-1], self.labels[:, 0], self.labels[:, -1]])
        edges = [one for one in np.unique(rim) if one]
        return bool(edges) and label == max(edges, key=lambda one: self.areas[one])


def _states(plan: Plan) -> Iterator[tuple[PlannedSetup, list[_State]]]:
    """Yield each setup with the stock after those of its steps that come out on the other side."""
    fields: dict[tuple[str, int], dict[Face, Field]] = {}
    for setup in plan.setups:
        stock, sheet = setup.stock, setup.sheets[0]
        shape = math.ceil(stock.width / CELL), math.ceil(stock.length / CELL)
        cut = fields.setdefault(setup.key[:2], {face: np.zeros(shape, np.float32) for face in Face})
        states = []
        for key in setup.steps:
            step = plan.step(key)
            for run in sheet.runs(step):
                _carve(cut[step.face], step, run)
            gone = cut[Face.TOP] + cut[Face.BOTTOM] >= stock.actual - 1e-3
            if gone.any():
                labels, count = ndimage.label(~gone)
                areas = np.bincount(labels.ravel(), minlength=count + 1) * CELL**2
                states.append(_State(step, gone, labels, areas))
        yield setup, states


def _carve(depths: Field, step: Step, run: Placement) -> None:
    """Take down one face of a stock by one run of a step."""
    if step.operation.whole:
        np.maximum(depths, np.float32(step.tip), out=depths)
        return
    if step.cut is None or step.cut.is_empty:
        return
    left, low, right, high = run.box(Bounds(*step.cut.bounds))
    columns = max(0, math.floor(left / CELL) - 2), min(depths.shape[1], math.ceil(right / CELL) + 2)
    rows = max(0, math.floor(low / CELL) - 2), min(depths.shape[0], math.ceil(high / CELL) + 2)
    if columns[0] >= columns[1] or rows[0] >= rows[1]:
        return
    # the same cells in the part's own coordinates: its grid is turned back, what is cut there is turned on again
    corners = [run.back(column * CELL, row * CELL) for column in columns for row in rows]
    x, y = (min(values) for values in zip(*corners, strict=True))
    size = rows[1] - rows[0], columns[1] - columns[0]
    grid = Grid(x, y, CELL, *(size if run.turn % 180 == 0 else size[::-1]))
    blank = Surface(grid, step.part.stock.actual, np.zeros(grid.shape, np.float32))
    after = after_step(blank, step).after
    found = after.top if step.face is Face.TOP else after.bottom
    if found is not None:
        here = depths[rows[0] : rows[1], columns[0] : columns[1]]
        np.maximum(here, np.rot90(found, -(run.turn // 90)), out=here)


def _of_setup(
    plan: Plan, setup: PlannedSetup, states: Sequence[_State], told: set[tuple[str | None, str | None]]
) -> Iterator[str]:
    divisions = {division.step: division for division in setup.divisions}
    said = False
    for state in states:
        division = divisions[state.step.key]
        yield from _other_pieces(state, division)
        said = said or (state.step.part.key, state.step.operation.name) in told
        if not said:
            yield from _unheld(setup, state)
        yield from _credited(plan, setup, state, division)
    if states:
        yield from _places(setup, states[-1])


def _other_pieces(state: _State, division: Division) -> Iterator[str]:
    """Compare what hangs together on the map with what hangs together in the plan."""
    groups = {tuple(one.number for one in division.group(piece)): division.group(piece) for piece in division.pieces}
    found: dict[int, list[float]] = {}
    for group in groups.values():
        largest = max(group, key=lambda piece: piece.area)
        found.setdefault(state.at(largest.x, largest.y), []).append(sum(piece.area for piece in group))
    skins: dict[int, float] = {}
    for bridge in division.bridges:
        if bridge.skin and bridge.shape is not None:  # wood on the map, and no piece of the plan
            label = state.at(*bridge.shape.representative_point().coords[0])
            skins[label] = skins.get(label, 0.0) + bridge.shape.area
    for label in range(1, len(state.areas)):
        area, areas = float(state.areas[label]), found.get(label, [])
        large = [one for one in areas if one > _LARGE]
        if area > _LARGE and not areas:
            yield f"{state.step.key}: a piece of {area:.0f} mm2 is not in the plan"
        elif len(large) > 1:
            yield f"{state.step.key}: {area:.0f} mm2 hang together, the plan has {[round(one) for one in large]}"
        elif area > _LARGE and abs(sum(areas) + skins.get(label, 0.0) - area) > _NEAR * area + 100:
            yield f"{state.step.key}: a piece measures {area:.0f} mm2, in the plan {sum(areas):.0f}"
    yield from (f"{state.step.key}: {one:.0f} mm2 are gone" for one in found.get(0, []) if one > _LARGE)


def _hold(setup: PlannedSetup, state: _State) -> HoldDown | None:
    """Return the first hold-down of which something stands on the stock."""
    return next((hold for hold in setup.setup.hold_downs if any(_acts(hold, setup, state).values())), None)


def _acts(hold: HoldDown, setup: PlannedSetup, state: _State) -> dict[int, int]:
    """Return how many of a hold-down's fasteners stand on each piece; 1 on all that tape, vacuum or fences hold."""
    labels = range(1, len(state.areas))
    if hold.kind in (HoldKind.TAPE_AND_GLUE, HoldKind.DOUBLE_SIDED_TAPE, HoldKind.VACUUM):
        return dict.fromkeys(labels, 1)
    if hold.kind is HoldKind.EDGE_FENCES:
        field = state.labels
        across = set(np.unique(field[:, 0])) & set(np.unique(field[:, -1]))
        up = set(np.unique(field[0])) & set(np.unique(field[-1]))
        return {label: int(label in across | up) for label in labels}
    found = dict.fromkeys(labels, 0)
    for place in setup.fasteners:
        label = state.at(place.x, place.y)
        if place.kind == hold.kind.value and label:
            found[label] += 1
    return found


def _unheld(setup: PlannedSetup, state: _State) -> Iterator[str]:
    hold = _hold(setup, state)
    acting_on = _acts(hold, setup, state) if hold else {}
    for label in range(1, len(state.areas)):
        if state.areas[label] > _LARGE and not acting_on.get(label) and not state.is_frame(label):
            yield f"{state.step.key}: {state.areas[label]:.0f} mm2 lie loose, and nobody says so"


def _credited(plan: Plan, setup: PlannedSetup, state: _State, division: Division) -> Iterator[str]:
    """Compare the areas and numbers that a piece is credited with against what is there."""
    for machine in plan.machines:
        for result in machine.holding.get(setup.key, ()):
            if result.step == state.step.key and result.piece is not None:
                yield from _overrated(plan, setup, state, division, result, result.piece)


def _overrated(
    plan: Plan, setup: PlannedSetup, state: _State, division: Division, result: HoldResult, piece: WoodPiece
) -> Iterator[str]:
    label = state.at(piece.x, piece.y)
    there = float(state.areas[label]) if label else 0.0
    if piece.part is not None:
        there = min(there, abs(plan.step(result.step).part.outline.area))
    most = there * (1 + _NEAR) + 100
    given = [one for line in result.trail.lines for one in line.inputs]
    yield from (
        f"{state.step.key}: a piece of at most {most:.0f} mm2 is credited with {one.value:.0f} mm2"
        for one in given
        if one.symbol == "A" and one.value > most
    )
    standing = sum(state.at(bridge.x, bridge.y) == label for bridge in division.bridges if not bridge.skin)
    here = sum(state.at(place.x, place.y) == label for place in setup.fasteners)
    for one in given:
        if one.name == "how many" and one.value > max(1, standing + here) and " fences" not in str(result.held_by):
            yield f"{state.step.key}: {one.value:g} are counted, {standing} tabs and {here} fasteners stand there"


def _places(setup: PlannedSetup, state: _State) -> Iterator[str]:
    """Every place that the plan has chosen is on wood and clear of every cut."""
    away = ndimage.distance_transform_edt(~state.gone) * CELL
    for place in setup.fasteners:
        row, column = (min(int(v / CELL), n - 1) for v, n in zip((place.y, place.x), away.shape, strict=True))
        if place.proposed and away[row, column] < place.keep_out - 2 * CELL:
            yield f"{setup.key}: a {place.kind} at {place.x:g}, {place.y:g} is {away[row, column]:.1f} mm from a cut"


def _dropped(patch: pytest.MonkeyPatch) -> None:
    """The smallest piece is forgotten."""
    after = pieces._Wood.after

    def forgetful(wood: pieces._Wood, step: Step) -> Division:
        found = after(wood, step)
        large = [piece for piece in found.pieces if piece.area > _LARGE]
        return replace(found, pieces=tuple(large[:-1] if len(large) > 1 else large))

    patch.setattr(pieces._Wood, "after", forgetful)


def _as_at_first(patch: pytest.MonkeyPatch) -> None:
    """The stock is taken as it was after the first step."""
    with_pieces = pieces.with_pieces

    def first(*given: object) -> tuple[PlannedSetup, ...]:
        found = with_pieces(*given)  # type: ignore[arg-type]
        return tuple(replace(s, divisions=tuple(replace(s.divisions[0], step=k) for k in s.steps)) for s in found)

    patch.setattr(planning, "with_pieces", first)


def _one_face(patch: pytest.MonkeyPatch) -> None:
    def alone(wood: pieces._Wood, one: pieces._Removed, _face: Face) -> Iterator[object]:
        if one.tip >= wood.sheet.stock.actual:
            yield one.at(one.tip)

    patch.setattr(pieces._Wood, "_meets", alone)


def _no_skins(patch: pytest.MonkeyPatch) -> None:
    joining = pieces._joining

    def tabs_alone(bridge: Bridge, *there: Any) -> Iterator[Bridge]:
        return iter(()) if bridge.skin else joining(bridge, *there)

    patch.setattr(pieces, "_joining", tabs_alone)


def _joined_to_all(patch: pytest.MonkeyPatch) -> None:
    """A tab is taken to join whatever there is."""

    def all_of_them(bridge: Bridge, there: Sequence[WoodPiece], *_more: object) -> Iterator[Bridge]:
        yield replace(bridge, joins=tuple(one.number for one in there), over=tuple(5.0 for _one in there))

    patch.setattr(pieces, "_joining", all_of_them)


def _one_copy(patch: pytest.MonkeyPatch) -> None:
    """Only the first copy of a part is cut."""
    after = pieces._Wood.after

    def first(wood: pieces._Wood, step: Step) -> Division:
        once = replace(wood.sheet, placements=tuple(p for p in wood.sheet.placements if p.copy == 1))
        wood.sheet = once
        return after(wood, step)

    patch.setattr(pieces._Wood, "after", first)


def _whole_stock(patch: pytest.MonkeyPatch) -> None:
    """A piece is credited with the tape under the whole stock."""
    known = acting.acting

    def generous(hold: HoldDown, there: Sequence[WoodPiece], stock: object, places: object) -> Held | None:
        found = known(hold, there, stock, places)  # type: ignore[arg-type]
        return found and replace(found, area=0.5 * stock.length * stock.width)  # type: ignore[attr-defined]

    patch.setattr(holding, "acting", generous)


def _stands_anywhere(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(acting, "_stands_in", lambda _place, _outline: True)


def _spans_anywhere(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(acting, "_spans", lambda _outline, _stock: True)


def _in_the_cut(patch: pytest.MonkeyPatch) -> None:
    """Screws and clamps are placed without a look at the cuts."""
    from shapely import box

    patch.setattr(
        fasteners,
        "free_area",
        lambda _kit, sheets, _steps, _hold: box(0, 0, sheets[0].stock.length, sheets[0].stock.width),
    )


def _silent(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(loose, "loose_pieces", lambda _setup, _hold: [])


def _counted(patch: pytest.MonkeyPatch) -> None:
    """Four screws are counted in a piece in which none stands."""
    known = acting.acting

    def four(hold: HoldDown, there: Sequence[WoodPiece], stock: object, places: Sequence[FastenerPlace]) -> Held | None:
        return known(hold, there, stock, places) or Held(0.0, 4)  # type: ignore[arg-type]

    patch.setattr(holding, "acting", four)


FAULTS = (
    Fault("a piece is dropped", _dropped, {"plug"}),
    Fault("the pieces stay as after the first step", _as_at_first, {"plug"}),
    Fault("what is cut from the other face is not seen", _one_face, {"two faces"}),
    Fault("a skin holds nothing", _no_skins, {"plug on a skin"}),
    Fault("a tab joins whatever there is", _joined_to_all, {"loose island"}),
    Fault("further copies are not cut", _one_copy, {"several copies"}),
    Fault("a plug has the tape under all of the stock", _whole_stock, {"plug"}),
    Fault("a screw holds what it does not stand in", _stands_anywhere, {"loose island"}),
    Fault("fences hold what they do not touch", _spans_anywhere, {"hold-down edge_fences"}),
    Fault("a screw stands in a cut", _in_the_cut, {"hold-down screws"}),
    Fault("loose pieces are not told", _silent, {"loose island"}),
    Fault("four screws are counted where none stands", _counted, {"plug"}),
)
