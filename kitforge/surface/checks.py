"""What the cut surface gives away: pure functions from states of the stock to typed results."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from kitforge.model.kit import Face, OperationKind, Part
from kitforge.model.record import record
from kitforge.model.steps import Phase, Step
from kitforge.planning.areas import multi, shrunk
from kitforge.surface.cutter_shape import corner, flat
from kitforge.surface.grid import Grid
from kitforge.surface.heightmap import NOTHING, Surface, SurfaceState
from kitforge.surface.outline import inside, inside_rings

# A cut that takes less than this off, and less than this share of its area times depth, counts as nothing: mm³, 1.
_NO_CUT, _NO_SHARE = 0.5, 0.02
# Share of a cut that must survive the later ones; less and the step was for nothing.
_SURVIVES = 0.02
_OTHER = {Face.TOP: Face.BOTTOM, Face.BOTTOM: Face.TOP}
_CLEARING = (OperationKind.POCKET, OperationKind.DISH, OperationKind.FACE)
# A floor may be higher than asked by so much beside its scallops, mm: what sanding takes away without thought.
_ROUGHNESS = 0.05


@record
class MeasuredPlace:
    """Something at a place of the part: how much of it (mm, see the function) on how much area mm², and where."""

    amount: float
    area: float
    at: tuple[float, float]


@record
class Undone:
    """A step whose work is cut away by later ones: what share of its area is left, and which step takes most of it."""

    step: Step
    left: float
    by: Step


def cuts_nothing(state: SurfaceState) -> bool:
    """Return whether a step removes nothing: everything in its way was cut before, or it runs beside the stock."""
    step = state.step
    area = _area_cut(state)
    whole = _NO_CUT / _NO_SHARE if area is None else area * min(step.depth, step.wood)
    removed = state.removed
    return removed < min(_NO_CUT, _NO_SHARE * whole) or removed <= 0


def _area_cut(state: SurfaceState) -> float | None:
    if state.step.operation.whole:
        return state.after.grid.cell_area * state.after.top.size
    return None if state.step.cut is None else state.step.cut.area


def undone(states: Iterable[SurfaceState]) -> list[Undone]:
    """Return the steps of which later steps of other operations leave next to nothing.

    A facing cut, and a roughing pass with its own finishing pass, are meant to be cut over. A cut from one face takes
    nothing away of a cut in the other one, unless it is meant to go through.
    """
    steps: list[Step] = []
    masks: list[NDArray[np.uint8]] = []
    owners: dict[Face, NDArray[np.int16]] = {}
    for number, state in enumerate(states):
        changed = state.changed()
        for face in Face:
            owners.setdefault(face, np.full(changed.shape, -1, dtype=np.int16))
        owners[state.step.face][changed] = number
        if state.step.through:
            owners[_OTHER[state.step.face]][changed & (state.after.remaining() <= 0)] = number
        steps.append(state.step)
        masks.append(np.packbits(changed))
    found = (_undone(number, step, masks[number], owners[step.face], steps) for number, step in enumerate(steps))
    return [item for item in found if item is not None]


def _undone(
    number: int, step: Step, mask: NDArray[np.uint8], owner: NDArray[np.int16], steps: Sequence[Step]
) -> Undone | None:
    if step.operation.does is OperationKind.FACE or (step.phase is Phase.ROUGHING and step.operation.roughing):
        return None
    mine = owner.ravel()[np.unpackbits(mask, count=owner.size).view(bool)]
    if not len(mine):
        return None
    shares = np.bincount(mine, minlength=len(steps)) / len(mine)
    by = steps[int(np.argmax(shares))]
    if shares[number] >= _SURVIVES or by.operation is step.operation:
        return None
    return Undone(step, float(shares[number]), by)


def broken_through(state: SurfaceState, part: Part) -> MeasuredPlace | None:
    """Return where a step that should stop in the wood comes out in a cut of the other face; amount: its depth, mm.

    Not for a step that is as deep as the stock: that is a mistake of its own (`below_stock`).
    """
    other = state.before.bottom if state.step.face is Face.TOP else state.before.top
    if state.step.operation.through or other is None or below_stock(state.step):
        return None
    grid = state.after.grid
    new = (state.after.remaining() <= 0) & (state.before.remaining() > 0) & inside(grid, [part.outline])
    new &= other > state.step.datum.opposite + NOTHING
    if int(new.sum()) < 4:
        return None
    return _place(grid, new, np.full(grid.shape, np.float32(state.step.depth)))


def web_left(surface: Surface, part: Part) -> MeasuredPlace | None:
    """Return the thinnest wood between a cut from the top and one from the bottom; amount: its thickness, mm."""

    if surface.bottom is None:
        return None
    left = surface.remaining()
    cut = (surface.top > part.faced[0] + NOTHING) & (surface.bottom > part.faced[1] + NOTHING)
    both = cut & (left > 0) & inside(surface.grid, [part.outline])
    both = _eroded(both, 1)
    if not both.any():
        return None
    thinnest = float(left[both].min())
    return _place(surface.grid, both & (left <= thinnest + NOTHING), left)


def below_stock(step: Step) -> bool:
    """Return whether a step that is no through cut goes as deep as there is wood."""
    return not step.operation.through and step.depth >= step.wood - NOTHING


def scallop_left(step: Step) -> float | None:
    """Return the height of the crests between the passes of a clearing step, mm; None for a step without passes.

    h = R - sqrt(R² - s²/4) for a rounded corner of radius R (ball nose: half the diameter), where s is the stepover
    beyond the flat of the cutter; R is the whole crest once s exceeds 2 R (McGuirk; the flat: from the geometry).
    """
    if step.operation.does not in _CLEARING or step.stepover is None:
        return None
    apart, around = step.stepover - 2 * flat(step.cutter), corner(step.cutter)
    if apart <= 0 or around <= 0:
        return 0.0 if apart <= 0 else step.depth
    return around if apart >= 2 * around else around - math.sqrt(around**2 - apart**2 / 4)


def ridges_left(state: SurfaceState) -> MeasuredPlace | None:
    """Return what a clearing step leaves standing inside the area it is to clear; amount: height over the floor, mm.

    The crests that the stepover must leave, and the rounding along the walls, are not counted.
    """
    step = state.step
    scallop = scallop_left(step)
    roughing = step.operation.roughing is not None and step.phase is Phase.ROUGHING
    if scallop is None or step.cut is None or roughing or step.operation.whole:
        return None
    grid = state.after.grid
    area = _raster(grid, shrunk(step.cut, corner(step.cutter) + 1.5 * grid.cell))
    depth = _face_of(state.after, step)
    if depth is None or not area.any():
        return None
    allowed = min(scallop, _expected_at_most(step)) + _ROUGHNESS
    high = np.float32(min(step.tip, state.after.thickness)) - depth
    standing = area & (high > allowed)
    if float(standing.sum()) * grid.cell_area < 0.5:
        return None
    return _place(grid, standing, high, largest=True)


def _expected_at_most(step: Step) -> float:
    """Return the highest crest that counts as a scallop: a quarter of the corner radius; more is a ridge, mm."""
    return corner(step.cutter) / 4


def _face_of(surface: Surface, step: Step) -> NDArray[np.float32] | None:
    return surface.top if step.face is Face.TOP else surface.bottom


def _place(grid: Grid, mask: NDArray[np.bool_], amount: NDArray[np.float32], *, largest: bool = False) -> MeasuredPlace:
    """Return the place of the smallest (or largest) amount among the cells of a mask."""
    worst = np.where(mask, amount, np.float32(-np.inf if largest else np.inf))
    index = int(np.argmax(worst) if largest else np.argmin(worst))
    row, column = divmod(index, grid.columns)
    return MeasuredPlace(float(amount[row, column]), float(mask.sum()) * grid.cell_area, grid.point(row, column))


def _raster(grid: Grid, area: BaseGeometry) -> NDArray[np.bool_]:
    rings = [r for polygon in multi([area]).geoms for r in (polygon.exterior, *polygon.interiors)]
    return inside_rings(grid, [np.asarray(ring.coords)[:, :2] for ring in rings])


def _eroded(mask: NDArray[np.bool_], cells: int) -> NDArray[np.bool_]:
    from scipy.ndimage import binary_erosion

    worn: NDArray[np.bool_] = binary_erosion(mask, iterations=cells)
    return worn
