"""What a part looks like after each step: its stock as a height map, cut by every cutter along its real way.

Two maps: depth below the face that is up for operations of the top, and below the other face for those cut from the
bottom. Both lie in the part's own coordinates, so a cell that both cut through together is gone. Cells at a wall hold
the mean depth over the cell to first order, so that volumes and edges are finer than the cells.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from kitforge.geometry.region import not_in_another, outermost
from kitforge.model.kit import Face, OperationKind, Part, Side
from kitforge.model.path import Path
from kitforge.model.record import record
from kitforge.model.steps import Step
from kitforge.surface.cuts import CutterRun, cuts_of, run_segments
from kitforge.surface.cutter_shape import reach_at, rise
from kitforge.surface.distance import distance_along
from kitforge.surface.grid import CEILING, Grid, grid_for
from kitforge.surface.outline import inside_share
from kitforge.surface.sloped import cone_depth

Box = tuple[float, float, float, float]

# Material thinner than this counts as cut away, mm.
NOTHING = 1e-3


@record(eq=False)
class Surface:
    """A part's stock: top and bottom hold how deep each cell is cut from that face, mm, shape grid.shape, float32.

    The arrays are read-only and shared between states; bottom is None while nothing has been cut from below.
    """

    grid: Grid
    thickness: float
    top: NDArray[np.float32]
    bottom: NDArray[np.float32] | None = None

    def remaining(self) -> NDArray[np.float32]:
        """Return how much material is left in each cell, mm; 0 where it is cut through."""
        left = np.float32(self.thickness) - self.top
        if self.bottom is not None:
            left -= self.bottom
        np.copyto(left, 0, where=left < NOTHING)
        return left

    def volume(self) -> float:
        """Return the volume of what is left, mm³."""
        return float(self.remaining().sum(dtype=np.float64)) * self.grid.cell_area

    def coarser(self, times: int) -> Surface:
        """Return the same stock on cells `times` as large, each with the mean depth of what it covers; for small views.

        Rows and columns over, fewer than `times`, are left off the upper and right edge.
        """
        if times < 2:
            return self
        grid = replace(
            self.grid, cell=self.grid.cell * times, rows=self.grid.rows // times, columns=self.grid.columns // times
        )
        bottom = None if self.bottom is None else _frozen(_mean_of(self.bottom, grid, times))
        return replace(self, grid=grid, top=_frozen(_mean_of(self.top, grid, times)), bottom=bottom)

    def turned_over(self) -> Surface:
        """Return the same stock turned over about its y direction: left becomes right, the other face is up."""
        grid = replace(self.grid, x0=-(self.grid.x0 + self.grid.columns * self.grid.cell))
        bottom = self.bottom if self.bottom is not None else _frozen(np.zeros(self.grid.shape, np.float32))
        return Surface(grid, self.thickness, bottom[:, ::-1], self.top[:, ::-1])

    def freed(self, part: Part) -> Surface:
        """Return the part alone: what lies outside its outline or in a hole cut out of it is gone, tabs as well."""
        waste = np.float32(self.thickness) * (1 - inside_share(self.grid, [part.outline, *cut_out(part)]))
        if self.bottom is not None:
            waste -= self.bottom
        return replace(self, top=_frozen(np.maximum(self.top, waste)))


@record(eq=False)
class SurfaceState:
    """The stock before and after one step. The arrays stay valid for as long as the state is kept."""

    step: Step
    before: Surface
    after: Surface

    @property
    def removed(self) -> float:
        """How much this step took off, mm³; worked out each time that it is asked for."""
        return self.before.volume() - self.after.volume()

    def changed(self, least: float = 0.005) -> NDArray[np.bool_]:
        """Return which cells lost more than `least` mm in this step, shape grid.shape."""
        return self.before.remaining() - self.after.remaining() > least


def blank(
    part: Part,
    steps: Iterable[Step],
    cell: float | None = None,
    ceiling: int = CEILING,
    box: Box | None = None,
) -> Surface:
    """Return the uncut stock of a part on a grid made for its steps."""
    grid = grid_for(part, steps, cell, ceiling, box)
    return Surface(grid, part.stock.actual, _frozen(np.zeros(grid.shape, np.float32)))


def simulate(
    part: Part,
    steps: Sequence[Step],
    *,
    cell: float | None = None,
    ceiling: int = CEILING,
    box: Box | None = None,
) -> Iterator[SurfaceState]:
    """Yield the stock after each step that cuts the part, in the order given; others are left out.

    cell: mm, None for 0.25 mm or finer on small parts; ceiling: most cells of a map; box: left, bottom, right,
    top of the only piece of the part that is wanted, mm. Nothing is kept between steps
    but the last surface: memory stays below about 40 bytes a cell unless the caller keeps the states.
    """
    own = [step for step in steps if step.cuts(part)]
    surface = blank(part, own, cell, ceiling, box)
    for step in own:
        state = after_step(surface, step)
        surface = state.after
        yield state


def after_step(surface: Surface, step: Step) -> SurfaceState:
    """Return the state of the stock after one more step."""
    cut = _faced(surface, step) if step.operation.whole else surface
    for item in cuts_of(step):
        cut = _cut(cut, item, step.face)
    return SurfaceState(step, surface, cut)


def finished(
    part: Part,
    steps: Sequence[Step],
    *,
    cell: float | None = None,
    ceiling: int = CEILING,
    box: Box | None = None,
) -> Surface:
    """Return the stock after all steps of the part; uncut stock if there are none."""
    surface = blank(part, [step for step in steps if step.cuts(part)], cell, ceiling, box)
    for state in simulate(part, steps, cell=cell, ceiling=ceiling, box=box):
        surface = state.after
    return surface


def cut_out(part: Part) -> list[Path]:
    """Return the shapes whose inside falls out of the part: of through cuts along their inside, and islands in them.

    What lies in another of them falls out with it.
    """
    through = [one for one in part.operations if one.through]
    along = [one.shapes for one in through if one.does is OperationKind.PROFILE and one.side is Side.INSIDE]
    cleared = [one.shapes for one in through if one.does is OperationKind.POCKET]
    around = {id(path) for shapes in cleared for path in not_in_another(shapes)}
    islands = [path for shapes in cleared for path in shapes if id(path) not in around]
    return outermost([path for path in (*itertools.chain(*along), *islands) if path.closed])


def _faced(surface: Surface, step: Step) -> Surface:
    """Return the stock after its whole face was taken down."""
    level = np.float32(min(step.tip, surface.thickness))
    return _with_face(surface, step.face, np.maximum(_face_of(surface, step.face), level))


def _face_of(surface: Surface, face: Face) -> NDArray[np.float32]:
    old = surface.top if face is Face.TOP else surface.bottom
    return np.zeros(surface.grid.shape, np.float32) if old is None else old


def _cut(surface: Surface, cut: CutterRun, face: Face) -> Surface:
    return _with_face(surface, face, _carved(surface, _face_of(surface, face), cut))


def _with_face(surface: Surface, face: Face, depths: NDArray[np.float32]) -> Surface:
    new = _frozen(depths)
    return replace(surface, top=new) if face is Face.TOP else replace(surface, bottom=new)


def _carved(surface: Surface, old: NDArray[np.float32], cut: CutterRun) -> NDArray[np.float32]:
    """Return the depths of one face after a cut; a cell half under the cutter's rim is half way down."""
    if cut.sloped:
        return np.maximum(old, np.minimum(cone_depth(surface.grid, cut), np.float32(surface.thickness)))
    half = surface.grid.cell / 2
    reach = reach_at(cut.cutter, cut.depth)
    share = distance_along(surface.grid, run_segments(cut), reach + half)
    under = np.flatnonzero(np.isfinite(share))
    far = share.ravel()[under]
    del share
    deep = np.minimum(np.float32(cut.depth) - rise(cut.cutter, far), np.float32(min(cut.floor, surface.thickness)))
    covered = np.clip((np.float32(reach + half) - far) / np.float32(2 * half), 0, 1)
    new = old.copy()
    here = old.ravel()[under]
    beside = _beside(old, under, covered < 1, here)
    new.ravel()[under] = np.maximum(here, beside + np.maximum(deep - beside, 0) * covered)
    return new


