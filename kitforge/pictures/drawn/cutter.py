"""Cutters from the side, to scale: flutes, tip and shank as the ISO 13399 measures give them."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from kitforge.language import render_text, say
from kitforge.model.kit import CutterKind
from kitforge.print.figures import scale_words
from kitforge.print.svg import GREY, INK, NARROW, Picture, SvgCanvas, num

if TYPE_CHECKING:
    from kitforge.model.kit import Cutter
    from kitforge.print.figures import Units

_STEEL, _EDGE, _DARK = "#e4e6e8", "#b9bfc4", "#5f676d"
_MARGIN, _WORDS = 17.4, 2.85
"""Room for words beside the cutter and their size, 8 pt, mm of paper."""
_UP = (CutterKind.UP_CUT, CutterKind.BALL_NOSE, CutterKind.DRILL)


def tip_height(cutter: Cutter) -> float:
    """Return the height of the part of the cutter below its full diameter, mm."""
    r = cutter.radius
    if cutter.kind is CutterKind.BALL_NOSE:
        return r
    if cutter.kind is CutterKind.BOWL or cutter.corner_radius:
        return min(cutter.corner_radius or r / 2, r)
    if cutter.angle and cutter.kind in (CutterKind.V_BIT, CutterKind.DRILL):
        return (r - cutter.tip / 2) / math.tan(math.radians(cutter.angle / 2))
    return 0.0


def cutter_picture(cutter: Cutter, scale: float = 1.0) -> Picture:
    """Return the cutter alone, upright with its tip down, at `scale`."""
    widest = max(cutter.diameter, cutter.shank) * scale
    canvas = SvgCanvas(widest + 2.0, cutter.overall_length * scale + 2.0)
    draw_cutter(canvas, cutter, canvas.width / 2, canvas.height - 1.0, scale)
    words = say("{cutter} from the side, drawn at {scale}.", cutter=render_text(cutter.name), scale=_scale_words(scale))
    return canvas.finish(words)


def lying_cutter(cutter: Cutter, scale: float = 1.0) -> Picture:
    """Return the cutter alone, lying down with its tip to the left, at `scale`."""
    thick = max(cutter.diameter, cutter.shank) * scale
    canvas = SvgCanvas(cutter.overall_length * scale + 2.0, thick + 2.0)
    canvas.parts.append(f'<g transform="translate(1 {num(canvas.height / 2)}) rotate(90)">')
    draw_cutter(canvas, cutter, 0.0, 0.0, scale)
    canvas.parts.append("</g>")
    words = say("{cutter} from the side, drawn at {scale}.", cutter=render_text(cutter.name), scale=_scale_words(scale))
    return canvas.finish(words)


def dimensioned_cutter(cutter: Cutter, units: Units, scale: float = 1.0, grow: float = 1.0) -> Picture:
    """Return the cutter lying down, tip to the left, with diameter, cutting length, shank and overall length marked.

    grow: how much larger than usual the words are; the scale stays true.
    """
    length, thick = cutter.overall_length * scale, max(cutter.diameter, cutter.shank) * scale
    canvas = SvgCanvas(length + 2 * _MARGIN * grow, thick + 2.5 + 10.0 * grow)
    axis, tip = 0.8 + thick / 2, _MARGIN * grow
    canvas.parts.append(f'<g transform="translate({num(tip)} {num(axis)}) rotate(90)">')
    draw_cutter(canvas, cutter, 0.0, 0.0, scale)
    canvas.parts.append("</g>")
    diameter, shank = (f"Ø {units.length(size, 3).main}" for size in (cutter.diameter, cutter.shank))
    _upright(canvas, tip - 2.0, axis, cutter.diameter * scale, diameter, grow, left=True)
    _upright(canvas, tip + length + 2.0, axis, cutter.shank * scale, shank, grow, left=False)
    below = axis + thick / 2 + 2.2
    _along(canvas, tip, tip + cutter.cutting_length * scale, below, units.length(cutter.cutting_length, 1).main, grow)
    _along(canvas, tip, tip + length, below + 4.6 * grow, units.length(cutter.overall_length, 1).main, grow)
    return canvas.finish(
        say(
            "{cutter} from the side at {scale}: diameter {diameter}, cutting length {cutting_length}, shank {shank}, "
            "overall length {overall_length}.",
            cutter=render_text(cutter.name),
            scale=_scale_words(scale),
            diameter=units.length(cutter.diameter, 3),
            cutting_length=units.length(cutter.cutting_length),
            shank=units.length(cutter.shank, 3),
            overall_length=units.length(cutter.overall_length),
        )
    )


def _scale_words(scale: float) -> str:
    return say("full size") if scale == 1 else scale_words(scale)


def draw_cutter(canvas: SvgCanvas, cutter: Cutter, x: float, base: float, scale: float) -> None:
    """Draw shank, body and tip. x is the axis, base the lowest point, in canvas mm."""
    r, shank = cutter.radius * scale, cutter.shank / 2 * scale
    body, top = base - cutter.cutting_length * scale, base - cutter.overall_length * scale
    neck = min(abs(r - shank) * 0.6, max(0.0, body - top - 1.0))
    canvas.path(
        f"M{num(x - shank)} {num(top + 0.4)}l0.4 -0.4H{num(x + shank - 0.4)}l0.4 0.4V{num(body - neck)}"
        f"L{num(x + r)} {num(body)}H{num(x - r)}L{num(x - shank)} {num(body - neck)}z",
        fill=_STEEL,
        stroke=INK,
    )
    canvas.box(x - shank * 0.55, top + 0.6, shank * 0.35, max(0.0, body - neck - top - 1.0), fill="#ffffff")
    outline = _body(cutter, x, base, body, scale)
    canvas.path(outline, fill=_EDGE)
    _draw_flutes(canvas, cutter, x, base, body, scale)
    canvas.path(outline, stroke=INK)


def _body(cutter: Cutter, x: float, base: float, top: float, scale: float) -> str:
    r, tip = cutter.radius * scale, min(tip_height(cutter) * scale, base - top)
    start, shoulder = f"M{num(x - r)} {num(top)}H{num(x + r)}", num(base - tip)
    if cutter.kind in (CutterKind.V_BIT, CutterKind.DRILL):
        flat = cutter.tip / 2 * scale
        return f"{start}V{shoulder}L{num(x + flat)} {num(base)}H{num(x - flat)}L{num(x - r)} {shoulder}z"
    t = num(tip)
    return (
        f"{start}V{shoulder}A{t} {t} 0 0 1 {num(x + r - tip)} {num(base)}"
        f"H{num(x - r + tip)}A{t} {t} 0 0 1 {num(x - r)} {shoulder}z"
        if tip
        else f"{start}V{num(base)}H{num(x - r)}z"
    )


def _draw_flutes(canvas: SvgCanvas, cutter: Cutter, x: float, base: float, top: float, scale: float) -> None:
    """Spiral flutes as slanted lines that show the hand of the twist, straight ones as an upright line."""
    r = cutter.radius * scale
    low = base - tip_height(cutter) * scale
    if cutter.kind is CutterKind.COMPRESSION:
        turn = low - min(r * 2, (low - top) * 0.35)
        data = _slants(x, r, low, turn, rising=True) + _slants(x, r, turn, top, rising=False)
    elif cutter.kind is CutterKind.DOWN_CUT:
        data = _slants(x, r, low, top, rising=False)
    elif cutter.kind in _UP:
        data = _slants(x, r, low, top, rising=True)
    else:
        data = f"M{num(x)} {num(top)}V{num(base)}M{num(x + r * 0.45)} {num(top)}V{num(low)}"
    canvas.path(data, stroke=_DARK, width=0.35)


def _slants(x: float, r: float, low: float, top: float, *, rising: bool) -> str:
    pitch = max(r * 1.5, 1.3)
    lines: list[str] = []
    rise = min(pitch * 1.1, low - top)
    y = low
    while rise > 0 and y - rise >= top - 1e-9 and len(lines) < 60:
        y0, y1 = (y, y - rise) if rising else (y - rise, y)
        lines.append(
            f"M{num(x - r)} {num(y0)}C{num(x - r * 0.3)} {num(y0)} {num(x + r * 0.3)} {num(y1)} {num(x + r)} {num(y1)}"
        )
        y -= pitch
    return "".join(lines)


def _upright(canvas: SvgCanvas, x: float, middle: float, size: float, words: str, grow: float, *, left: bool) -> None:
    canvas.line(x, middle - size / 2, x, middle + size / 2, stroke=GREY, width=0.2)
    for end in (middle - size / 2, middle + size / 2):
        canvas.line(x - 0.7, end, x + 0.7, end, stroke=GREY, width=0.2)
    beside = x + (-1.2 if left else 1.2)
    canvas.text(beside, middle + 1.0 * grow, words, size=_WORDS * grow, anchor="end" if left else "start")


def _along(canvas: SvgCanvas, x0: float, x1: float, y: float, words: str, grow: float) -> None:
    canvas.line(x0, y, x1, y, stroke=GREY, width=0.2)
    for end in (x0, x1):
        canvas.line(end, y - 0.7, end, y + 0.7, stroke=GREY, width=NARROW)
    canvas.text((x0 + x1) / 2, y + 3.1 * grow, words, size=_WORDS * grow, anchor="middle")
