"""Text shapes to closed outlines: the font, where the base line lies, and how long a hostile font may keep us busy."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from functools import lru_cache
from typing import TYPE_CHECKING

from kitforge.definition import kinds
from kitforge.definition.positions import Place
from kitforge.definition.reader import nearest
from kitforge.definition.shapes import TextArc, TextShape
from kitforge.geometry.winding import without_overlaps
from kitforge.lettering.text import Align, Arc, Lettering, text_on_arc, text_on_line, width_of
from kitforge.lettering.typeface import WEIGHTS, LetteringError, read_typeface, shipped_typeface
from kitforge.model.errors import RefusedValueError
from kitforge.model.messages import mm, msg, series
from kitforge.model.path import Path
from kitforge.model.piece import Bounds
from kitforge.resolve.values import ANYWHERE, ResolveContext, ValueRange, label

if TYPE_CHECKING:
    from kitforge.lettering.typeface import Typeface

HEIGHT = ValueRange(0.5, 2000.0)
MOST_PIECES = 50_000
"""Lines and curves that one text may come to; 400 characters of an ordinary font have about 10,000."""

_ANGLE = ValueRange(-3600.0, 3600.0)
_LEADING = ValueRange(0.5, 20.0)


def outlines_of(
    sheet: ResolveContext, files: Mapping[str, bytes], entry: TextShape, place: Place
) -> Callable[[], tuple[Path, ...]]:
    """Return what draws a text from its measures, which are worked out at once; ValueError where it cannot be set."""
    how = Lettering(
        height=sheet.length(entry.height, *place, "height", within=HEIGHT),
        spacing=sheet.length(entry.spacing, *place, "spacing", within=ANYWHERE),
        align=Align(entry.align),
        leading=sheet.number(entry.leading, *place, "leading", within=_LEADING),
        turn=sheet.number(entry.angle, *place, "angle", within=_ANGLE),
        mirrored=entry.mirror,
    )
    face = _typeface(sheet, files, entry, place)
    written = sheet.text(entry.write, *place, "write")
    room = sheet.point(entry.within, *place, "within") if entry.within is not None else None
    if entry.on_arc is not None:
        arc = _arc(sheet, entry.on_arc, (*place, "on_arc"))
        draw = _drawing(written, face, lambda face: _on_arc(written, face, how, arc))
    else:
        at = sheet.point(entry.at, *place, "at") if entry.at is not None else (0.0, 0.0)
        draw = _drawing(written, face, lambda face: text_on_line(written, face, how, at))
    return (lambda: _fitted(sheet, draw(), room, how, (*place, "within"))) if room else draw


def _drawing(
    text: str, face: Typeface | None, draw: Callable[[Typeface], list[Path]]
) -> Callable[[], tuple[Path, ...]]:
    return lambda: _drawn(text, face, draw)


def _fitted(
    sheet: ResolveContext, drawn: tuple[Path, ...], room: tuple[float, float], how: Lettering, place: Place
) -> tuple[Path, ...]:
    """Return the outlines, with a finding where they are larger than the room that they must fit into."""
    box = Bounds.around(path.bounds for path in drawn) if drawn else Bounds(0.0, 0.0, 0.0, 0.0)
    sides = [(most, side) for most, side in zip(room, (box.width, box.height), strict=True) if side > 0]
    share = min((most / side for most, side in sides), default=1.0)
    if share < 1.0 - 1e-9:
        message = msg(
            "{place}: the text is {width} wide and {height} high; {most} by {most_2} is the room.",
            place=label(place),
            width=mm(box.width),
            height=mm(box.height),
            most=mm(room[0]),
            most_2=mm(room[1]),
        )
        advice = msg("Shorten it, or write it {height} high or less.", height=mm(how.height * share))
        sheet.report(kinds.TEXT_UNFIT, place, message, advice)
    return drawn


def _arc(sheet: ResolveContext, entry: TextArc, place: Place) -> Arc:
    x, y = sheet.point(entry.centre, *place, "centre")
    radius = sheet.length(entry.radius, *place, "radius")
    start = sheet.number(entry.start, *place, "start", within=_ANGLE, unit=" degrees")
    return Arc(x, y, radius, start, entry.inside)


def _on_arc(text: str, face: Typeface, how: Lettering, arc: Arc) -> list[Path]:
    """Draw text that starts, is centred or ends at the place on the circle that the arc names."""
    share = {Align.LEFT: 0.5, Align.CENTRE: 0.0, Align.RIGHT: -0.5}[how.align]
    turn = math.degrees(share * width_of(text, face, how) / arc.radius) if "\n" not in text else 0.0
    middle = arc.middle + (turn if arc.inside else -turn)
    return text_on_arc(text, face, how, Arc(arc.x, arc.y, arc.radius, middle, arc.inside))


def _drawn(text: str, face: Typeface | None, draw: Callable[[Typeface], list[Path]]) -> tuple[Path, ...]:
    if face is None:
        return ()
    try:
        pieces = sum(len(contour) for mark in text if mark != "\n" for contour in face.glyph(mark).contours)
        if pieces > MOST_PIECES:
            message = msg(
                "the text comes to {pieces} lines and curves; {most_pieces} is the limit",
                pieces=pieces,
                most_pieces=MOST_PIECES,
            )
            raise RefusedValueError(message)
        return tuple(without_overlaps(draw(face)))
    except LetteringError as error:
        raise RefusedValueError(error.message) from error


def _typeface(sheet: ResolveContext, files: Mapping[str, bytes], entry: TextShape, place: Place) -> Typeface | None:
    """Return the typeface, or None after a finding."""
    at, name = (*place, "font"), entry.font_file
    try:
        if name is not None:
            return _read(files[name], name)
        if entry.font in WEIGHTS:
            return shipped_typeface(entry.font)
    except LetteringError as error:
        sheet.report(
            kinds.FONT_UNREADABLE,
            at,
            msg("{place}: {error}", place=label(at), error=error.message),
            msg("Take another font file (.ttf or .otf)."),
        )
        return None
    known = series(WEIGHTS)
    message = msg(
        "{place}: '{font}' is neither a font file (.ttf, .otf) nor one of the shipped weights.",
        place=label(at),
        font=entry.font,
    )
    sheet.report(
        kinds.UNKNOWN_NAME, at, message, nearest(entry.font, WEIGHTS) or msg("Shipped weights: {known}.", known=known)
    )
    return None


@lru_cache(maxsize=16)
def _read(data: bytes, name: str) -> Typeface:
    return read_typeface(data, name)
