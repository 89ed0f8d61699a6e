"""Whether an SVG element shows any paint: fill, stroke and opacities, inherited as CSS has it (SVG 1.1 chapter 11)."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace

PAINTS = ("fill", "stroke", "fill-opacity", "stroke-opacity", "stroke-width", "opacity")
"""The properties that decide whether something is to be seen."""

_CLEAR = re.compile(r"none|transparent|#[0-9a-f]{3}0|#[0-9a-f]{6}00|(?:rgb|hsl)a?\(.*[,/]\s*0*\.?0+%?\s*\)")
_THREE_NUMBERS = re.compile(r"(?:rgb|hsl)\([^,/]*,[^,/]*,[^,/]*\)")
_ZERO = re.compile(r"[+-]?0*\.?0*(?:e[+-]?[0-9]+)?\s*(?:%|[a-z]+)?")


@dataclass(frozen=True, slots=True)
class Paint:
    """What an element passes on to those inside it: whether fill, stroke, both opacities and the width show."""

    fill: bool = True
    stroke: bool = False
    fill_opacity: bool = True
    stroke_opacity: bool = True
    stroke_width: bool = True
    opaque: bool = True

    @property
    def shows(self) -> bool:
        """Whether a shape painted so can be seen."""
        filled = self.fill and self.fill_opacity
        return self.opaque and (filled or (self.stroke and self.stroke_opacity and self.stroke_width))

    def within(self, style: Mapping[str, str]) -> Paint:
        """Return the paint of an element with these properties inside one with this paint."""
        changes = {
            name.replace("-", "_"): shows(style[name])
            for name, shows in _SHOWS.items()
            if name in style and style[name] not in ("inherit", "")
        }
        if style.get("opacity", "1") != "inherit" and _is_zero(style.get("opacity", "1")):
            changes["opaque"] = False
        return replace(self, **changes) if changes else self


def _is_colour(value: str) -> bool:
    return _THREE_NUMBERS.fullmatch(value) is not None or _CLEAR.fullmatch(value) is None


def _is_zero(value: str) -> bool:
    return any(char == "0" for char in value) and _ZERO.fullmatch(value) is not None


def _is_above_zero(value: str) -> bool:
    return not _is_zero(value)


_SHOWS = {
    "fill": _is_colour,
    "stroke": _is_colour,
    "fill-opacity": _is_above_zero,
    "stroke-opacity": _is_above_zero,
    "stroke-width": _is_above_zero,
}
