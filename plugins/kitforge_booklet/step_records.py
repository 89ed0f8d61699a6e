"""What the booklet's template is given of the steps: blocks, and several steps that share a page or a place."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from kitforge.model.lines import Line
from kitforge.print.raster import Raster
from kitforge.print.safety import SafetyMessage
from kitforge.print.settings import StepView
from kitforge.print.svg import Picture
from kitforge_booklet.signs import SafetySign


@dataclass(frozen=True, slots=True)
class LabelledFact:
    """A label and what stands beside it."""

    label: str
    value: str
    other: str = ""


@dataclass(frozen=True, slots=True)
class StepBlock:
    """One step of cutting. load: what to load and how to cut along it; shot: before and after.

    larger: what the inset in the picture shows, empty without one; ways: how the cutter goes down and which way it
    runs, with the reason where it is new; signs: of the first step of a setup and of those at which they change.
    """

    number: int
    load: str
    title: str
    part: str
    setup: str
    new_setup: bool
    new_cutter: bool
    depth: str
    time: str
    picture: Picture
    cutter: str
    cutter_picture: Picture
    facts: tuple[LabelledFact, ...]
    ways: tuple[str, ...]
    rows: tuple[StepView, ...]
    has_stepover: bool
    watch: str
    done: Line
    note: str
    messages: tuple[SafetyMessage, ...]
    shot: Raster
    larger: str
    before: tuple[Line, ...]
    signs: tuple[SafetySign, ...]


@dataclass(frozen=True, slots=True)
class GridWords:
    """What is said of steps that share a page. steps: of which, empty for all of them or for the one beside it."""

    steps: str = ""
    facts: tuple[LabelledFact, ...] = ()
    ways: tuple[str, ...] = ()
    watch: str = ""
    done: Line | None = None


@dataclass(frozen=True, slots=True)
class GridStep:
    """A step that shares a page with others: its block, and smaller pictures."""

    block: StepBlock
    shot: Raster
    picture: Picture


@dataclass(frozen=True, slots=True)
class PieceRow:
    """One of the pieces of a part that is written once: the step that cuts it, and in what it differs."""

    number: int
    piece: str
    facts: tuple[LabelledFact, ...]


@dataclass(frozen=True, slots=True)
class GridEntry:
    """One step, or the same cut in all pieces of a part that is written once. own: what is said of it alone.

    number: of the step, or the first and the last one; pieces: what differs between the pieces, empty for one step.
    """

    number: str
    title: str
    part: str
    load: str
    steps: tuple[GridStep, ...]
    own: GridWords
    pieces: tuple[PieceRow, ...] = ()
    notes: tuple[str, ...] = ()
    larger: tuple[str, ...] = ()


class GridFigure(StrEnum):
    """What a row of the table of steps that share a page tells; the values name a row's fields and styles."""

    SPEED = "speed"
    FEED = "feed"
    PLUNGE = "plunge"
    DEPTH = "depth"
    STEPOVER = "stepover"
    PASSES = "passes"
    TIME = "time"


@dataclass(frozen=True, slots=True)
class GridRow:
    """A row of the table of steps that share a page: one setting on each class. steps: for which, empty for all."""

    kind: GridFigure
    steps: str
    views: tuple[StepView | None, ...]


@dataclass(frozen=True, slots=True)
class GridMessage:
    """A safety message of steps that share a page. steps: of which, empty for all."""

    steps: str
    message: SafetyMessage


@dataclass(frozen=True, slots=True)
class StepGrid:
    """Steps of one cutter on one piece as it lies, on one page with one table: what several share is said once.

    first: the block of the first of them, which says what comes before; words: of all, then of some of them. lanes:
    what is told of them, in the order of the page, two beside each other or one by itself.
    """

    title: str
    first: StepBlock
    lanes: tuple[tuple[GridEntry, ...], ...]
    cutter_picture: Picture
    words: tuple[GridWords, ...]
    messages: tuple[GridMessage, ...]
    classes: tuple[StepView, ...]
    rows: tuple[GridRow, ...]

    @property
    def entries(self) -> tuple[GridEntry, ...]:
        """What the steps are told in, one after the other."""
        return tuple(entry for lane in self.lanes for entry in lane)


@dataclass(frozen=True, slots=True)
class StepEntry:
    """What is told at one place: a step in its block, or the same cut in all pieces of a part, which is a grid."""

    steps: tuple[StepBlock, ...]
    grid: StepGrid | None = None


@dataclass(frozen=True, slots=True)
class SharedPage:
    """Entries, from the index `first` up to `last`, that may share a page as a grid."""

    first: int
    last: int
    grid: StepGrid


@dataclass(frozen=True, slots=True)
class StepPages:
    """The steps and all grids that some of them may share; the typesetter chooses as its pages have room.

    usual: how many entries stand together where nothing is measured.
    """

    entries: tuple[StepEntry, ...]
    shared: tuple[SharedPage, ...]
    usual: tuple[int, ...]
