"""The piece pulled apart, with the name of every part beside it and a list of how many there are."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kitforge.language import say
from kitforge.pictures.drawn.together import ExplodedView, exploded_view
from kitforge.print.figures import Measure, Units, listed, stock_title
from kitforge.print.raster import Raster, for_print
from kitforge.print.sizes import part_size
from kitforge.print.svg import INK, PAPER, Picture, SvgCanvas

if TYPE_CHECKING:
    from kitforge.model.kit import Kit, Part
    from kitforge.model.plan import Plan

WIDTH, TALLEST = 174.0, (132.0, 116.0, 100.0, 84.0)
"""Width of the page; how tall the picture may be, the tallest first: the typesetter takes a lower one where that fits
below what is there, mm."""
_COLUMN, _SPACE = 38.0, 3.0
_TEXT, _LINE = 3.6, 4.3
_LETTERS = 19
"""Letters of that size on a line of a column; longer names run on."""
_BETWEEN = 3.0


@dataclass(frozen=True, slots=True)
class PartRow:
    """A part in the list below the picture."""

    count: str
    title: str
    size: Measure
    stock: str


@dataclass(frozen=True, slots=True)
class ExplodedPicture:
    """The piece pulled apart. picture shows dots, which lie beside it in the document."""

    picture: Picture
    dots: Raster


@dataclass(frozen=True, slots=True)
class ExplodedPage:
    """The piece pulled apart: the same picture in several sizes, the largest first, and the list of its parts."""

    pictures: tuple[ExplodedPicture, ...]
    rows: tuple[PartRow, ...]

    @property
    def picture(self) -> Picture:
        """The largest picture."""
        return self.pictures[0].picture


@dataclass(frozen=True, slots=True)
class _Label:
    lines: tuple[str, ...]
    x: float
    y: float

    @property
    def height(self) -> float:
        return len(self.lines) * _LINE


def exploded_page(kit: Kit, plan: Plan, units: Units) -> ExplodedPage | None:
    """Return the piece pulled apart; None where the kit does not say where its parts stand, or has one part."""
    if len(kit.together) < 2:
        return None
    shown = exploded_view(kit, plan)
    names = listed([part.title for part in kit.parts])
    alt = say("The piece pulled apart, broken lines show where the parts go: {names}.", names=names)
    pictures = {one.dots.height: one for one in (_sized(shown, kit, alt, tallest) for tallest in TALLEST)}
    return ExplodedPage(tuple(pictures.values()), tuple(_row(part, units) for part in kit.parts))


def _sized(shown: ExplodedView, kit: Kit, alt: str, tallest: float) -> ExplodedPicture:
    """Return the picture as large as it may be, with the names beside it."""
    room = WIDTH - 2 * (_COLUMN + _SPACE), tallest
    scale = min(room[0] / shown.image.width, room[1] / shown.image.height)
    dots = for_print(shown.image, alt, *room)
    labels = [
        _Label(_lines(kit.part(key)), x * scale + (WIDTH - dots.width) / 2, y * scale)
        for key, spots in shown.spots.items()
        for x, y in spots[:1]
    ]
    return ExplodedPicture(_drawn(dots, labels, alt), dots)


def _row(part: Part, units: Units) -> PartRow:
    return PartRow(f"{part.count} ×", part.title, part_size(part, units), stock_title(part.stock))


def _lines(part: Part) -> tuple[str, ...]:
    name = part.title if part.count == 1 else f"{part.count} × {part.title}"
    return tuple(textwrap.wrap(name, _LETTERS))


def _drawn(dots: Raster, labels: Sequence[_Label], alt: str) -> Picture:
    left = (WIDTH - dots.width) / 2
    canvas = SvgCanvas(WIDTH, dots.height)
    canvas.image(left, 0, dots.width, dots.height, dots.src)
    order = sorted(labels, key=lambda label: label.x)
    half = (len(order) + 1) // 2
    for side, mine in ((-1, order[:half]), (1, order[half:])):
        own = sorted(mine, key=lambda label: label.y)
        for label, top in zip(own, _tops(own, dots.height), strict=True):
            _name(canvas, label, top, side)
    return canvas.finish(alt)


def _tops(labels: Sequence[_Label], height: float) -> list[float]:
    """Return the upper edges of labels in one column: beside their parts, moved apart where they would meet."""
    tops: list[float] = []
    for label in labels:
        free = tops[-1] + labels[len(tops) - 1].height + _BETWEEN if tops else 0.0
        tops.append(max(label.y - label.height / 2, free))
    low = height
    for index in range(len(labels) - 1, -1, -1):
        tops[index] = min(tops[index], low - labels[index].height)
        low = tops[index] - _BETWEEN
    return tops


def _name(canvas: SvgCanvas, label: _Label, top: float, side: int) -> None:
    """Write a name at the outer edge and draw the line from it to its part."""
    edge = _COLUMN if side < 0 else WIDTH - _COLUMN
    middle = top + label.height / 2
    for colour, width in ((PAPER, 1.0), (INK, 0.3)):
        canvas.line(edge - side * 1.0, middle, label.x, label.y, stroke=colour, width=width)
    canvas.disc(label.x, label.y, 0.9, fill=INK, stroke=PAPER)
    for index, line in enumerate(label.lines):
        baseline = top + index * _LINE + _TEXT * 0.95
        canvas.text(edge, baseline, line, size=_TEXT, anchor="end" if side < 0 else "start", bold=True)
