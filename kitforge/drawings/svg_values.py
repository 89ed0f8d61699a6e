"""Values of SVG attributes: lengths, transformation lists and view boxes, by their grammar (SVG 1.1, CSS Values 3)."""

from __future__ import annotations

import math
import re
from typing import NamedTuple

from kitforge.geometry.affine import Affine, rotation, scaling, translation
from kitforge.model.drawing import MisfitError, shown
from kitforge.model.messages import msg

MM_PER_PX = 25.4 / 96
"""A CSS pixel is 1/96 inch (CSS Values and Units 3, section 6.2)."""

PX_PER_UNIT = {
    "": 1.0,
    "px": 1.0,
    "mm": 1 / MM_PER_PX,
    "cm": 10 / MM_PER_PX,
    "q": 0.25 / MM_PER_PX,
    "in": 96.0,
    "pt": 96 / 72,
    "pc": 16.0,
}

_REAL = r"[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]{1,4})?"
_LENGTH = re.compile(rf"\s*({_REAL})\s*([a-zA-Z]*|%)\s*")
_NUMBER = re.compile(_REAL)
_SEPARATOR = re.compile(r"[\s]*,?[\s]*")
_FUNCTION = re.compile(r"\s*,?\s*([a-zA-Z]+)\s*\(([^()]*)\)")
_ARGUMENTS = {
    "matrix": (6,),
    "translate": (1, 2),
    "scale": (1, 2),
    "rotate": (1, 3),
    "skewX": (1,),
    "skewY": (1,),
}


class Length(NamedTuple):
    """A length as written: number and unit ('' for user units, '%' for a share)."""

    value: float
    unit: str

    def px(self, whole: float) -> float:
        """Return the length in user units of its place; `whole` is what 100 % means there."""
        return self.value * whole / 100 if self.unit == "%" else self.value * PX_PER_UNIT[self.unit]


def parse_length(text: str) -> Length:
    """Return a length. Raises ValueError for what is none or has a unit that depends on a font or a screen."""
    match = _LENGTH.fullmatch(text)
    if match is None:
        raise MisfitError(msg("'{text}' is not a length", text=shown(text, 30)))
    value, unit = _finite(float(match[1]), text), match[2].lower()
    if unit != "%" and unit not in PX_PER_UNIT:
        raise MisfitError(
            msg(
                "'{text}' has the unit {unit}, which has no fixed size; use mm, cm, in, pt or px",
                text=shown(text, 30),
                unit=match[2],
            )
        )
    return Length(value, unit)


def _finite(value: float, text: str) -> float:
    if not math.isfinite(value) or abs(value) > 1e12:
        raise MisfitError(msg("the number in '{text}' is too large", text=shown(text, 30)))
    return value


def parse_numbers(text: str) -> list[float]:
    """Return numbers separated by white space or commas. Raises ValueError for anything else."""
    numbers: list[float] = []
    at, end = 0, len(text.rstrip())
    at += len(text) - len(text.lstrip())
    while at < end:
        match = _NUMBER.match(text, at)
        if match is None:
            raise MisfitError(msg("'{text}' is not a number", text=shown(text[at : at + 12])))
        numbers.append(_finite(float(match[0]), match[0]))
        separator = _SEPARATOR.match(text, match.end())
        at = separator.end() if separator else match.end()
        if at >= end and text.rstrip().endswith(","):
            raise MisfitError(msg("a number is missing after the last comma"))
    return numbers


def parse_transform(text: str) -> Affine:
    """Return a transformation list as one transformation. Raises ValueError that names what is wrong."""
    total, at = Affine(), 0
    while text[at:].strip():
        match = _FUNCTION.match(text, at)
        if match is None:
            raise MisfitError(msg("transform: '{text}' is not understood", text=shown(text[at : at + 20].strip())))
        total = total @ _function(match[1], parse_numbers(match[2]))
        at = match.end()
    return total


def _function(name: str, values: list[float]) -> Affine:
    if name not in _ARGUMENTS:
        raise MisfitError(msg("transform: '{name}' is no transformation", name=shown(name)))
    if len(values) not in _ARGUMENTS[name]:
        raise MisfitError(msg("transform: {name} has {count} numbers", name=name, count=len(values)))
    if name == "matrix":
        return Affine(*values)
    if name == "translate":
        return translation(values[0], values[1] if len(values) > 1 else 0.0)
    if name == "scale":
        return scaling(values[0], values[-1])
    if name == "rotate":
        return rotation(values[0], *values[1:])
    slope = math.tan(math.radians(values[0]))
    return Affine(c=slope) if name == "skewX" else Affine(b=slope)


class ViewBox(NamedTuple):
    """A view box in user units."""

    x: float
    y: float
    width: float
    height: float


def parse_view_box(text: str) -> ViewBox:
    """Return a view box. Raises ValueError unless it is four numbers with a size above 0."""
    values = parse_numbers(text)
    if len(values) != 4:
        raise MisfitError(msg("the viewBox needs four numbers, not {count}", count=len(values)))
    box = ViewBox(*values)
    if box.width <= 0 or box.height <= 0:
        raise MisfitError(msg("the viewBox must have a width and a height above 0"))
    return box


def fit_view_box(box: ViewBox, width: float, height: float, preserve: str) -> Affine:
    """Return the transformation from a view box to a viewport by preserveAspectRatio (SVG 1.1 section 7.8)."""
    words = [word for word in preserve.split() if word != "defer"] or ["xMidYMid"]
    scale_x, scale_y = width / box.width, height / box.height
    if words[0] != "none":
        match = re.fullmatch(r"x(Min|Mid|Max)Y(Min|Mid|Max)", words[0])
        if match is None or (len(words) > 1 and words[1] not in ("meet", "slice")):
            raise MisfitError(msg("preserveAspectRatio '{text}' is not understood", text=shown(preserve, 40)))
        scale_x = scale_y = max(scale_x, scale_y) if words[1:] == ["slice"] else min(scale_x, scale_y)
        share = {"Min": 0.0, "Mid": 0.5, "Max": 1.0}
        shift_x = (width - box.width * scale_x) * share[match[1]]
        shift_y = (height - box.height * scale_y) * share[match[2]]
    else:
        shift_x = shift_y = 0.0
    return Affine(scale_x, 0.0, 0.0, scale_y, shift_x - box.x * scale_x, shift_y - box.y * scale_y)
