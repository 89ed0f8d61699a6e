"""The typeface of the page: three weights of the shipped one, with Western Europe's characters and what it says."""

from __future__ import annotations

import base64
import io
from functools import cache

from kitforge.files.artefacts import kept_bytes
from kitforge.print.fonts import FAMILY, shipped_fonts

_WEIGHTS = {"SourceSansPro-Light.ttf": 300, "SourceSansPro-Regular.ttf": 400, "SourceSansPro-Semibold.ttf": 600}
_SIGNS = "–—‘’‚“”„†•…‹›€™−≤≥≈×′″≠√→←↑↓²³⁻¹"
_ALWAYS = (*range(0x20, 0x7F), *range(0xA0, 0x100), *map(ord, _SIGNS))
_WHEN_SAID = range(0x100, 0x180)
"""The further letters of Europe's languages, a quarter of a face: only those that a page says."""


def face_rules(said: str) -> str:
    """Return the @font-face rules, the faces inside them. said: what the page says, at least.

    A character that is in none is shown in the reader's own typeface.
    """
    further = sorted(set(map(ord, set(said))) & set(_WHEN_SAID))
    return _rules((*_ALWAYS, *further))


@cache
def _rules(characters: tuple[int, ...]) -> str:
    return "\n".join(_rule(name, weight, characters) for name, weight in _WEIGHTS.items())


def _rule(name: str, weight: int, characters: tuple[int, ...]) -> str:
    font = shipped_fonts()[name]
    smaller = kept_bytes("page-font", lambda: _smaller(font, characters), font, characters)
    data = base64.b64encode(smaller).decode("ascii")
    source = f"url(data:font/woff;base64,{data})"
    return f"@font-face {{ font-family: '{FAMILY}'; font-weight: {weight}; src: {source}; }}"


def _smaller(font: bytes, characters: tuple[int, ...]) -> bytes:
    """Return a face with some characters alone, packed as WOFF 1.0."""
    from fontTools.subset import Options, Subsetter
    from fontTools.ttLib import TTFont

    # without ligatures: one that has no character of its own cannot be searched for in what Firefox prints as a PDF
    options = Options(hinting=False, layout_features=["kern", "mark", "ccmp"])
    face = TTFont(io.BytesIO(font), lazy=True, recalcTimestamp=False)
    names = face["name"]
    names.names = [one for one in names.names if one.nameID in (1, 2)]
    del face["name"]  # else every layout table is searched for names that are in use: a third of the time
    subsetter = Subsetter(options)
    subsetter.populate(unicodes=characters)
    subsetter.subset(face)
    face["name"] = names
    face.flavor = "woff"
    out = io.BytesIO()
    face.save(out)
    return out.getvalue()
