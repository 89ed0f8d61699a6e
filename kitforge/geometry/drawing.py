"""What a drawing file holds, whatever its format: shapes by layer in mm, what was skipped, and what looks wrong."""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from kitforge.geometry.path import Path
from kitforge.units import plain_number

Point = tuple[float, float]


class DrawingError(ValueError):
    """A drawing that cannot be read: what is wrong, and the line and the entity or element if they are known.

    advice: what to do, where exporting the drawing again would not help.
    """

    def __init__(self, message: str, *, line: int = 0, entity: str = "", advice: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.line = line
        self.entity = entity
        self.advice = advice


def place(x: float, y: float) -> str:
    """Return a place in mm for a message, e.g. '(12.5, 3.25)'."""
    return f"({plain_number(x, 2)}, {plain_number(y, 2)})"


class ProblemKind(StrEnum):
    """Kinds of problems of a drawing. The value is stable."""

    UNIT_MISSING = "unit-missing"
    UNIT_DOUBTFUL = "unit-doubtful"
    GAP = "gap"
    GAP_CLOSED = "gap-closed"
    JUNCTION = "junction"
    DUPLICATE = "duplicate"
    OVERLAP = "overlap"
    ZERO_LENGTH = "zero-length"
    TINY = "tiny"
    STRAY_POINT = "stray-point"
    SELF_CROSSING = "self-crossing"
    NOT_FLAT = "not-flat"
    SKIPPED = "skipped"
    HIDDEN = "hidden"
    UNRESOLVED = "unresolved"
    UNCHECKED = "unchecked"
    CLIPPED = "clipped"


@dataclass(frozen=True, slots=True)
class Problem:
    """Something that looks wrong. at: place in mm; size: a gap's width or an overlap's length, mm; entity: handle."""

    kind: ProblemKind
    message: str
    at: Point | None = None
    size: float | None = None
    layer: str | None = None
    entity: str | None = None


@dataclass(frozen=True, slots=True)
class LayerShapes:
    """The shapes of a layer or group in mm: closed paths, open paths and points."""

    closed: tuple[Path, ...] = ()
    open: tuple[Path, ...] = ()
    points: tuple[Point, ...] = ()

    @property
    def is_empty(self) -> bool:
        """Whether nothing is drawn on the layer."""
        return not (self.closed or self.open or self.points)


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing in mm, y upwards.

    layers: by name. In an SVG a group or element has its id and its label as names, and a group holds what the groups
    in it hold, so a shape can have several names. unit: what the file's numbers were taken for. skipped: how many
    entities or elements of each kind hold no shape to cut. whole: everything that is drawn.
    """

    layers: Mapping[str, LayerShapes]
    unit: str
    skipped: Mapping[str, int] = field(default_factory=dict)
    problems: tuple[Problem, ...] = ()
    whole: LayerShapes = field(default_factory=LayerShapes)

    def layer(self, name: str) -> LayerShapes:
        """Return the layer with this name ('*' for everything), failing that the only one that differs in case alone.

        Raises KeyError with a message that names the layers that there are.
        """
        if name in self.layers:
            return self.layers[name]
        if name == "*":
            return self.whole
        alike = [key for key in self.layers if key.casefold() == name.casefold()]
        if len(alike) == 1:
            return self.layers[alike[0]]
        near = difflib.get_close_matches(name, list(self.layers), n=1)
        hint = f"did you mean '{near[0]}'?" if near else f"there are: {', '.join(sorted(self.layers)[:20]) or 'none'}"
        raise KeyError(f"the drawing has no layer '{name}'; {hint}")
