"""How a drawing is drawn: line widths of ISO 128-2, sizes of words and arrows, all larger by one factor in large print.

Wide lines 0.5 mm, narrow ones 0.25 mm. Words are 3.15 mm, 8.9 pt, in the plain theme and 12 pt when grown by 1.35.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kitforge.print.svg import INK, NARROW, WIDE, num

if TYPE_CHECKING:
    from kitforge.pictures.drawn.placing import Leader
    from kitforge.print.svg import SvgCanvas

WORDS, LETTER = 3.15, 3.9
"""Size of the words and of the letters of the table, mm of paper."""
_ARROW, _LEADER_ARROW = 2.4, 1.6


@dataclass(frozen=True, slots=True)
class Pen:
    """What everything of fixed size on the paper is multiplied by; the scale of the drawing is not."""

    grow: float = 1.0

    @property
    def words(self) -> float:
        """Size of words, mm."""
        return WORDS * self.grow

    @property
    def letter(self) -> float:
        """Size of the letters that the table explains, mm."""
        return LETTER * self.grow

    @property
    def wide(self) -> float:
        """Width of the line of an outline, mm."""
        return WIDE * self.grow

    @property
    def edge(self) -> float:
        """Width of the line of an edge within the outline, mm."""
        return 0.35 * self.grow

    @property
    def narrow(self) -> float:
        """Width of the line of dimensions and leaders, mm."""
        return NARROW * self.grow

    @property
    def centre(self) -> float:
        """Width of a centre line, mm."""
        return 0.18 * self.grow

    @property
    def dashes(self) -> str:
        """A long-dash-dot line."""
        return " ".join(num(value * self.grow) for value in (2.4, 0.6, 0.5, 0.6))

    @property
    def plane_dashes(self) -> str:
        """A long-dash-dot line of a cutting plane, longer than that of a centre."""
        return " ".join(num(value * self.grow) for value in (6.0, 0.8, 0.6, 0.8))

    def line(self, canvas: SvgCanvas, x0: float, y0: float, x1: float, y1: float) -> None:
        """Draw a narrow line."""
        canvas.line(x0, y0, x1, y1, width=self.narrow)

    def arrow(self, canvas: SvgCanvas, x: float, y: float, angle: float, length: float = _ARROW) -> None:
        """Draw a filled arrowhead with its point at (x, y); angle 0 points right, 90 up."""
        turn, spread, long = math.radians(angle), math.radians(170), length * self.grow
        corners = [(x, y)]
        for side in (spread, -spread):
            corners.append((x + long * math.cos(turn + side), y - long * math.sin(turn + side)))
        canvas.path("M" + "L".join(f"{num(a)} {num(b)}" for a, b in corners) + "Z", fill=INK)

    def leader(self, canvas: SvgCanvas, leader: Leader) -> None:
        """Draw a leader with an arrow at the edge that it points to (ISO 128-22)."""
        x0, y0, x1, y1 = leader
        self.line(canvas, x0, y0, x1, y1)
        self.arrow(canvas, x0, y0, math.degrees(math.atan2(y1 - y0, x0 - x1)), _LEADER_ARROW)
