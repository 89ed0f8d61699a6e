"""A stock piece from above as it lies on the machine: parts, fasteners with their keep-out, clamps, zero point."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from kitforge.geometry.transform import mirrored
from kitforge.language import say
from kitforge.model.kit import Face
from kitforge.model.path import Bounds, Path, Vertex
from kitforge.pictures.drawn.part_names import PartNames, draw_key, key_height, key_width
from kitforge.pictures.drawn.placing import Box, box_around, words_room
from kitforge.print.figures import stock_title
from kitforge.print.svg import (
    BLUE,
    GREY,
    INK,
    NARROW,
    TEXT,
    VERMILLION,
    Picture,
    PlanView,
    SvgCanvas,
    fitted,
    num,
    path_data,
)

if TYPE_CHECKING:
    from kitforge.model.holds import FastenerPlace
    from kitforge.model.kit import Kit, Stock
    from kitforge.model.plan import Sheet
    from kitforge.print.figures import Units

_LEFT, _BELOW, _ROUND = 15.0, 14.0, 4.0
_ARM = 1.3
"""Half of a cross that marks a fastener, mm of paper."""
_ARROW = 14.0
"""How long an arrow from the zero point is without its head, mm of paper."""


def sheet_picture(
    kit: Kit,
    sheet: Sheet,
    fasteners: Sequence[FastenerPlace],
    units: Units,
    width: float,
    height: float,
    face: Face = Face.TOP,
    numbers: Sequence[tuple[float, float, str]] = (),
    words: str = "",
) -> Picture:
    """Return the sheet with its parts, fasteners and clamps with keep-out circles, X0 Y0 and overall measures.

    numbers: what to write where on the sheet instead of the parts' titles; words: what the picture shows, for those.

    For the bottom face the sheet lies turned over about its Y axis, like a page, and everything on it with it.

    Every part carries its title, or a number with a key below the sheet where there is no room for it.
    """
    keyed = 0.0
    while True:
        canvas, named, key = _drawn(kit, sheet, fasteners, units, (width, height - keyed), face, numbers)
        if key <= keyed or keyed > height / 3:
            break
        keyed = key  # a smaller drawing, so that the key has room below it
    if key:
        draw_key(canvas, named, _LEFT, canvas.height)
        canvas.height += key
    return canvas.finish(words or _words(kit, sheet, fasteners))


def _drawn(
    kit: Kit,
    sheet: Sheet,
    fasteners: Sequence[FastenerPlace],
    units: Units,
    room: tuple[float, float],
    face: Face,
    numbers: Sequence[tuple[float, float, str]],
) -> tuple[SvgCanvas, dict[str, int], float]:
    """Return the drawing in a room, the numbers of the titles that have no room in it, and how high their key is."""
    stock = sheet.stock
    lying = [as_it_lies(place, stock, face) for place in fasteners]
    view, reach = _view(stock, lying, room)
    canvas = SvgCanvas(view.x(reach.right) + _ROUND, view.y(reach.bottom) + _BELOW)
    piece = _rectangle(stock.length, stock.width)
    canvas.path(path_data([piece], view), fill="#f6f0e6", stroke=INK, width=0.5)
    named = _draw_parts(canvas, kit, sheet, view, face, lying, titled=not numbers)
    for x, y, number in numbers:
        canvas.text(view.x(x), view.y(y) + 1.1, number, size=3.2, anchor="middle", bold=True, halo=True)
    for place in lying:
        _draw_fastener(canvas, place, view)
    _draw_zero(canvas, view)
    _draw_measures(canvas, view, stock.length, stock.width, units, reach)
    canvas.width = max(canvas.width, min(room[0], _LEFT + key_width(named)))
    return canvas, named, key_height(named, canvas.width - _LEFT)


def _view(stock: Stock, lying: Sequence[FastenerPlace], room: tuple[float, float]) -> tuple[PlanView, Bounds]:
    """Return where the stock lies in a room, and what is drawn of it: keep-out circles may reach out over its edges."""
    box = (_LEFT, _ROUND, room[0] - _LEFT - _ROUND, room[1] - _ROUND - _BELOW)
    spare = (_ROUND - 1.0) / fitted((0.0, 0.0, stock.length, stock.width), box, largest=1.0).scale
    reach = Bounds(
        min([0.0, *(one.x - one.keep_out + spare for one in lying)]),
        min([0.0, *(one.y - one.keep_out + spare for one in lying)]),
        max([stock.length, *(one.x + one.keep_out - spare for one in lying)]),
        max([stock.width, *(one.y + one.keep_out - spare for one in lying)]),
    )
    scale = fitted(reach, box, largest=1.0).scale
    return PlanView(scale, _LEFT - reach.left * scale, _ROUND + reach.top * scale), reach


def _rectangle(length: float, width: float) -> Path:
    return Path((Vertex(0, 0), Vertex(length, 0), Vertex(length, width), Vertex(0, width)))


def as_it_lies(place: FastenerPlace, stock: Stock, face: Face) -> FastenerPlace:
    """Return where a fastener stands from the lower left corner of the stock as it lies for this face."""
    return place if face is Face.TOP else replace(place, x=stock.length - place.x)


def _draw_parts(
    canvas: SvgCanvas,
    kit: Kit,
    sheet: Sheet,
    view: PlanView,
    face: Face,
    fasteners: Sequence[FastenerPlace],
    *,
    titled: bool,
) -> dict[str, int]:
    """Draw the parts, with their titles or with the holes in them; return the numbers that stand for titles."""
    shown = []
    for place in sheet.placements:
        part = kit.part(place.part)
        outline = place.path(part.outline)
        turned = outline if face is Face.TOP else mirrored(outline, 90.0, sheet.stock.length / 2, 0.0)
        shown.append((part.title, turned))
    inside = (
        [] if titled else [place.path(path) for place in sheet.placements for path in _closed_cuts(kit, place.part)]
    )
    canvas.path(
        path_data([*(outline for _, outline in shown), *inside], view), fill="#ffffff", stroke=INK, width=NARROW
    )
    if not titled:
        return {}
    arrows = _reach(canvas, view)
    taken = [*(_mark(place, view) for place in fasteners), *_zero_letters(view, arrows)]
    names = PartNames(canvas, view, shown, taken, _arrows(view, arrows))
    names.draw()
    return names.numbers


def _mark(place: FastenerPlace, view: PlanView) -> Box:
    """Return what the mark of a fastener covers."""
    half = max(place.keep_out * view.scale, _ARM) + 0.3
    return box_around(view.x(place.x), view.y(place.y), 2 * half, 2 * half)


def _zero_letters(view: PlanView, reach: tuple[float, float]) -> tuple[Box, ...]:
    """Return what the letters at the zero point cover; reach: how long its arrows are."""
    x, y = view.x(0), view.y(0)
    right, up = reach
    return (
        Box(x + right + 3.0, y + 0.8, x + right + 6.5, y + 4.6),
        Box(x - 4.6, y - up - 3.6, x - 1.4, y - up + 0.2),
        Box(x - 7.5, y + 2.0, x + 4.0, y + 5.8),
    )


def _arrows(view: PlanView, reach: tuple[float, float]) -> tuple[Box, ...]:
    """Return what the zero point and its arrows cover."""
    x, y = view.x(0), view.y(0)
    right, up = reach
    return Box(x - 2.0, y - 2.0, x + right + 2.5, y + 2.0), Box(x - 2.0, y - up - 2.5, x + 2.0, y + 2.0)


def _reach(canvas: SvgCanvas, view: PlanView) -> tuple[float, float]:
    """Return how long the arrows to the right and up are, without their heads, mm of paper: shorter on small stock."""
    return min(_ARROW, canvas.width - view.x(0) - 6.5), min(_ARROW, view.y(0) - 3.5)


def _closed_cuts(kit: Kit, part: str) -> list[Path]:
    """Return the holes that are cut into a part."""
    return [path for one in kit.part(part).operations if not one.frees for path in one.shapes]


def _draw_fastener(canvas: SvgCanvas, place: FastenerPlace, view: PlanView) -> None:
    x, y = view.x(place.x), view.y(place.y)
    if place.keep_out > 0:
        canvas.disc(x, y, place.keep_out * view.scale, fill="#fbe3d3", stroke=VERMILLION, dash="0.9 0.7")
    rise, fall = num(2 * _ARM), num(-2 * _ARM)
    canvas.path(
        f"M{num(x - _ARM)} {num(y - _ARM)}l{rise} {rise}m{fall} 0l{rise} {fall}",
        stroke=INK,
        width=0.55,
    )


def _draw_zero(canvas: SvgCanvas, view: PlanView) -> None:
    """X and Y arrows from the lower left corner of the stock (ISO 841: X to the right, Y away)."""
    x, y = view.x(0), view.y(0)
    right, up = _reach(canvas, view)
    canvas.path(f"M{num(x)} {num(y)}h{num(right)}M{num(x)} {num(y)}v{num(-up)}", stroke=BLUE, width=0.7)
    tip, top = num(x + right + 2.4), num(y - up - 2.4)
    canvas.path(f"M{tip} {num(y)}l-3 -1.3v2.6zM{num(x)} {top}l-1.3 3h2.6z", fill=BLUE)
    canvas.disc(x, y, 1.7, fill="#ffffff", stroke=INK)
    canvas.path(
        f"M{num(x)} {num(y)}v-1.7a1.7 1.7 0 0 1 1.7 1.7zM{num(x)} {num(y)}v1.7a1.7 1.7 0 0 1 -1.7 -1.7z", fill=INK
    )
    canvas.text(x + right + 3.5, y + 3.8, "X", size=3.4, fill=BLUE, bold=True)
    canvas.text(x - 4.0, y - up - 0.5, "Y", size=3.4, fill=BLUE, bold=True)
    canvas.text(x - 1.8, y + 5.0, "X0 Y0", size=3.2, bold=True, anchor="middle")


def _draw_measures(canvas: SvgCanvas, view: PlanView, length: float, width: float, units: Units, reach: Bounds) -> None:
    """The overall measures, clear of what reaches out over the edges."""
    below, left = view.y(reach.bottom) + 8.0, view.x(reach.left) - 9.0
    canvas.line(view.x(0), below, view.x(length), below, stroke=GREY)
    canvas.line(left, view.y(0), left, view.y(width), stroke=GREY)
    for x in (view.x(0), view.x(length)):
        canvas.line(x, below - 1, x, below + 1, stroke=GREY)
    for y in (view.y(0), view.y(width)):
        canvas.line(left - 1, y, left + 1, y, stroke=GREY)
    across, up = str(units.length(length, 1)), str(units.length(width, 1))
    middle = _kept((view.x(0) + view.x(length)) / 2, across, canvas.width), below + 4
    beside = left - 1.5, _kept((view.y(0) + view.y(width)) / 2, up, canvas.height)
    canvas.text(*middle, across, anchor="middle")
    canvas.text(*beside, up, anchor="middle", turn=-90)


def _kept(middle: float, words: str, room: float) -> float:
    """Return the middle of words, moved as far as they would else reach out of the room of a low or narrow sheet."""
    half = words_room(words, TEXT) / 2 + 0.5
    return min(max(middle, half), max(room - half, half))


def _words(kit: Kit, sheet: Sheet, fasteners: Sequence[FastenerPlace]) -> str:
    parts = ", ".join(f"{sheet.copies(part.key)} × {part.title}" for part in kit.parts if sheet.copies(part.key))
    text = say(
        "{stock}, piece {number}, from above with {parts}; zero at the lower left corner",
        stock=stock_title(sheet.stock),
        number=sheet.number,
        parts=parts,
    )
    if not fasteners:
        return f"{text}."
    return say("{text}; {count} fasteners or clamps with their keep-out circles.", text=text, count=len(fasteners))
