"""What the geometry of a step gives to its settings: planned once, the same for all machine classes."""

from __future__ import annotations

from kitforge.model.record import record
from kitforge.model.settings import Retention


@record
class CutRoom:
    """width: room in the tightest place mm, cutter included, None where nothing is cleared; length: travel mm there.

    inside_corners: whether a wall bends inwards.
    """

    width: float | None
    length: float | None
    inside_corners: bool


@record
class Visits:
    """One copy of a step. places: how often the cutter goes down from above; joins: distances from round to round at
    depth; backs: of each place that it does not end where it began, the distance back; hops: distances from place to
    place above the work; all in mm."""

    places: int
    joins: tuple[float, ...]
    backs: tuple[float, ...]
    hops: tuple[float, ...]


@record
class StepGeometry:
    """room: for the way down and in corners; visits: where the cutter goes down and what lies between; retention: what
    keeps the piece that the step cuts loose by itself, None where nothing is cut loose or nothing keeps it."""

    room: CutRoom
    visits: Visits
    retention: Retention | None
