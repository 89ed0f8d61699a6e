"""Text as closed paths: on a line, in several lines, or on an arc; sized by the height of its capitals."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from enum import StrEnum

from kitforge.geometry.affine import Affine, mirroring, rotation, scaling, translation
from kitforge.lettering.typeface import Contour, LetteringError, Typeface
from kitforge.model.messages import Quantity, msg
from kitforge.model.path import Path, Vertex
from kitforge.model.record import record

MOST_CHARACTERS = 400
_FIT = 0.005


class Align(StrEnum):
    """Which end of a line stands at the given place."""

    LEFT = "left"
    CENTRE = "centre"
    RIGHT = "right"


@record
class Lettering:
    """How text is set. height: of a capital, mm; spacing: added between characters, mm; leading: between base lines,
    as a multiple of the height of a capital; turn: of the base line, degrees; mirrored: reads right from behind."""

    height: float
    spacing: float = 0.0
    align: Align = Align.LEFT
    leading: float = 1.8
    turn: float = 0.0
    mirrored: bool = False


@record
class Arc:
    """A base line on a circle: centre and radius mm, the middle of the text at `middle` degrees from the x axis.

    inside: the letters' feet point away from the centre and the text runs counter-clockwise, as along a lower rim.
    """

    x: float
    y: float
    radius: float
    middle: float = 90.0
    inside: bool = False


def text_on_line(text: str, face: Typeface, how: Lettering, at: tuple[float, float] = (0.0, 0.0)) -> list[Path]:
    """Return the outlines of text whose first base line starts, is centred or ends at a point, mm.

    Line breaks start new lines below. Raises LetteringError for text that cannot be set.
    """
    _check(text, face, how)
    scale = how.height / face.cap_height
    place = rotation(how.turn, *at) @ translation(*at)
    if how.mirrored:
        place = place @ mirroring(90.0)
    paths = []
    for number, line in enumerate(text.split("\n")):
        shift = _shift(how.align, width_of(line, face, how))
        for x, contours in _characters(line, face, how):
            to = place @ translation(x + shift, -number * how.leading * how.height) @ scaling(scale)
            paths += [_path(contour, to) for contour in contours]
    return paths


def text_on_arc(text: str, face: Typeface, how: Lettering, arc: Arc) -> list[Path]:
    """Return the outlines of one line of text along a circle; every character stands upright on the base line.

    The circle must be larger than the letters are high. Raises LetteringError for text that does not fit round it.
    """
    _check(text, face, how)
    width = width_of(text, face, how)
    least = how.height if arc.inside else 0.0
    if not (math.isfinite(arc.radius) and arc.radius > least) or "\n" in text:
        raise LetteringError(msg("Text on an arc is one line on a circle larger than its letters."))
    if width > 2 * math.pi * arc.radius:
        raise LetteringError(
            msg(
                "The text is {width} mm long and does not fit once round a circle of {radius} mm.",
                width=Quantity(width, "", 1, padded=True),
                radius=Quantity(arc.radius, "", 6),
            )
        )
    scale = how.height / face.cap_height
    flip = mirroring(90.0, arc.x) if how.mirrored else Affine()
    paths = []
    for x, contours, middle in _with_middles(text, face, how):
        away = math.degrees((middle - width / 2) / arc.radius)
        angle = arc.middle + away if arc.inside else arc.middle - away
        foot = (arc.x + arc.radius * math.cos(math.radians(angle)), arc.y + arc.radius * math.sin(math.radians(angle)))
        upright = angle + 90.0 if arc.inside else angle - 90.0
        to = flip @ translation(*foot) @ rotation(upright) @ translation(x - middle, 0.0) @ scaling(scale)
        paths += [_path(contour, to) for contour in contours]
    return paths


def width_of(line: str, face: Typeface, how: Lettering) -> float:
    """Return how long a line of text is, from the start of its first character to the end of its last, mm."""
    advance = sum(face.glyph(character).advance for character in line) * how.height / face.cap_height
    return advance + how.spacing * max(0, len(line) - 1)


def _check(text: str, face: Typeface, how: Lettering) -> None:
    if len(text) > MOST_CHARACTERS:
        raise LetteringError(
            msg(
                "The text has {count} characters; at most {most_characters} are set.",
                count=len(text),
                most_characters=MOST_CHARACTERS,
            )
        )
    if not (math.isfinite(how.height) and 0.5 <= how.height <= 2000):
        raise LetteringError(
            msg(
                "Capitals must be between 0.5 mm and 2000 mm high, not {height} mm.", height=Quantity(how.height, "", 6)
            )
        )
    if not face.cap_height > 0:
        raise LetteringError(msg("The font {name} has capitals without height.", name=face.name))
    if not (math.isfinite(how.spacing) and abs(how.spacing) <= 10 * how.height):
        raise LetteringError(
            msg(
                "The space between characters must be a few heights at most, not {spacing} mm.",
                spacing=Quantity(how.spacing, "", 6),
            )
        )


def _shift(align: Align, width: float) -> float:
    return {Align.LEFT: 0.0, Align.CENTRE: -width / 2, Align.RIGHT: -width}[align]


def _characters(line: str, face: Typeface, how: Lettering) -> Iterator[tuple[float, Sequence[Contour]]]:
    return ((x, contours) for x, contours, _middle in _with_middles(line, face, how))


def _with_middles(line: str, face: Typeface, how: Lettering) -> Iterator[tuple[float, Sequence[Contour], float]]:
    """Yield where each character starts, its contours, and its middle, mm along the base line."""
    scale, x = how.height / face.cap_height, 0.0
    for character in line:
        glyph = face.glyph(character)
        advance = glyph.advance * scale
        yield x, glyph.contours, x + advance / 2
        x += advance + how.spacing


def _path(contour: Contour, matrix: Affine) -> Path:
    vertices: list[Vertex] = []
    for piece in contour:
        vertices += piece.transformed(matrix).vertices(_FIT)
    return Path(tuple(vertices))
