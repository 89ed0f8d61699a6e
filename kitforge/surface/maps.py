"""The piece after each step for the page's view in three dimensions: height maps as differences, deflated.

A map holds how deep each cell is cut from a face, in hundredths of a mm; where nothing is left it holds 65535. Each
step is the difference to the step before of the same part, low bytes first, then high bytes: most are zero.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kitforge.model.kit import Face
from kitforge.surface.cuts import cuts_of
from kitforge.surface.heightmap import blank, simulate
from kitforge.surface.packing import packed

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from kitforge.cutting.worksheet.plain import Plain
    from kitforge.model.kit import Part
    from kitforge.model.plan import Plan
    from kitforge.model.steps import Step
    from kitforge.surface.heightmap import Surface

    Depths = NDArray[np.uint16]

LONGEST = 420
"""Cells along the longer side: on a screen of 900 dots a cell is two dots wide."""
PER_MM = 100.0
GONE = 65535
MOST = 400_000
"""Signs for one part; what is more (much carved lettering) is told on cells twice as large."""


@dataclass(frozen=True, slots=True)
class StepMap:
    """A step's number, whether the other face is up, and the maps of both faces; None for a lower one that is flat."""

    number: int
    under: bool
    top: Depths
    bottom: Depths | None


class KeptMaps:
    """Maps of parts made before, by the sum of all that they are made from: a save seldom changes every part.

    Only so many of the last asked for are held, and nothing else of their kits. For one thread.
    """

    def __init__(self, most: int = 64) -> None:
        self._most = most
        self._known: dict[str, dict[str, Plain]] = {}

    def part(self, plan: Plan, part: Part) -> dict[str, Plain]:
        """Return a part with its maps after each step."""
        key = _sum_of(part, plan.steps_of(part.key))
        found = self._known.pop(key, None)
        self._known[key] = _part(plan, part) if found is None else found
        for oldest in list(self._known)[: -self._most]:
            del self._known[oldest]
        return self._known[key]


def maps_of(plan: Plan, parts: tuple[Part, ...], kept: KeptMaps | None = None) -> list[Plain]:
    """Return the parts with their maps after each step; kept: those made before."""
    own = [part for part in parts if any(step.cuts(part) for step in plan.steps)]
    return [_part(plan, part) if kept is None else kept.part(plan, part) for part in own]


def _sum_of(part: Part, steps: Sequence[Step]) -> str:
    """Return a sum of all that a part's maps are made from: its grid, its wood, and every way of every cutter."""
    told = hashlib.sha256(repr((blank(part, steps).grid, part.stock.actual, part.stock.material.colour)).encode())
    for step in (one for one in steps if one.cuts(part)):
        told.update(repr((step.number, step.face, step.operation.whole, step.tip)).encode())
        for cut in cuts_of(step):
            shapes = [chain.shape for chain in cut.chains]
            told.update(repr((cut.cutter, cut.depth, cut.floor, cut.sloped, shapes)).encode())
            for chain in cut.chains:
                told.update(chain.tobytes())
    return told.hexdigest()


def step_maps(plan: Plan, part: Part, times: int = 1) -> tuple[Surface, list[StepMap]]:
    """Return the uncut stock of a part and its maps after each step. times: how much larger cells are taken."""
    steps = plan.steps_of(part.key)
    grid = blank(part, steps).grid
    cell = max(grid.cell, max(grid.size) / LONGEST) * times
    uncut = blank(part, steps, cell)
    found = [
        StepMap(
            state.step.number,
            state.step.face is Face.BOTTOM,
            _depths(state.after, state.after.top),
            None if state.after.bottom is None else _depths(state.after, state.after.bottom),
        )
        for state in simulate(part, steps, cell=cell)
    ]
    return uncut, found


def _depths(surface: Surface, depth: NDArray[np.float32]) -> Depths:
    import numpy as np

    steps: Depths = np.rint(depth * np.float32(PER_MM)).astype(np.uint16)
    steps[surface.remaining() <= 0] = GONE
    return steps


def _part(plan: Plan, part: Part) -> dict[str, Plain]:
    uncut, found = step_maps(plan, part)
    steps = list(_differences(found))
    if sum(len(one) for row in steps for one in row[2:] if isinstance(one, str)) > MOST:
        uncut, found = step_maps(plan, part, 2)
        steps = list(_differences(found))
    grid = uncut.grid
    return {
        "columns": grid.columns, "rows": grid.rows, "cell": grid.cell, "thickness": uncut.thickness,
        "colour": part.stock.material.colour, "steps": [*steps],
    }  # fmt: skip


def _differences(found: list[StepMap]) -> Iterator[list[Plain]]:
    """Yield number, whether the other face is up, and both maps packed, '' for one that is flat."""
    top: Depths | None = None
    bottom: Depths | None = None
    for one in found:
        lower = "" if one.bottom is None else _difference(one.bottom, bottom)
        yield [one.number, one.under, _difference(one.top, top), lower]
        top, bottom = one.top, one.bottom


def _difference(depths: Depths, before: Depths | None) -> str:
    """Return a map less the one before, which wraps round."""
    import numpy as np

    change = depths if before is None else (depths - before).astype(np.uint16)
    return packed(change.reshape(1, -1))
