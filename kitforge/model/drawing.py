"""What a drawing file holds, whatever its format: shapes by layer in mm, what was skipped, and what looks wrong."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import field
from enum import StrEnum
from typing import NamedTuple

from kitforge.model.errors import RefusedValueError
from kitforge.model.messages import NO_ADVICE, Message, mm, msg
from kitforge.model.path import Path
from kitforge.model.record import record

Point = tuple[float, float]


class DrawingError(ValueError):
    """A drawing that cannot be read: what is wrong, and the line and the entity or element if they are known.

    advice: what to do, where exporting the drawing again would not help.
    """

    def __init__(self, message: Message, *, line: int = 0, entity: str = "", advice: Message = NO_ADVICE) -> None:
        super().__init__(str(message))
        self.message = message
        self.line = line
        self.entity = entity
        self.advice = advice


class MisfitError(ValueError):
    """A value in a drawing that makes no sense; whoever knows the entity or element adds it. line: 0 if not known."""

    def __init__(self, message: Message, line: int = 0) -> None:
        super().__init__(str(message))
        self.message = message
        self.line = line


def reason_of(error: ValueError) -> Message:
    """Return what is wrong as a message where there is one, failing that as text."""
    return error.message if isinstance(error, MisfitError | DrawingError | RefusedValueError) else Message(str(error))


def line_of(error: ValueError) -> int:
    """Return the line of the value that makes no sense, 0 if it is not known."""
    return error.line if isinstance(error, MisfitError | DrawingError) else 0


def place(x: float, y: float) -> Message:
    """Return a place in mm for a message, e.g. '(12.5 mm, 3.25 mm)'."""
    return msg("({x}, {y})", x=mm(x), y=mm(y))


def shown(text: str, most: int = 60) -> str:
    """Return text of a file so that it can be printed anywhere: shortened, nothing invisible, nothing that turns it."""
    clean = "".join(char if char.isprintable() else "?" for char in text[: most + 1])
    return clean if len(clean) <= most else f"{clean[:most]}..."


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
    TEXT = "text"
    HIDDEN = "hidden"
    UNPAINTED = "unpainted"
    NOT_PLOTTED = "not-plotted"
    PAPER = "paper"
    WIDE_LINE = "wide-line"
    ROUNDED = "rounded"
    NO_AREA = "no-area"
    UNRESOLVED = "unresolved"
    UNCHECKED = "unchecked"
    CLIPPED = "clipped"


@record
class DrawingProblem:
    """Something that looks wrong. at: place in mm; size: a gap's width or an overlap's length, mm.

    entity, line: the handle or id of what is drawn there, and where it begins in the file (0: not known). better: the
    unit that fits, where the one that was read is doubtful. beside: the other layer, where it lies between two. ends:
    of lines that lie on one another, where these begin and end.
    """

    kind: ProblemKind
    message: Message
    at: Point | None = None
    size: float | None = None
    layer: str | None = None
    entity: str | None = None
    line: int = 0
    better: str | None = None
    beside: str | None = None
    ends: tuple[Point, ...] = field(default=(), compare=False)


class Origin(NamedTuple):
    """Where a path comes from: handle or id, and line in the file (0: not known)."""

    entity: str = ""
    line: int = 0


@record
class LayerShapes:
    """The shapes of a layer or group in mm: closed paths, open paths and points."""

    closed: tuple[Path, ...] = ()
    open: tuple[Path, ...] = ()
    points: tuple[Point, ...] = ()

    @property
    def is_empty(self) -> bool:
        """Whether nothing is drawn on the layer."""
        return not (self.closed or self.open or self.points)


@record
class Drawing:
    """A drawing in mm, y upwards.

    layers: by name. In an SVG a group or element has its id and its label as names, and a group holds what the groups
    in it hold, so a shape can have several names. unit: what the file's numbers were taken for. whole: everything that
    is drawn; what is left open on the layers is joined across them there. page: width and height of the page in mm
    where the file has one. tracer: tells what is drawn at a place.
    """

    layers: Mapping[str, LayerShapes]
    unit: str
    problems: tuple[DrawingProblem, ...] = ()
    whole: LayerShapes = field(default_factory=LayerShapes)
    page: tuple[float, float] | None = None
    tracer: Callable[[Point], Origin] | None = field(default=None, compare=False, repr=False)

    def origin_at(self, at: Point) -> Origin:
        """Return what is drawn at a place in mm, as far as the reader knows."""
        return self.tracer(at) if self.tracer is not None else Origin()

    def name_of(self, name: str) -> str | None:
        """Return a layer's name as the drawing has it, failing that the only one that differs in case alone, or None.

        '*' is everything.
        """
        if name in self.layers or name == "*":
            return name
        alike = [key for key in self.layers if key.casefold() == name.casefold()]
        return alike[0] if len(alike) == 1 else None

    def layer(self, name: str) -> LayerShapes:
        """Return the layer of this name, see `name_of`. Raises KeyError with the name if there is none."""
        key = self.name_of(name)
        if key is None:
            raise KeyError(name)
        return self.layers.get(key, self.whole)
