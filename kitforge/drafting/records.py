"""What a first kit is drafted from: the drawing as read, lots of its shapes, and the work that was guessed for each."""

from __future__ import annotations

from dataclasses import dataclass

from kitforge.model.drawing import Drawing, LayerShapes
from kitforge.model.findings import Finding
from kitforge.model.path import Path
from kitforge.model.piece import Bounds


@dataclass(frozen=True, slots=True)
class DrawingSource:
    """A drawing as read. unit, join: what the caller said, None and 0 where nothing; name: for the kit's folder."""

    name: str
    data: bytes
    drawing: Drawing
    unit: str | None = None
    join: float = 0.0


@dataclass(frozen=True, slots=True)
class ShapeGroup:
    """Shapes of one sort on a layer, or on several that count as one. only, diameter: how `layer` picks them.

    layers: empty where no layer gives just them and they are written out; seen_on: the layer's name for a reader.
    """

    shapes: LayerShapes
    layers: tuple[str, ...]
    only: str | None = None
    diameter: float | None = None
    seen_on: str = ""

    @property
    def count(self) -> int:
        """How many shapes and points there are."""
        return len(self.shapes.closed) + len(self.shapes.open) + len(self.shapes.points)


@dataclass(frozen=True, slots=True)
class LeftOut:
    """Shapes that the first kit does not use, and why."""

    layer: str
    count: int
    why: str


@dataclass(frozen=True, slots=True)
class ClassifiedPart:
    """A part in a drawing: outline, what is inside it in lots, how often it is drawn, what is left out.

    box: the part of the drawing from which its layers are taken, None where they hold nothing else.
    """

    outline: ShapeGroup
    lots: tuple[ShapeGroup, ...]
    left_out: tuple[LeftOut, ...]
    copies: int = 1
    box: Bounds | None = None

    @property
    def path(self) -> Path:
        """The outline itself."""
        return self.outline.shapes.closed[0]


@dataclass(frozen=True, slots=True)
class Classified:
    """The drawing taken apart: its parts, what belongs to none, and what is doubtful about all that."""

    parts: tuple[ClassifiedPart, ...]
    left_out: tuple[LeftOut, ...] = ()
    doubts: tuple[Finding, ...] = ()


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
class DraftOperation:
    """One operation of the first kit. depth: as it is written, None for the default; why: what it was guessed from."""

    name: str
    title: str
    do: str
    tool: Tool
    lot: ShapeGroup | None
    depth: str | None
    why: str


@dataclass(frozen=True, slots=True)
class PartDraft:
    """A part of the first kit: as found in the drawing, the work on it, and what it leaves."""

    part: ClassifiedPart
    works: tuple[DraftOperation, ...]
    left_out: tuple[LeftOut, ...]
    box: Bounds


@dataclass(frozen=True, slots=True)
class KitDraft:
    """A first kit: what is written into kit.yaml. thickness_from: the layer that says it, '' where it is a guess."""

    source: DrawingSource
    parts: tuple[PartDraft, ...]
    left_out: tuple[LeftOut, ...]
    tools: tuple[Tool, ...]
    units: str
    thickness: str
    thickness_from: str
    stock: tuple[str, str]
