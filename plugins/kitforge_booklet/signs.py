"""Plain safety signs of our own, never without words: blue disc for must, red ring with a bar for must not.

Shapes and colours follow ISO 3864-1 (blue disc: mandatory; red ring and bar: prohibition); the drawings inside are our
own. The colours are print approximations.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from kitforge.language import say
from kitforge.model.lines import Use
from kitforge.print.svg import SvgCanvas, num

if TYPE_CHECKING:
    from kitforge.print.svg import Picture

_BLUE, _RED, _WHITE, _BLACK = "#005387", "#9b2423", "#ffffff", "#1a1a1a"
SIZE = 9.0


class Must(StrEnum):
    """What the signs ask for."""

    EYES = "eyes"
    EARS = "ears"
    MASK = "mask"
    NO_GLOVES = "no gloves"
    GLOVES = "gloves"
    POWER_OFF = "power off"
    AIR = "air"


@dataclass(frozen=True, slots=True)
class SafetySign:
    """A sign, the words under it, and what is worn or switched on for it."""

    picture: Picture
    words: str
    uses: tuple[Use, ...] = ()


def sign(must: Must) -> SafetySign:
    """Return a sign with its words."""
    words = _words(must)
    canvas = SvgCanvas(SIZE, SIZE)
    if must is Must.NO_GLOVES:
        canvas.disc(4.5, 4.5, 4.3, fill=_WHITE)
        _hand(canvas, _BLACK)
        canvas.path(_ring(4.3, 3.4), fill=_RED)
        canvas.path("M1.55 2.2L2.2 1.55L7.45 6.8L6.8 7.45Z", fill=_RED)
    else:
        canvas.disc(4.5, 4.5, 4.3, fill=_BLUE)
        _DRAW[must](canvas)
    return SafetySign(canvas.finish(words), words, _USES.get(must, ()))


_USES = {
    Must.EYES: (Use("eye_protection"),),
    Must.EARS: (Use("ear_protection"),),
    Must.MASK: (Use("dust_mask"),),
    Must.GLOVES: (Use("gloves"),),
}


def _words(must: Must) -> str:
    return {
        Must.EYES: say("Eye protection"),
        Must.EARS: say("Ear protection"),
        Must.MASK: say("Dust mask"),
        Must.NO_GLOVES: say("No gloves"),
        Must.GLOVES: say("Gloves"),
        Must.POWER_OFF: say("Power off"),
        Must.AIR: say("Fresh air"),
    }[must]


def cutting_signs(*, new_setup: bool, new_cutter: bool) -> tuple[SafetySign, ...]:
    """Return the signs of a step at the machine: all where a setup begins, and the power off where a cutter changes."""
    wear = (Must.EYES, Must.EARS, Must.MASK, Must.NO_GLOVES) if new_setup else ()
    return tuple(sign(must) for must in ((Must.POWER_OFF, *wear) if new_cutter else wear))


def sanding_signs() -> tuple[SafetySign, ...]:
    """Return the signs of sanding by hand."""
    return tuple(sign(must) for must in (Must.EYES, Must.MASK))


def coating_signs() -> tuple[SafetySign, ...]:
    """Return the signs of putting on a finish."""
    return tuple(sign(must) for must in (Must.GLOVES, Must.AIR))


def _ring(outer: float, inner: float) -> str:
    from kitforge.print.svg import circle_data

    return circle_data(4.5, 4.5, outer) + circle_data(4.5, 4.5, inner)


def _head(canvas: SvgCanvas) -> None:
    """A head from the front, cut off at the shoulders."""
    canvas.disc(4.5, 4.2, 2.1, fill=_WHITE)
    canvas.path("M2.2 8.1C2.4 6.7 3.4 6.2 4.5 6.2S6.6 6.7 6.8 8.1A4.3 4.3 0 0 1 2.2 8.1Z", fill=_WHITE)


def _eyes(canvas: SvgCanvas) -> None:
    _head(canvas)
    canvas.path("M2.35 3.5h4.3v0.3h-4.3z", fill=_BLUE)
    for x in (3.55, 5.45):
        canvas.disc(x, 3.95, 0.8, fill=_BLUE)
        canvas.disc(x, 3.95, 0.48, fill=_WHITE)


def _ears(canvas: SvgCanvas) -> None:
    _head(canvas)
    canvas.path("M2.0 4.2A2.5 2.7 0 0 1 7.0 4.2", stroke=_WHITE, width=0.45)
    for x in (1.55, 6.35):
        canvas.path(f"M{num(x)} 3.4h1.1v2.0h-1.1z", fill=_WHITE, stroke=_BLUE, width=0.25)


def _mask(canvas: SvgCanvas) -> None:
    _head(canvas)
    canvas.path("M3.2 4.3Q4.5 3.6 5.8 4.3L5.5 5.7Q4.5 6.4 3.5 5.7Z", fill=_BLUE)
    canvas.path("M3.25 4.5L2.4 4.0M5.75 4.5L6.6 4.0", stroke=_BLUE, width=0.25)
    canvas.disc(4.5, 5.1, 0.32, fill=_WHITE)


def _hand(canvas: SvgCanvas, colour: str) -> None:
    """A glove: four fingers, a thumb and the cuff."""
    for x, top in ((3.05, 2.75), (3.8, 2.2), (4.55, 2.25), (5.3, 2.8)):
        canvas.path(f"M{num(x)} 5.2V{num(top)}a0.3 0.3 0 0 1 0.6 0V5.2Z", fill=colour)
    canvas.path("M3.05 4.6H5.9V5.6L6.6 4.5A0.33 0.33 0 0 1 7.1 4.95L5.7 6.7H3.2Z", fill=colour)
    canvas.path("M3.1 6.95H5.7V7.6H3.1Z", fill=colour)


def _gloves(canvas: SvgCanvas) -> None:
    _hand(canvas, _WHITE)


def _power_off(canvas: SvgCanvas) -> None:
    """A plug drawn out of its socket."""
    canvas.path("M1.2 4.3H2.6V3.2H4.1V5.8H2.6V4.7H1.2Z", fill=_WHITE)
    canvas.path("M4.1 3.7H4.9V4.05H4.1ZM4.1 4.95H4.9V5.3H4.1Z", fill=_WHITE)
    canvas.path("M5.7 3.0H7.4V4.3H8.0V4.7H7.4V6.0H5.7V5.3H6.3V4.95H5.7V4.05H6.3V3.7H5.7Z", fill=_WHITE)


def _air(canvas: SvgCanvas) -> None:
    """A window that stands open, and air coming in."""
    canvas.path("M4.6 2.2H7.2V6.8H4.6Z", stroke=_WHITE, width=0.45)
    canvas.path("M4.6 2.2L6.1 3.1V7.6L4.6 6.8Z", fill=_WHITE)
    for y in (3.4, 4.5, 5.6):
        canvas.path(f"M1.3 {num(y)}q0.7 -0.6 1.3 0t1.3 0", stroke=_WHITE, width=0.35)


_DRAW = {
    Must.EYES: _eyes,
    Must.EARS: _ears,
    Must.MASK: _mask,
    Must.GLOVES: _gloves,
    Must.POWER_OFF: _power_off,
    Must.AIR: _air,
}
