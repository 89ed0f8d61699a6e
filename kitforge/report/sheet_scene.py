"""One piece of stock from above with the copies of the parts on it, fasteners and their keep-out circles."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from kitforge.language import render_text, say
from kitforge.model.path import Path, Vertex
from kitforge.model.piece import Bounds
from kitforge.print.svg import INK, NARROW, WIDE, PlanView, SvgCanvas, circle_data, num, path_data
from kitforge.report.part_scene import BODY, meets
from kitforge.report.wording import plain

if TYPE_CHECKING:
    from kitforge.model.holds import FastenerPlace
    from kitforge.model.kit import Kit
    from kitforge.model.plan import Placement, PlannedSetup, Sheet
    from kitforge.report.records import Point

_KEEP_OUT = "#0072b2"
_BEYOND = 0.3
_MOST_PIECES = 50_000


@dataclass(frozen=True, slots=True)
class SheetScene:
    """The drawing of one sheet of one setup in the sheet's coordinates."""

    kit: Kit
    setup: PlannedSetup
    sheet: Sheet

    @property
    def bounds(self) -> Bounds:
        """The stock, and what lies beside it by no more than a third of its size."""
        stock = self.sheet.stock
        reach = max(stock.length, stock.width) * _BEYOND
        xs, ys = [0.0, stock.length], [0.0, stock.width]
        for left, bottom, right, top in (*self._copies(), *((f.x, f.y, f.x, f.y) for f in self.setup.fasteners)):
            xs += [min(max(x, -reach), stock.length + reach) for x in (left, right)]
            ys += [min(max(y, -reach), stock.width + reach) for y in (bottom, top)]
        return Bounds(min(xs), min(ys), max(xs), max(ys))

    def _copies(self) -> list[Bounds]:
        return [lying.box(self.kit.part(lying.part).outline.bounds) for lying in self.sheet.placements]

    @property
    def words(self) -> str:
        """What the drawing shows, in words."""
        stock, parts, points = self.sheet.stock, len(self.sheet.placements), len(self.setup.fasteners)
        return say(
            "Layout of {stock}, {length} by {width} mm, from above with {parts} parts and {points} fasteners or clamps",
            stock=render_text(stock.title), length=f"{stock.length:.0f}", width=f"{stock.width:.0f}",
            parts=str(parts), points=str(points),
        )  # fmt: skip

    def draw(self, canvas: SvgCanvas, view: PlanView, window: Bounds | None = None) -> None:
        """Draw stock, parts with their names, and fasteners."""
        stock = self.sheet.stock
        canvas.box(
            view.x(0), view.y(stock.width), stock.length * view.scale, stock.width * view.scale, fill=BODY, stroke=INK
        )
        boxes = zip(self.sheet.placements, self._copies(), strict=True)
        shown = [lying for lying, box in boxes if window is None or meets(box, window)]
        boxy = sum(len(self.kit.part(lying.part).outline.vertices) for lying in shown) > _MOST_PIECES
        for lying in shown:
            own = self.kit.part(lying.part).outline
            outline = lying.path(rectangle_of(own.bounds) if boxy else own)
            canvas.path(path_data([outline], view), fill="#ffffff", stroke=INK, width=WIDE)
        for lying in shown:
            self._name(canvas, view, lying)
        for place in self.setup.fasteners:
            _draw_fastener(canvas, place, view)

    def _name(self, canvas: SvgCanvas, view: PlanView, lying: Placement) -> None:
        part = self.kit.part(lying.part)
        title, box = plain(part.title, 40), lying.box(part.outline.bounds)
        if len(title) * 1.6 < box.width * view.scale and box.height * view.scale > 4.0:
            canvas.text(view.x(box.centre[0]), view.y(box.centre[1]) + 1.1, title, size=3.0, anchor="middle")

    def is_small(self, at: Point) -> bool:
        """Whether a gap between two parts at this place is too narrow to be seen."""
        return not any(abs(f.x - at[0]) < 0.1 and abs(f.y - at[1]) < 0.1 for f in self.setup.fasteners) and any(
            min(abs(at[0] - left), abs(at[0] - right)) < 3.0 or min(abs(at[1] - bottom), abs(at[1] - top)) < 3.0
            for left, bottom, right, top in self._copies()
            if left - 3.0 < at[0] < right + 3.0 and bottom - 3.0 < at[1] < top + 3.0
        )


def rectangle_of(box: Bounds) -> Path:
    """Return a box as a path; it stands for an outline where there are too many pieces to draw."""
    corners = ((box.left, box.bottom), (box.right, box.bottom), (box.right, box.top), (box.left, box.top))
    return Path(tuple(Vertex(*corner) for corner in corners))


def _draw_fastener(canvas: SvgCanvas, place: FastenerPlace, view: PlanView) -> None:
    x, y, arm = view.x(place.x), view.y(place.y), 1.1
    if place.keep_out > 0:
        ring = circle_data(x, y, place.keep_out * view.scale)
        canvas.path(ring, stroke=_KEEP_OUT, width=NARROW, dash="0.9 0.7")
    lines = (
        f"M{num(x - arm)} {num(y - arm)}l{num(2 * arm)} {num(2 * arm)}m0 {num(-2 * arm)}l{num(-2 * arm)} {num(2 * arm)}"
    )
    canvas.path(lines, stroke=INK, width=0.5)
