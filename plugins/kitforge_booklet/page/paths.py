"""The ways of the cutter for the page's time formula: whole numbers, byte for byte below each other, deflated.

Rounded to a thousandth of a mm or of a degree, far below what a machine is built to; the page times them by the formula
of the settings (`scripts/timing.js`), and a test compares both on the same rounded ways.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from kitforge.model.kit import OperationKind
from kitforge.model.travel import Travel, travel_along
from kitforge.surface.packing import packed

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from kitforge.cutting.worksheet.plain import Plain
    from kitforge.model.steps import Step


PER_UNIT = 1000.0


def rounded(step: Step) -> Travel | None:
    """Return the way of a step as the page has it; of an engraving by its points, since its layers depend on depths."""
    import numpy as np

    travel = step.travel
    if travel is None:
        return None
    if _engraved(step):
        return travel_along([np.rint(chain * PER_UNIT) / PER_UNIT for chain in travel.chains])
    return Travel(np.rint(travel.lengths * PER_UNIT) / PER_UNIT, np.rint(travel.angles * PER_UNIT) / PER_UNIT)


def path_data(step: Step) -> dict[str, Plain] | None:
    """Return what the time of a step is worked out from; None where its geometry is not planned."""
    if step.geometry is None:
        return None
    visits, box = step.geometry.visits, step.part.outline.bounds
    return {
        "does": step.operation.does.value if step.operation.does in _APART else "",
        "places": visits.places,
        "joins": [*visits.joins],
        "backs": [*visits.backs],
        "hops": [*visits.hops],
        "size": [box.width, box.height],
        "copies": step.copies,
        "lanes": step.stepover,
        "plunges": step.plunges,
        "tabs": [tab.height for tab in step.tabs] if step.through else [],
        "spoilboard": step.into_spoilboard,
        **_way(step),
    }


_APART = (OperationKind.DRILL, OperationKind.ENGRAVE)
"""What is timed otherwise than along a way at one depth."""


def _engraved(step: Step) -> bool:
    return step.operation.does is OperationKind.ENGRAVE


def _way(step: Step) -> dict[str, Plain]:
    """Return the numbers of a way: lengths and angles, or the points of chains, each less the one before it."""
    import numpy as np

    travel = step.travel
    if travel is None or not (len(travel.lengths) or travel.chains):
        return {"chains": [], "way": ""}
    if _engraved(step):
        points = np.concatenate(travel.chains)
        rows = np.diff(np.rint(points * PER_UNIT), axis=0, prepend=0).T
        return {"chains": [len(chain) for chain in travel.chains], "way": _signed(rows)}
    return {"chains": [], "way": _signed(np.rint(np.array([travel.lengths, travel.angles]) * PER_UNIT))}


def _signed(rows: NDArray[np.float64]) -> str:
    """Return rows of whole numbers packed, each sign at the lower end."""
    import numpy as np

    whole = rows.astype(np.int64)
    return packed(((whole << 1) ^ (whole >> 63)).astype(np.uint32))
