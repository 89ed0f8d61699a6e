"""The numbered signs of findings. Each severity has a shape, a fill and a word; colour is never alone.

Colours: Okabe and Ito, Color Universal Design (2008). Numbers are black on vermillion (5.4 : 1), orange (9.3 : 1) and
white, above the 4.5 : 1 of WCAG 2.2, 1.4.3.
"""

from __future__ import annotations

import math

from kitforge.model.findings import Severity
from kitforge.print.svg import SvgCanvas, num

INK = "#000000"
REACH = 3.4
"""Radius in mm of the circle that every sign fits into."""

_FILLS = {Severity.ERROR: "#d55e00", Severity.WARNING: "#e69f00", Severity.NOTE: "#ffffff"}
_EDGES = {Severity.ERROR: INK, Severity.WARNING: INK, Severity.NOTE: "#0072b2"}
SHAPES = {Severity.ERROR: "square", Severity.WARNING: "circle", Severity.NOTE: "hexagon"}


def sign_data(severity: Severity, x: float, y: float, size: float = 1.0) -> str:
    """Return path data of a severity's shape about (x, y)."""
    if severity is Severity.WARNING:
        r = 2.9 * size
        return f"M{num(x - r)} {num(y)}a{num(r)} {num(r)} 0 1 0 {num(2 * r)} 0a{num(r)} {num(r)} 0 1 0 {num(-2 * r)} 0z"
    sides, radius, turn = (4, 3.4, math.pi / 4) if severity is Severity.ERROR else (6, 3.2, 0.0)
    angles = (turn + 2 * math.pi * k / sides for k in range(sides))
    corners = (f"{num(x + radius * size * math.cos(a))} {num(y + radius * size * math.sin(a))}" for a in angles)
    return "M" + "L".join(corners) + "z"


def draw_sign(canvas: SvgCanvas, severity: Severity, x: float, y: float, number: int | None, size: float = 1.0) -> None:
    """Draw a severity's sign about (x, y), with a number in it."""
    width = 0.55 if severity is Severity.NOTE else 0.4
    canvas.path(sign_data(severity, x, y, size), fill=_FILLS[severity], stroke=_EDGES[severity], width=width * size)
    if number is None:
        return
    text = str(number)
    high = (3.6, 3.6, 3.4, 2.7, 2.1)[min(len(text), 4)] * size
    canvas.text(x, y + high * 0.34, text, size=high, anchor="middle", bold=True, fill=INK)
