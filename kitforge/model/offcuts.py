"""An offcut of the shop, in mm: the lower left corner of the box around it is its zero."""

from __future__ import annotations

from kitforge.model.findings import Source
from kitforge.model.kit import Grain
from kitforge.model.messages import Text
from kitforge.model.path import Path
from kitforge.model.record import record
from kitforge.model.workshop import Material


@record
class Offcut:
    """A piece that lies in the shop. thickness: as measured, mm; margin: kept free along the edge; bad: to avoid."""

    key: str
    title: Text
    material: Material
    thickness: float
    grain: Grain
    outline: Path
    margin: float
    bad: tuple[Path, ...]
    source: Source
