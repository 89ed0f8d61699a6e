"""What a kit needs to work, ready to be proven: every name looked up, every length in mm.

A feature is an operation of a part, by its name. `use` says in the author's words what the need is for.
"""

from __future__ import annotations

from enum import StrEnum

from kitforge.model.findings import Source
from kitforge.model.record import record


class End(StrEnum):
    """Where a passage can lead besides another feature: beside the part, or through its top or bottom face."""

    OUTSIDE = "outside"
    TOP = "top"
    BOTTOM = "bottom"


@record
class PassageNeed:
    """An open way from a feature to an end or another feature, for something so wide and high; round: a diameter."""

    part: str
    start: str
    end: str | End
    width: float
    height: float
    round: bool
    source: Source
    use: str | None = None


@record
class SeatNeed:
    """A thing that sits in a feature. size: (length, width), or the diameter twice if round; clearance: all around.

    proud: how far it may stand out; sunk: how far it may lie below the face, None for any depth.
    """

    part: str
    feature: str
    size: tuple[float, float]
    round: bool
    height: float | None
    clearance: float
    proud: float
    sunk: float | None
    source: Source
    use: str | None = None


@record
class JointNeed:
    """A slot that takes the edge of another part. width: of its tenon; clearance: (least, most) play in all.

    at: a point in the slot where the operation cuts more than this slot; depth: how deep the edge goes in there.
    """

    part: str
    feature: str
    at: tuple[float, float] | None
    takes: str
    width: float | None
    depth: float | None
    clearance: tuple[float, float]
    source: Source
    use: str | None = None


class Spread(StrEnum):
    """How centres are spread: in a row at a distance, in pairs at a distance, or nowhere nearer than it."""

    ROW = "row"
    PAIRS = "pairs"
    LEAST = "least"


@record
class SpacingNeed:
    """Centres at a distance from each other, mm."""

    part: str
    features: tuple[str, ...]
    distance: float
    spread: Spread
    tolerance: float
    source: Source
    use: str | None = None


@record
class CountNeed:
    """So many separate holes, areas or lines in a feature."""

    part: str
    feature: str
    count: int
    source: Source
    use: str | None = None


@record
class LineNeed:
    """Centres of features on one line, along 'x', 'y' or any direction (None)."""

    part: str
    features: tuple[str, ...]
    along: str | None
    tolerance: float
    source: Source
    use: str | None = None


@record
class KeepNeed:
    """Wood that stays under, between or beside features (all features if none is named)."""

    part: str
    features: tuple[str, ...]
    floor: float | None
    wall: float | None
    edge: float | None
    source: Source
    use: str | None = None


@record
class ModuleNeed:
    """Pieces on one module that fill a field. pitch, field: along x and y, mm; None where there is no module that way.

    play: what a piece is smaller than its modules; mixes: (part, how many) for each way to fill the field.
    """

    parts: tuple[str, ...]
    pitch: tuple[float | None, float | None]
    field: tuple[float | None, float | None]
    play: float
    mixes: tuple[tuple[tuple[str, int], ...], ...]
    source: Source
    use: str | None = None


Need = PassageNeed | SeatNeed | JointNeed | SpacingNeed | CountNeed | LineNeed | KeepNeed | ModuleNeed
