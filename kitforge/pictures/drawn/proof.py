"""The grooves of a proof strip from above, with their numbers and the layer of each."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kitforge.language import say
from kitforge.print.svg import BLUE, CUT_TINT, INK, NARROW, Picture, PlanView, SvgCanvas, num

if TYPE_CHECKING:
    from kitforge.model.coupon import ProofStrip

_LEFT, _BESIDE, _ROUND = 6.0, 22.0, 3.0


def proof_picture(strip: ProofStrip, width: float, height: float) -> Picture:
    """Return a proof strip, at most so wide and high, mm; the slowest groove lies lowest."""
    rows = len(strip.feeds)
    tall = (rows - 1) * strip.pitch
    scale = min((width - _LEFT - _BESIDE) / strip.length, (height - 2 * _ROUND - 4) / max(tall, 1.0), 1.0)
    view = PlanView(scale, _LEFT, _ROUND + 2 + tall * scale)
    canvas = SvgCanvas(_LEFT + strip.length * scale + _BESIDE, 2 * _ROUND + 4 + tall * scale)
    thick = min(0.6 * strip.pitch * scale, 3.4)
    for number, layer in enumerate(strip.layers, 1):
        y, end = view.y((number - 1) * strip.pitch), view.x(strip.length)
        canvas.path(f"M{num(view.x(0))} {num(y)}H{num(end)}", stroke=INK, width=thick)
        canvas.path(f"M{num(view.x(0))} {num(y)}H{num(end)}", stroke=CUT_TINT, width=thick - 2 * NARROW)
        canvas.text(_LEFT - 3.5, y + 1.0, str(number), anchor="middle", bold=True)
        canvas.text(end + 3.0, y + 1.0, layer, size=2.8, fill=BLUE)
    words = say(
        "{count} straight grooves side by side, the slowest lowest, each with the name of its layer.", count=rows
    )
    return canvas.finish(words)