def _beside(
    old: NDArray[np.float32], cells: NDArray[np.intp], partly: NDArray[np.bool_], here: NDArray[np.float32]
) -> NDArray[np.float32]:
    """Return how deep the uncovered rest of each cell is: its own depth, for partly covered cells the least around.

    A cell on a wall that is cut once more, deeper, has its rest on the face, not half way down.
    """
    rest = here.copy()
    at, least = cells[partly], here[partly]
    for step in (1, old.shape[1] - 1, old.shape[1], old.shape[1] + 1):
        for to in (at - step, at + step):
            np.minimum(least, old.ravel()[np.clip(to, 0, old.size - 1)], out=least)
    rest[partly] = least
    return rest


def _mean_of(depth: NDArray[np.float32], grid: Grid, times: int) -> NDArray[np.float32]:
    whole = depth[: grid.rows * times, : grid.columns * times]
    rows, total = np.zeros((grid.rows, whole.shape[1]), np.float32), np.zeros(grid.shape, np.float32)
    # Rows first: they lie in one piece.
    for row in range(times):
        rows += whole[row::times]
    for column in range(times):
        total += rows[:, column::times]
    return total / np.float32(times * times)


def _frozen(array: NDArray[np.float32]) -> NDArray[np.float32]:
    array.setflags(write=False)
    return array
