"""How wide words are, so that lines can be broken where nothing else breaks them."""

from __future__ import annotations

import io
from functools import cache

from kitforge.print import fonts

_ROOM = 1.18
"""Another typeface may stand in for the shipped one; common ones without serifs run up to a sixth wider."""


@cache
def _advances() -> dict[int, float]:
    """Return the width of every character of the shipped face, in ems."""
    from fontTools.ttLib import TTFont

    with TTFont(io.BytesIO(fonts.shipped_fonts()["SourceSansPro-Semibold.ttf"]), lazy=True) as face:
        widths, unit = face["hmtx"].metrics, face["head"].unitsPerEm
        return {code: widths[name][0] / unit for code, name in face.getBestCmap().items()}


def width_of(text: str, size: float) -> float:
    """Return how wide a line of text may get at a font size, in the size's unit; never less than it is."""
    advances = _advances()
    return sum(advances.get(ord(sign), 1.0) for sign in text) * size * _ROOM


def broken(text: str, width: float, size: float) -> list[str]:
    """Return the text in lines that are no wider than `width`; a word that is wider is divided."""
    lines: list[str] = []
    line = ""
    for word in text.split():
        longer = f"{line} {word}" if line else word
        if width_of(longer, size) <= width:
            line = longer
            continue
        if line:
            lines.append(line)
        *whole, line = _divided(word, width, size)
        lines += whole
    return [*lines, line] if line else lines


def _divided(word: str, width: float, size: float) -> list[str]:
    pieces, piece = [], ""
    for sign in word:
        if piece and width_of(piece + sign, size) > width:
            pieces.append(piece)
            piece = ""
        piece += sign
    return [*pieces, piece]
