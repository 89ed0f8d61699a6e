"""What a case of the corpus of ugly drawings is, and the plate that most of them draw. All sizes are invented."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from writing import Point, Tags, box, circle, line, lines, poly


@dataclass(frozen=True)
class Wanted:
    """A part that a person sees in the drawing: size in mm; holes to drill by diameter; other shapes inside it."""

    size: tuple[float, float]
    drilled: Mapping[float, int] = field(default_factory=dict)
    closed: int = 0
    open: int = 0
    copies: int = 1


@dataclass(frozen=True)
class Ugly:
    """One habit of people or programs that draw.

    right: the parts that are meant, empty where nobody can know; doubts: codes of findings and words of a refusal of
    which any one tells what is odd. A case passes when its kit is right or one of its doubts is told.
    certain: whether the kit must be right. faults: how many things are wrong or odd with it, each to be told once.
    """

    name: str
    file: str
    data: bytes
    right: Sequence[Wanted] = ()
    doubts: Sequence[str] = ()
    certain: bool = False
    faults: int = 1


EDGE = box(200, 120)
PINS: list[Point] = [(12, 12), (188, 12), (188, 108), (12, 108)]
WINDOW = box(40, 30, 20, 45)
WELL: Point = (110, 60)
PLATE = Wanted((200, 120), {5.0: 4}, closed=2)
FRAMED = Wanted((200, 120), closed=1)


def pins(layer: str = "PINS") -> list[Tags]:
    """Return four holes of 5 mm."""
    return [circle(at, 2.5, layer) for at in PINS]


def inside(pin: str = "PINS", well: str = "WELL", window: str = "WINDOW") -> list[Tags]:
    """Return what is inside the plate: four holes, a round well, a window."""
    return [*pins(pin), circle(WELL, 25, well), poly(WINDOW, window)]


def edge(layer: str = "EDGE") -> Tags:
    """Return the plate's outline as one closed line."""
    return poly(EDGE, layer)


def loose(layer: str = "EDGE") -> list[Tags]:
    """Return the plate's outline as four loose lines."""
    return lines(EDGE, layer)


def side(index: int, layer: str = "EDGE") -> Tags:
    """Return one side of the plate's outline."""
    return line(EDGE[index], EDGE[(index + 1) % 4], layer)
