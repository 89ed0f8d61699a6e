"""A typeface from a font file: glyph outlines as cubic curves and lines, in units of the font.

A font file of a kit is untrusted: its size, the characters it may claim, the nesting of its glyphs and the work of
drawing each of them are bounded, and whatever goes wrong inside it is one plain message.
"""

from __future__ import annotations

import io
import struct
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import TYPE_CHECKING

from kitforge.geometry.bezier import Cubic
from kitforge.model.errors import KitforgeError
from kitforge.model.messages import Message, msg, series
from kitforge.model.record import record

if TYPE_CHECKING:
    from fontTools.ttLib import TTFont

MOST_BYTES = 8_000_000
_MOST_CHARACTERS = 400_000
_OUTLINES = (b"\x00\x01\x00\x00", b"OTTO", b"true")
_SHIPPED = "SourceSansPro-{}.otf"
WEIGHTS = ("ExtraLight", "Light", "Regular", "Semibold", "Bold", "Black")

Contour = tuple[Cubic, ...]


class LetteringError(KitforgeError):
    """Text that cannot be drawn: an unreadable or hostile font, a character it lacks, measures that make no sense."""

    def __init__(self, message: Message) -> None:
        super().__init__(str(message))
        self.message = message


@record
class Glyph:
    """The closed contours of a character and how far it moves on, in units of the font."""

    contours: tuple[Contour, ...]
    advance: float


@dataclass(slots=True)
class Typeface:
    """An open font. cap_height: of a capital H, in units of the font."""

    name: str
    cap_height: float
    characters: Mapping[int, str] = field(repr=False)
    _font: TTFont = field(repr=False)
    _glyphs: dict[str, Glyph] = field(default_factory=dict, repr=False)

    def glyph(self, character: str) -> Glyph:
        """Return the glyph of a character. Raises LetteringError if the font lacks it or cannot draw it."""
        if character not in self._glyphs:
            name = self.characters.get(ord(character))
            if name is None:
                raise LetteringError(
                    msg(
                        "The font {name} has no character {character} (U+{ord}). Write something else or take another "
                        "font.",
                        name=self.name,
                        character=repr(character),
                        ord=f"{ord(character):04X}",
                    )
                )
            self._glyphs[character] = _drawn(self._font, name, self.name)
        return self._glyphs[character]


@cache
def shipped_typeface(weight: str = "Regular") -> Typeface:
    """Return the shipped typeface in one of WEIGHTS. Raises LetteringError for another weight."""
    if weight not in WEIGHTS:
        raise LetteringError(
            msg("There is no weight {weight}; take one of {names}.", weight=repr(weight), names=series(WEIGHTS))
        )
    name = _SHIPPED.format(weight)
    return read_typeface(shipped_face(name), name)


def shipped_face(name: str) -> bytes:
    """Return a file of the shipped typeface, which comes with its licence in the same folder."""
    from importlib.resources import files

    return (files("kitforge.lettering") / "faces" / name).read_bytes()


def read_typeface(data: bytes, name: str) -> Typeface:
    """Return the typeface in a TrueType or OpenType file. Raises LetteringError for anything else."""
    from fontTools.ttLib import TTFont

    if len(data) > MOST_BYTES:
        raise LetteringError(
            msg(
                "The font {name} has {count} bytes; at most {most_bytes} are read.",
                name=name,
                count=f"{len(data):,}",
                most_bytes=f"{MOST_BYTES:,}",
            )
        )
    if not data.startswith(_OUTLINES):
        raise LetteringError(
            msg("{name} is not a TrueType or OpenType font (.ttf, .otf) with a single face.", name=name)
        )
    try:
        font = TTFont(io.BytesIO(data), lazy=True, recalcBBoxes=False, checkChecksums=0)
        _check_characters(font, name)
        characters = dict(font["cmap"].getBestCmap() or {})
        face = Typeface(name, 0.0, characters, font)
        face.cap_height = _cap_height(font, face)
    except LetteringError:
        raise
    except Exception as error:
        raise _broken(name, error) from error
    return face


def _broken(name: str, error: Exception) -> LetteringError:
    detail = str(error).splitlines()[0][:120] if str(error) else type(error).__name__
    return LetteringError(
        msg(
            "The font {name} is damaged and cannot be read ({detail}). Take another copy of it.",
            name=name,
            detail=detail,
        )
    )


def _check_characters(font: TTFont, name: str) -> None:
    """Refuse a table of characters whose ranges claim more than any font has: they would be written out one by one."""
    table: bytes = font.reader["cmap"]
    count = struct.unpack_from(">H", table, 2)[0]
    claimed = 0
    for index in range(min(count, 200)):
        at = struct.unpack_from(">L", table, 4 + 8 * index + 4)[0]
        if struct.unpack_from(">H", table, at)[0] in (12, 13):
            groups = struct.unpack_from(">L", table, at + 12)[0]
            if groups * 12 > len(table):
                raise LetteringError(msg("The font {name} is damaged: its table of characters is cut off.", name=name))
            for first, last, _glyph in struct.iter_unpack(">LLL", table[at + 16 : at + 16 + 12 * groups]):
                claimed += max(0, last - first + 1)
    if count > 200 or claimed > _MOST_CHARACTERS:
        raise LetteringError(
            msg(
                "The font {name} claims {claimed} characters; that is no honest font.",
                name=name,
                claimed=f"{claimed:,}",
            )
        )


def _cap_height(font: TTFont, face: Typeface) -> float:
    """Return the height of a capital H: as drawn, else as the font states it, else 0.7 of its em."""
    if ord("H") in face.characters:
        ends = [piece.end()[1] for contour in face.glyph("H").contours for piece in contour]
        if ends and max(ends) > 0:
            return max(ends)
    stated = getattr(font["OS/2"], "sCapHeight", 0) if "OS/2" in font else 0
    return float(stated) if stated and stated > 0 else 0.7 * float(font["head"].unitsPerEm)


def _drawn(font: TTFont, glyph: str, name: str) -> Glyph:
    from kitforge.lettering.pen import ContourPen, NoEndError, metered

    try:
        glyphs = font.getGlyphSet()
        pen = ContourPen(glyphs)
        metered(glyphs, glyph)
        shape = glyphs[glyph]
        shape.draw(pen)
        return Glyph(tuple(pen.contours), float(shape.width))
    except NoEndError as error:
        raise LetteringError(
            msg(
                "The font {name} draws {glyph} in a way that is not sound: {error}",
                name=name,
                glyph=repr(glyph),
                error=error.message,
            )
        ) from error
    except Exception as error:
        raise _broken(name, error) from error
