"""What stands beside and under a cutter on the simulated surface: the shank, the collet nut, the underside.

Nothing stands higher than the face of the stock. So the shank can touch only where the tip goes deeper than the edges
are long, the nut only where it comes down to the face, and a through cut leaves wood only where the tip goes less far
below the stock than the cutter needs to be at its full width. All three are asked before any map is looked at.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray
from shapely import LineString, get_coordinates, points, segmentize

from kitforge.model.kit import Face
from kitforge.model.steps import Phase, Step
from kitforge.surface.checks import MeasuredPlace
from kitforge.surface.cuts import cuts_of
from kitforge.surface.cutter_shape import full_width_height, reach_at
from kitforge.surface.distance import distance_to
from kitforge.surface.grid import Grid
from kitforge.surface.heightmap import NOTHING, Surface, SurfaceState

if TYPE_CHECKING:
    from collections.abc import Sequence


# Wood in fewer cells than this is an artefact of the map.
_LEAST_CELLS = 4


def shank_touches(state: SurfaceState) -> MeasuredPlace | None:
    """Return where wood stands beside the shank; amount: how far the shank's lower end lies below it, mm.

    The stock after the step is looked at within the shank's radius of the cutter's way, and always one cell beyond the
    cutter's own: the wall that a cutter leaves stands beside a shank of the same width as well. None for a tip that
    goes no deeper than the edges are long. Places that the other face has cut away do not count.
    """
    cutter, surface = state.step.cutter, state.after
    top, cell = _depth_map(surface, state.step), surface.grid.cell
    if top is None or state.step.depth <= cutter.cutting_length + NOTHING:
        return None
    overlap, stands = np.zeros(surface.grid.shape, dtype=np.float32), surface.remaining() > 0
    for cut in cuts_of(state.step):
        end = min(cut.depth, cut.floor) - cutter.cutting_length
        if end <= NOTHING:
            continue
        near = np.isfinite(
            distance_to(surface.grid, _plan_view(cut.chains), max(cutter.shank / 2, cutter.radius + cell))
        )
        np.maximum(overlap, np.where(near, np.float32(end) - top, np.float32(0)), out=overlap)
    overlap[~stands] = 0
    return _largest(surface.grid, overlap)


def nut_clearance(state: SurfaceState, stick_out: float, nut: float, least: float) -> MeasuredPlace | None:
    """Return where the collet nut comes nearer to the wood than `least` mm; amount: the room under it there, mm.

    stick_out: of the cutter from the collet, nut: outer diameter of the nut, mm. The nut is `stick_out` above the tip;
    what stands higher after the step within the nut's radius of the cutter's way is in its way: negative amounts are
    how far it would have to go into the wood. Its circle is drawn within one cell.
    """
    surface, cell = state.after, state.after.grid.cell
    top = _depth_map(surface, state.step)
    if top is None or stick_out - state.step.depth >= least:
        return None
    from scipy.ndimage import distance_transform_edt  # loads slowly, and most steps keep clear of the nut

    short = np.zeros(surface.grid.shape, dtype=np.float32)
    for cut in cuts_of(state.step):
        room = stick_out - min(cut.depth, cut.floor)
        way = _way(surface.grid, _plan_view(cut.chains)) if room < least else None
        if way is None or not way.any():
            continue
        under = distance_transform_edt(~way) * cell <= nut / 2
        np.maximum(short, np.where(under, np.float32(least - room) - top, np.float32(0)), out=short)
    short[surface.remaining() <= 0] = 0
    place = _largest(surface.grid, short)
    return None if place is None else MeasuredPlace(least - place.amount, place.area, place.at)


def is_last_through(step: Step) -> bool:
    """Return whether a step is the last pass of a through cut that leaves no onion skin."""
    roughing = step.operation.roughing is not None and step.phase is Phase.ROUGHING
    return step.through and not roughing


def width_underneath(step: Step) -> float:
    """Return how wide a through cut is at the underside of the stock, mm: less than the cutter for a pointed one."""
    return 2 * reach_at(step.cutter, step.into_spoilboard)


def deeper_than_needed(step: Step) -> float:
    """Return how far a cutter goes into the spoilboard after it has come out at its full width, mm; 0 for not at all.

    A drill's point has the length r / tan(angle / 2) (geometry; ISO 13399 SIG), a ball nose its radius.
    """
    return max(0.0, step.into_spoilboard - full_width_height(step.cutter))


def reaches_underside(state: SurfaceState) -> bool:
    """Return whether a cut comes to wood at the underside: not where the other face was cut away before, all along."""
    other = state.before.bottom if state.step.face is Face.TOP else state.before.top
    if other is None:
        return True
    cuts, least = cuts_of(state.step), state.step.datum.opposite + NOTHING
    ways = (distance_to(state.after.grid, cut.chains, state.step.cutter.radius) for cut in cuts)
    return any(bool((np.isfinite(way) & (other <= least)).any()) for way in ways)


def left_underneath(state: SurfaceState) -> MeasuredPlace | None:
    """Return the wood that a through cut leaves under its cutter along the underside; amount: its height, mm.

    A point or a rounded corner that does not come out whole leaves it. Holding tabs do not count, and where the other
    face was cut before, a shorter way may be enough: the map tells.
    """
    step, surface = state.step, state.after
    if not is_last_through(step) or step.into_spoilboard >= full_width_height(step.cutter) - NOTHING:
        return None
    within = step.cutter.radius - surface.grid.cell / 2
    under = np.zeros(surface.grid.shape, dtype=bool)
    for cut in cuts_of(step):
        if cut.depth >= surface.thickness - step.datum.opposite:
            under |= np.isfinite(distance_to(surface.grid, cut.chains, within))
    return _largest(surface.grid, np.where(under, surface.remaining(), np.float32(0)))


def _depth_map(surface: Surface, step: Step) -> NDArray[np.float32] | None:
    return surface.top if step.face is Face.TOP else surface.bottom


def _way(grid: Grid, chains: Sequence[NDArray[np.float64]]) -> NDArray[np.bool_]:
    """Return the cells that chains run through, shape grid.shape: points half a cell apart, those off the grid left."""
    lines = [LineString(chain) if len(chain) > 1 else points(chain[0]) for chain in chains]
    along = get_coordinates(segmentize(lines, grid.cell / 2))
    columns, rows = np.floor((along - (grid.x0, grid.y0)) / grid.cell).astype(np.intp).T
    on = (rows >= 0) & (rows < grid.rows) & (columns >= 0) & (columns < grid.columns)
    way = np.zeros(grid.shape, dtype=bool)
    way[rows[on], columns[on]] = True
    return way


def _plan_view(chains: Sequence[NDArray[np.float64]]) -> list[NDArray[np.float64]]:
    return [chain[:, :2] for chain in chains]


def _largest(grid: Grid, amount: NDArray[np.float32]) -> MeasuredPlace | None:
    """Return the place of the largest amount with the area of all cells that have any; None for hardly any."""
    count = int((amount > NOTHING).sum())
    if count < _LEAST_CELLS:
        return None
    row, column = divmod(int(np.argmax(amount)), grid.columns)
    return MeasuredPlace(float(amount[row, column]), count * grid.cell_area, grid.point(row, column))
