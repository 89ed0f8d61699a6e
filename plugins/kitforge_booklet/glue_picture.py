"""The picture of a glue-up: strips with their rings seen from the end, and from above with clamps."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kitforge.language import say
from kitforge.pictures.drawn.placing import words_width
from kitforge.print.svg import BLUE, GREY, INK, TEXT, SvgCanvas, num

if TYPE_CHECKING:
    from kitforge.print.figures import Units
    from kitforge.print.svg import Picture

_WIDTH, _TALLEST = 174.0, 62.0
_WOOD, _END = "#f3e6cf", "#ead7b6"
_THICK = 11.0


def glue_picture(strips: int, width: float, length: float, clamps: int, units: Units) -> Picture:
    """Return the plan of a glue-up of `strips` strips, each `width` x `length` mm, under `clamps` clamps."""
    across = str(units.length(width, 0).main)
    left, top = 62.0, 4.0
    beside = max(8.0, 3.0 + words_width(across, TEXT))  # the words stand right of the strips
    room = _WIDTH - left - beside
    scale = min(room / length, _TALLEST / (strips * width))
    long, wide = length * scale, width * scale
    canvas = SvgCanvas(_WIDTH, max(strips * wide, 28.0) + 10.0)
    _draw_ends(canvas, strips)
    for index in range(strips):
        y = top + index * wide
        canvas.box(left, y, long, wide, fill=_WOOD, stroke=INK)
        _draw_grain(canvas, left, y, long, wide)
    _draw_mark(canvas, left, top, long, strips * wide)
    for index in range(clamps):
        x = left + 5 + (long - 10) * index / (clamps - 1)
        _draw_clamp(canvas, x, top, strips * wide, above=index % 2 == 0)
    canvas.text(left + long + 2, top + wide / 2 + 1, across, fill=GREY)
    canvas.text(left + long / 2, canvas.height - 0.8, str(units.length(length, 0)), anchor="middle", fill=GREY)
    alt = say(
        "Plan of the glue-up: {strips} strips side by side, their growth rings arching up and down in turn, under "
        "{clamps} clamps that lie above and below in turn.",
        strips=strips,
        clamps=clamps,
    )
    return canvas.finish(alt)


def _draw_ends(canvas: SvgCanvas, strips: int) -> None:
    """The ends of the strips side by side, with the rings turned about from one to the next."""
    wide = min(24.0, 56.0 / strips)
    for index in range(strips):
        x, y = index * wide + 0.3, 9.0
        canvas.box(x, y, wide, _THICK, fill=_END, stroke=INK)
        _draw_rings(canvas, x, y, wide, up=index % 2 == 0)


def _draw_rings(canvas: SvgCanvas, x: float, y: float, wide: float, *, up: bool) -> None:
    """Arcs that leave the strip's two sides at one height and rise, or sink, in its middle."""
    for share in (0.15, 0.38, 0.61):
        rise = 0.28 * _THICK
        start = y + _THICK * (1 - share) if up else y + _THICK * share
        middle = start - 2 * rise if up else start + 2 * rise
        low, high = y + 0.4, y + _THICK - 0.4
        middle = min(max(middle, low - rise), high + rise)
        canvas.path(
            f"M{num(x + 0.2)} {num(start)}Q{num(x + wide / 2)} {num(middle)} {num(x + wide - 0.2)} {num(start)}",
            stroke="#8a6a3f",
            width=0.25,
        )
    tip = y - 1.5 if up else y + _THICK + 1.5
    way = -3.5 if up else 3.5
    head = 1.2 if up else -1.2
    middle_x = x + wide / 2
    canvas.line(middle_x, tip, middle_x, tip + way, stroke=BLUE)
    canvas.path(f"M{num(middle_x - 0.9)} {num(tip + way + head)}L{num(middle_x)} {num(tip + way)}L{num(middle_x + 0.9)} {num(tip + way + head)}", stroke=BLUE, width=0.3)  # noqa: E501  # fmt: skip


def _draw_grain(canvas: SvgCanvas, x: float, y: float, long: float, wide: float) -> None:
    """Rising fibres, the same way in every strip."""
    for share in (0.3, 0.55, 0.8):
        at = y + wide * share
        canvas.line(
            x + 2, at + min(0.8, wide * 0.06), x + long - 2, at - min(0.8, wide * 0.06), stroke="#cdb284", width=0.2
        )


def _draw_mark(canvas: SvgCanvas, x: float, y: float, long: float, tall: float) -> None:
    """The carpenter's triangle across all strips."""
    a, b, c = x + long * 0.42, x + long * 0.5, x + long * 0.58
    canvas.path(
        f"M{num(a)} {num(y + tall - 2)}L{num(b)} {num(y + 2)}L{num(c)} {num(y + tall - 2)}Z", stroke=GREY, width=0.4
    )


def _draw_clamp(canvas: SvgCanvas, x: float, y: float, tall: float, *, above: bool) -> None:
    """A bar across the strips with its jaws; a bar that lies below is dashed."""
    canvas.path(
        f"M{num(x)} {num(y - 1.6)}V{num(y + tall + 1.6)}", stroke=BLUE, width=1.1, dash="" if above else "2 1.4"
    )
    for jaw in (y - 1.8, y + tall + 0.4):
        canvas.box(x - 2.2, jaw, 4.4, 1.4, fill=BLUE)
