"""The typeface that is shipped, and the check that every character of a document is in it.

A character that the face does not have would silently be set in whatever face the machine offers, or as an empty box;
so it is an error that names the character and what to write instead.
"""

from __future__ import annotations

import io
import unicodedata
from collections.abc import Iterable, Mapping
from functools import cache
from html.parser import HTMLParser

from kitforge.lettering.typeface import shipped_face
from kitforge.model.characters import clean
from kitforge.print.errors import PrintError

FAMILY = "Source Sans Pro"

_FACES = {
    "SourceSansPro-Light.ttf": (300, "normal"),
    "SourceSansPro-Regular.ttf": (400, "normal"),
    "SourceSansPro-It.ttf": (400, "italic"),
    "SourceSansPro-Semibold.ttf": (600, "normal"),
    "SourceSansPro-Bold.ttf": (700, "normal"),
}
_INSTEAD = {
    "⌀": "Ø (U+00D8)",
    "⚠": "the word WARNING or CAUTION",
    "⁻": "a plain minus sign",
    "\t": "a space",
}
NOT_DRAWN = frozenset("\n\r\u00ad\u200b\u2060")
"""Characters that a text may hold though nothing is drawn for them: line ends and places where a word may break."""
_SKIPPED_TAGS = frozenset({"style", "script", "head"})


@cache
def shipped_fonts() -> Mapping[str, bytes]:
    """Return the shipped font files by name."""
    return {name: shipped_face(name) for name in _FACES}


def font_face_css() -> str:
    """Return the @font-face rules of the shipped typeface, with addresses relative to the document."""
    return "\n".join(
        f"@font-face {{ font-family: '{FAMILY}'; font-weight: {weight}; font-style: {style}; "
        f"src: url('fonts/{name}'); }}"
        for name, (weight, style) in _FACES.items()
    )


def characters_of(font: bytes) -> frozenset[int]:
    """Return the code points that a font file has a glyph for. Raises PrintError for a file that is no font."""
    from fontTools.ttLib import TTFont, TTLibError

    try:
        with TTFont(io.BytesIO(font), lazy=True) as face:
            return frozenset(face.getBestCmap() or ())
    except (TTLibError, OSError, ValueError, AssertionError) as error:
        raise PrintError(f"A font file of the theme cannot be read: {error}") from error


@cache
def shipped_characters() -> frozenset[int]:
    """Return the code points that every shipped face has."""
    return frozenset.intersection(*(characters_of(font) for font in shipped_fonts().values()))


def families_of(fonts: Iterable[bytes]) -> frozenset[str]:
    """Return the family names inside font files."""
    from fontTools.ttLib import TTFont

    names = set()
    for font in fonts:
        with TTFont(io.BytesIO(font), lazy=True) as face:
            names |= {str(face["name"].getBestFamilyName()), str(face["name"].getDebugName(1))}
    return frozenset(names)


def visible_text(markup: str) -> str:
    """Return the text of an HTML or SVG document that is drawn, without styles and scripts."""
    reader = _TextReader()
    reader.feed(markup)
    reader.close()
    return "".join(reader.found)


def require_glyphs(text: str, known: frozenset[int], where: str) -> None:
    """Raise PrintError naming every character of `text` that is not in `known`, with the words around the first."""
    missing = sorted(missing_characters(text, known))
    if not missing:
        return
    first = min(text.index(sign) for sign in missing)
    around = " ".join(text[max(0, first - 25) : first + 25].split())
    names = "; ".join(_described(character) for character in missing)
    raise PrintError(f"{where}: the typeface has no glyph for {names}. Met near “{around}”.")


def missing_characters(text: str, known: frozenset[int]) -> frozenset[str]:
    """Return the characters of `text` that are not in `known` and have to be drawn."""
    return frozenset(one for one in text if ord(one) not in known and one not in NOT_DRAWN)


def named(character: str) -> str:
    """Return a character with its number and name in the Unicode Standard: '“⌀” (U+2300 DIAMETER SIGN)'."""
    return f"“{clean(character)}” (U+{ord(character):04X} {unicodedata.name(character, 'unnamed character')})"


def instead_of(character: str) -> str:
    """Return what to write instead of a character, or '' where nothing comes to mind."""
    return _INSTEAD.get(character, "")


def _described(character: str) -> str:
    advice = f", write {_INSTEAD[character]} instead" if character in _INSTEAD else ""
    return f"{named(character).removesuffix(')')}{advice})"


class _TextReader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.found: list[str] = []
        self._skipping = 0

    def handle_starttag(self, tag: str, _attrs: list[tuple[str, str | None]]) -> None:
        self._skipping += tag in _SKIPPED_TAGS

    def handle_endtag(self, tag: str) -> None:
        self._skipping -= tag in _SKIPPED_TAGS and self._skipping > 0

    def handle_data(self, data: str) -> None:
        if not self._skipping:
            self.found.append(data)
