"""A stock piece from above as it lies on the machine: parts, fasteners with their keep-out, clamps, zero point."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from kitforge.geometry.transform import mirrored
from kitforge.language import say
from kitforge.model.kit import Face
from kitforge.model.path import Bounds, Path, Vertex
from kitforge.print.figures import stock_title
from kitforge.print.svg import (
    BLUE,
    GREY,
    INK,
    NARROW,
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
    """
    stock = sheet.stock
    box = (_LEFT, _ROUND, width - _LEFT - _ROUND, height - _ROUND - _BELOW)
    view = fitted((0.0, 0.0, stock.length, stock.width), box, largest=1.0)
    used = stock.width * view.scale + _ROUND + _BELOW
    view = PlanView(view.scale, _LEFT, _ROUND + stock.width * view.scale)
    canvas = SvgCanvas(_LEFT + stock.length * view.scale + _ROUND, used)
    piece = _rectangle(stock.length, stock.width)
    canvas.path(path_data([piece], view), fill="#f6f0e6", stroke=INK, width=0.5)
    _draw_parts(canvas, kit, sheet, view, face, titled=not numbers)
    for x, y, number in numbers:
        canvas.text(view.x(x), view.y(y) + 1.1, number, size=3.2, anchor="middle", bold=True, halo=True)
    for place in (as_it_lies(place, sheet.stock, face) for place in fasteners):
        _draw_fastener(canvas, place, view)
    _draw_zero(canvas, view)
    _draw_measures(canvas, view, stock.length, stock.width, units)
    return canvas.finish(words or _words(kit, sheet, fasteners))


def _rectangle(length: float, width: float) -> Path:
    return Path((Vertex(0, 0), Vertex(length, 0), Vertex(length, width), Vertex(0, width)))


def as_it_lies(place: FastenerPlace, stock: Stock, face: Face) -> FastenerPlace:
    """Return where a fastener stands from the lower left corner of the stock as it lies for this face."""
    return place if face is Face.TOP else replace(place, x=stock.length - place.x)


def _draw_parts(canvas: SvgCanvas, kit: Kit, sheet: Sheet, view: PlanView, face: Face, *, titled: bool) -> None:
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
    for title, outline in shown if titled else ():
        _draw_label(canvas, title, outline.bounds, view)


def _closed_cuts(kit: Kit, part: str) -> list[Path]:
    """Return the holes that are cut into a part."""
    return [path for one in kit.part(part).operations if not one.frees for path in one.shapes]


def _draw_label(canvas: SvgCanvas, title: str, box: Bounds, view: PlanView) -> None:
    """The part's title inside it, smaller or not at all where there is no room."""
    x, y = box.centre
    for size in (3.2, 2.6):
        if len(title) * size * 0.5 < box.width * view.scale * 0.95 and box.height * view.scale > 1.6 * size:
            canvas.text(view.x(x), view.y(y) + 1.1, title, size=size, anchor="middle", halo=True)
            return


def _draw_fastener(canvas: SvgCanvas, place: FastenerPlace, view: PlanView) -> None:
    x, y = view.x(place.x), view.y(place.y)
    if place.keep_out > 0:
        canvas.disc(x, y, place.keep_out * view.scale, fill="#fbe3d3", stroke=VERMILLION, dash="0.9 0.7")
    arm = 1.3
    rise, fall = num(2 * arm), num(-2 * arm)
    canvas.path(
        f"M{num(x - arm)} {num(y - arm)}l{rise} {rise}m{fall} 0l{rise} {fall}",
        stroke=INK,
        width=0.55,
    )


def _draw_zero(canvas: SvgCanvas, view: PlanView) -> None:
    """X and Y arrows from the lower left corner of the stock (ISO 841: X to the right, Y away)."""
    x, y = view.x(0), view.y(0)
    canvas.path(f"M{num(x)} {num(y)}h14M{num(x)} {num(y)}v-14", stroke=BLUE, width=0.7)
    canvas.path(f"M{num(x + 16.4)} {num(y)}l-3 -1.3v2.6zM{num(x)} {num(y - 16.4)}l-1.3 3h2.6z", fill=BLUE)
    canvas.disc(x, y, 1.7, fill="#ffffff", stroke=INK)
    canvas.path(
        f"M{num(x)} {num(y)}v-1.7a1.7 1.7 0 0 1 1.7 1.7zM{num(x)} {num(y)}v1.7a1.7 1.7 0 0 1 -1.7 -1.7z", fill=INK
    )
    canvas.text(x + 17.5, y + 3.8, "X", size=3.4, fill=BLUE, bold=True)
    canvas.text(x - 4.0, y - 14.5, "Y", size=3.4, fill=BLUE, bold=True)
    canvas.text(x - 1.8, y + 5.0, "X0 Y0", size=3.2, bold=True, anchor="middle")


def _draw_measures(canvas: SvgCanvas, view: PlanView, length: float, width: float, units: Units) -> None:
    below, left = view.y(0) + 8.0, view.x(0) - 9.0
    canvas.line(view.x(0), below, view.x(length), below, stroke=GREY)
    canvas.line(left, view.y(0), left, view.y(width), stroke=GREY)
    for x in (view.x(0), view.x(length)):
        canvas.line(x, below - 1, x, below + 1, stroke=GREY)
    for y in (view.y(0), view.y(width)):
        canvas.line(left - 1, y, left + 1, y, stroke=GREY)
    canvas.text((view.x(0) + view.x(length)) / 2, below + 4, str(units.length(length, 1)), anchor="middle")
    canvas.text(left - 1.5, (view.y(0) + view.y(width)) / 2, str(units.length(width, 1)), anchor="middle", turn=-90)


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
