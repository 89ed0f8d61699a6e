"""Where the eye is: a parallel projection from a slant, and the piece of paper that it falls on."""

from __future__ import annotations

import math
from dataclasses import dataclass

from kitforge.surface.grid import Grid

Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class PictureView:
    """turn: degrees the part is turned, counter-clockwise, before it is looked at; rise: height of the eye above the
    table, degrees, 90 looks straight down."""

    turn: float = 0.0
    rise: float = 90.0

    @property
    def lift(self) -> float:
        """How much of a length along the line of sight is seen on the paper."""
        return math.sin(math.radians(self.rise))

    @property
    def height(self) -> float:
        """How much of a height is seen on the paper."""
        return math.cos(math.radians(self.rise))

    def turned(self, x: float, y: float) -> tuple[float, float]:
        """Return a point of the table as (to the right, away from the eye), mm."""
        c, s = math.cos(math.radians(self.turn)), math.sin(math.radians(self.turn))
        return c * x - s * y, s * x + c * y


ABOVE = PictureView()
SLANT = PictureView(turn=24.0, rise=47.0)


@dataclass(frozen=True, slots=True)
class PixelCanvas:
    """Paper of `columns` x `rows` dots; left, low: its corner on the table (to the right, up), mm; scale: dots/mm."""

    columns: int
    rows: int
    left: float
    low: float
    scale: float

    def finer(self, times: int) -> PixelCanvas:
        """Return the same paper with more dots."""
        return PixelCanvas(self.columns * times, self.rows * times, self.left, self.low, self.scale * times)

    def columns_only(self, first: int, end: int) -> PixelCanvas:
        """Return the strip of the paper from column `first` up to `end`."""
        return PixelCanvas(end - first, self.rows, self.left + first / self.scale, self.low, self.scale)

    def rows_only(self, count: int) -> PixelCanvas:
        """Return paper of the same width with `count` rows, its corner where it was."""
        return PixelCanvas(self.columns, count, self.left, self.low, self.scale)

    def centred(self, view: PictureView, at: tuple[float, float]) -> PixelCanvas:
        """Return the same paper with a point of the face in its middle."""
        u, v = view.turned(*at)
        left, low = u - self.columns / 2 / self.scale, v * view.lift - self.rows / 2 / self.scale
        return PixelCanvas(self.columns, self.rows, left, low, self.scale)


def box_of(grid: Grid) -> Box:
    """Return left, bottom, right, top of a grid, mm."""
    return grid.x0, grid.y0, grid.x0 + grid.size[0], grid.y0 + grid.size[1]


def canvas_for(
    view: PictureView, box: Box, thickness: float, width: int, height: int | None = None, rim: float = 0.03
) -> PixelCanvas:
    """Return paper that shows a block over `box`, its face at 0 and its underside at -thickness mm.

    width, height: dots; without a height the paper is as high as the block needs. rim: share of the width left free.
    """
    corners = [view.turned(x, y) for x in (box[0], box[2]) for y in (box[1], box[3])]
    left, right = min(u for u, _ in corners), max(u for u, _ in corners)
    low = min(v for _, v in corners) * view.lift - thickness * view.height
    high = max(v for _, v in corners) * view.lift
    scale = width * (1 - 2 * rim) / (right - left)
    if height is None:
        height = max(1, math.ceil((high - low) * scale + 2 * rim * width))
    scale = min(scale, (height - 2 * rim * width) / (high - low))
    middle = (left + right) / 2, (low + high) / 2
    return PixelCanvas(width, height, middle[0] - width / 2 / scale, middle[1] - height / 2 / scale, scale)
