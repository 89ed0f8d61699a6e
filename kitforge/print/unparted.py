"""A figure and its unit stay on one line.

SI Brochure, 9th edition, 5.4.3 (from memory): a space stands between them. That no line ends there is common practice.
"""

from __future__ import annotations

import re

_UNITS = (
    *("mm", "cm", "m", "m²", "in", "ft", "mm/min", "in/min", "m/min", "rpm", "min⁻¹"),
    *("ml", "l", "g", "kg", "N", "W", "kW", "V", "s", "min", "h", "%", "°C", "°", "sq", "fl"),
)
_FIXED = "\N{NO-BREAK SPACE}"
_AFTER_FIGURES = re.compile(rf"(?<=\d) (?=(?:{'|'.join(map(re.escape, sorted(_UNITS, key=len, reverse=True)))})(?!\w))")
_SQUARE_OR_FLUID = re.compile(r"\b(sq|fl) (?=(?:ft|in|oz)\b)")
_TEXT = re.compile(r"(?<=>)[^<]*\d [^<]*(?=<)")


def unparted(html: str) -> str:
    """Return a document whose figures and units no line parts; marks and what stands inside them stay as they are."""
    return _TEXT.sub(lambda found: joined(found[0]), html)


def joined(text: str) -> str:
    """Return a text with a space that does not break between each figure and the unit behind it."""
    return _SQUARE_OR_FLUID.sub(rf"\1{_FIXED}", _AFTER_FIGURES.sub(_FIXED, text))
