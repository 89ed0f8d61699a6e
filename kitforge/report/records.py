"""What a report holds before anything is drawn, the same for every kind of file. Lengths mm."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

from kitforge.model.findings import Severity

if TYPE_CHECKING:
    from kitforge.model.findings import Finding
    from kitforge.model.piece import Bounds
    from kitforge.print.svg import PlanView, SvgCanvas

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Home:
    """Where a finding belongs: a part (by its key), one sheet of a setup (by their indexes), or the kit as a whole."""

    part: str | None = None
    setup: int | None = None
    sheet: int = 0


@dataclass(frozen=True, slots=True)
class Located:
    """A finding with its home and its place in the coordinates of that home, if it has one.

    mark: where its number points in the drawing: its place, or else the operation it is about. of: how many places
    that operation has, of which only the first is marked.
    """

    finding: Finding
    home: Home
    at: Point | None = None
    mark: Point | None = None
    of: int = 1


@dataclass(frozen=True, slots=True)
class ListedFinding:
    """One row of a list: a finding with its number in the report, and the text of the line it comes from.

    at, mark, of: as in Located.
    """

    number: int
    finding: Finding
    at: Point | None = None
    mark: Point | None = None
    of: int = 1
    written: str = ""


@dataclass(frozen=True, slots=True)
class MarkedSpot:
    """A place to be marked in a scene, in the scene's coordinates. small: too small to be seen without a detail."""

    number: int
    severity: Severity
    x: float
    y: float
    small: bool = False


class ReportScene(Protocol):
    """What can be drawn: a part or a sheet."""

    @property
    def bounds(self) -> Bounds:
        """The box that the drawing fills."""

    @property
    def words(self) -> str:
        """What the drawing shows, for people who cannot see it."""

    def draw(self, canvas: SvgCanvas, view: PlanView, window: Bounds | None = None) -> None:
        """Draw it on the canvas; with a window, only what can be seen in it."""

    def is_small(self, at: Point) -> bool:
        """Whether what is at this place is too small to be seen in the whole drawing."""


@dataclass(frozen=True, slots=True)
class Section:
    """A part, a sheet, or the kit as a whole (without a scene), with its findings in order."""

    key: str
    title: str
    about: str
    entries: tuple[ListedFinding, ...]
    scene: ReportScene | None = None


@dataclass(frozen=True, slots=True)
class Excerpt:
    """Lines of a file around a problem: (number, text) each; column counts from 1, 0: the whole line."""

    file: str
    line: int
    column: int
    lines: tuple[tuple[int, str], ...]


@dataclass(frozen=True, slots=True)
class CheckReport:
    """A whole report. facts: name and value each. released: the kit's own date, YYYY-MM-DD, or None."""

    title: str
    subtitle: str
    facts: tuple[tuple[str, str], ...]
    counts: Mapping[str, int]
    sections: tuple[Section, ...]
    excerpts: Mapping[int, Excerpt]
    author: str = ""
    released: str | None = None
