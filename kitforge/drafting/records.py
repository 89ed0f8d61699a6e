"""What a first kit is drafted from: the drawing as read, lots of its shapes, and the work that was guessed for each."""

from __future__ import annotations

from dataclasses import dataclass

from kitforge.geometry.drawing import Drawing, LayerShapes
from kitforge.geometry.path import Path
from kitforge.geometry.piece import Bounds


@dataclass(frozen=True, slots=True)
class Source:
    """A drawing as read. unit, join: what the caller said, None and 0 where nothing; name: for the kit's folder."""

    name: str
    data: bytes
    drawing: Drawing
    unit: str | None = None
    join: float = 0.0


@dataclass(frozen=True, slots=True)
class Lot:
    """Shapes of one sort on one layer. only, diameter: how `layer` picks them; layer None: written out as they are."""

    shapes: LayerShapes
    layer: str | None
    only: str | None = None
    diameter: float | None = None
    seen_on: str = ""


@dataclass(frozen=True, slots=True)
class LeftOut:
    """Shapes that the first kit does not use, and why."""

    layer: str
    count: int
    why: str


@dataclass(frozen=True, slots=True)
class Sorted:
    """The drawing taken apart: the outline, everything inside it in lots, and what is left out."""

    outline: Lot
    lots: tuple[Lot, ...]
    left_out: tuple[LeftOut, ...]

    @property
    def path(self) -> Path:
        """The outline itself."""
        return self.outline.shapes.closed[0]


@dataclass(frozen=True, slots=True)
class Tool:
    """A cutter of the first kit. Lengths as they are written, and in mm."""

    key: str
    kind: str
    size: float
    reach: float
    written: str

    @property
    def radius(self) -> float:
        """Half the cutting diameter, mm."""
        return self.size / 2


@dataclass(frozen=True, slots=True)
class Work:
    """One operation of the first kit. depth: as it is written, None for the default; why: what it was guessed from."""

    name: str
    title: str
    do: str
    tool: Tool
    lot: Lot | None
    depth: str | None
    why: str


@dataclass(frozen=True, slots=True)
class Draft:
    """A first kit: what is written into kit.yaml."""

    source: Source
    sorted: Sorted
    works: tuple[Work, ...]
    left_out: tuple[LeftOut, ...]
    tools: tuple[Tool, ...]
    units: str
    thickness: str
    stock: tuple[str, str]
    box: Bounds
