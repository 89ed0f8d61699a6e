"""A family of sizes: one definition, a set of parameters for each size, and which of them a kit is now."""

from __future__ import annotations

from collections.abc import Mapping

from kitforge.model.findings import Source
from kitforge.model.record import record

Written = str | int | float
"""A value as an author writes it: a length, a number, an expression or, for a text, the text."""


@record
class KitChoice:
    """What a call asks for: a size by its key, '' for the first, and values for parameters, which count before it.

    order: what names the pack of a single order, '' for none. private: whether the texts among the values are a
    buyer's, which no manifest and no cache may keep.
    """

    size: str = ""
    values: tuple[tuple[str, Written], ...] = ()
    order: str = ""
    private: bool = False

    @property
    def label(self) -> str:
        """What findings and results are told with: the size, the order, or both; '' for neither."""
        return " ".join(one for one in (self.size, f"order {self.order}" if self.order else "") if one)


AS_WRITTEN = KitChoice()


@record
class Size:
    """A size: its key, its title, and what it sets, as written."""

    key: str
    title: str
    values: tuple[tuple[str, Written], ...] = ()


Span = tuple[float, float]


@record
class SizeTimes:
    """How long a size takes, (short, long) s: at the machine on the class of that name, None where no class is printed;
    work by hand; waiting for wood, glue and finish."""

    machine: str
    at_machine: Span | None
    hands_on: Span
    waiting: Span


@record
class SizeFacts:
    """What a size comes to. title: of the size, name: of the kit in this size; folder: its own in a pack of several.

    overall: the finished piece, x, y, z mm, None where nothing says how its parts stand; stock: pieces of it and their
    length, width and thickness mm, by key; parts: copies of all; cutters: their keys; seconds: at the machine, by the
    key of each class that it fits; times: in words' detail, where they were asked for.
    """

    key: str
    title: str
    name: str
    folder: str
    overall: tuple[float, float, float] | None
    stock: Mapping[str, tuple[int, float, float, float]]
    parts: int
    cutters: tuple[str, ...]
    seconds: Mapping[str, Span]
    times: SizeTimes | None = None


@record
class SizePicture:
    """The piece of a size as it stands, on clear ground, without empty edges. png: the dots; width, height: how much
    of the piece that is, mm, so that several can be shown at one scale; overall: as in `SizeFacts`."""

    png: bytes
    width: float
    height: float
    overall: tuple[float, float, float] | None = None


@record
class Family:
    """The sizes of a kit, in the order written; empty for a kit of one size. chosen: the key of the one that it is.

    title: of the kit, without the size. same: parts that must be the same in all sizes, and where that is written.

    values: parameters that the call set, as given; texts of an order are left empty there. order: as in `KitChoice`.
    together: what the sizes come to that one pack holds, each in a folder of its own; empty for a pack of one size.
    pictures: of every size, in the order of `sizes`, while a pack is rendered; empty where they cannot be shown.
    """

    sizes: tuple[Size, ...] = ()
    chosen: str = ""
    values: tuple[tuple[str, Written], ...] = ()
    order: str = ""
    title: str = ""
    same: tuple[tuple[str, Source], ...] = ()
    together: tuple[SizeFacts, ...] = ()
    pictures: tuple[SizePicture, ...] = ()

    @property
    def size(self) -> Size | None:
        """The size that the kit is, None for a kit of one size."""
        return next((one for one in self.sizes if one.key == self.chosen), None)


ONE_SIZE = Family()


@record
class PieceValue:
    """A parameter in one of the pieces of a part: name, what it is called in print, value in mm to a power."""

    name: str
    label: str
    value: float
    power: int


@record
class PieceOf:
    """What a part that is a piece of several was written as: the key and title of that part, and the piece's own.

    values: the parameters that any of its pieces sets.
    """

    part: str
    title: str
    piece: str
    values: tuple[PieceValue, ...] = ()


MOST_RUNGS = 12
"""Of one ladder. Each rung is planned and checked like a kit of its own (a bound of taste, no source)."""


def count_of_rungs(low: float, high: float, step: float) -> int:
    """Return how many rungs a ladder has from its thinnest to its thickest, all in one unit."""
    return round((high - low) / step) + 1


@record
class Ladder:
    """Actual thicknesses of a stock that a kit is drawn for: the parameter that they set, and the rungs, thinnest
    first, mm."""

    of: str
    rungs: tuple[float, ...]
    source: Source
