"""Cutting from both faces: how the piece is turned, and how it finds its place again."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from kitforge.kit import Face
from kitforge.language import say
from kitforge.print.figures import stock_title
from kitforge.print.pictures.svg import BLUE, GREY, INK, VERMILLION, Canvas, num

if TYPE_CHECKING:
    from kitforge.kit import Kit, Stock
    from kitforge.plan import Plan
    from kitforge.print.figures import Units
    from kitforge.print.pictures.svg import Picture

_WIDTH = 174.0
_OFF = 0.2


@dataclass(frozen=True, slots=True)
class Turning:
    """How one stock is turned over: picture, what it shows, and what to do."""

    title: str
    picture: Picture
    caption: str
    steps: tuple[str, ...]


def turnings(kit: Kit, plan: Plan, units: Units) -> tuple[Turning, ...]:
    """Return how each stock that is cut from both faces is turned over."""
    faces: dict[str, list[Face]] = {}
    for planned in plan.setups:
        faces.setdefault(planned.stock.key, []).append(planned.face)
    return tuple(_turning(kit.stock[key], seen, units) for key, seen in faces.items() if len(seen) > 1)


def _turning(stock: Stock, faces: list[Face], units: Units) -> Turning:
    return Turning(
        title=stock_title(stock),
        picture=_picture(first_bottom=faces[0] is Face.BOTTOM),
        caption=say(
            "The piece turns about its middle line from front to back (dash-dot), like a page. The stop along the "
            "front and the mark F stay in front; the stop at the left meets the other end."
        ),
        steps=_steps(stock, faces, units),
    )


def _steps(stock: Stock, faces: list[Face], units: Units) -> tuple[str, ...]:
    first = say("underside up") if faces[0] is Face.BOTTOM else say("upper face up")
    return (
        say(
            "Before the first cut measure the length of the piece at the front and at the back: {length}, both alike "
            "to {off}. What is amiss shifts everything on the other face by as much.",
            length=units.length(stock.length, 1),
            off=units.length(_OFF, 1),
        ),
        say(
            "Screw two straight strips to the spoilboard, one along the front edge and one along the left end, and "
            "write F on the front edge of the piece. Push the piece into the corner: {first}.",
            first=first,
        ),
        say(
            "When all steps of this face are done, lift the piece straight up, vacuum spoilboard and strips, turn it "
            "over from left to right so that F stays in front, and push it into the same corner."
        ),
        say("X0 Y0 stays where it was, at the corner of the strips. Set Z0 anew on the face that is now up."),
        say(
            "Check before you cut: with the spindle off, move the cutter over a hole or edge that goes through. It "
            "must stand over it to within {off}.",
            off=units.length(_OFF, 1),
        ),
    )


def _picture(*, first_bottom: bool) -> Picture:
    canvas = Canvas(_WIDTH, 46.0)
    names = (say("underside"), say("upper face")) if first_bottom else (say("upper face"), say("underside"))
    _draw_piece(canvas, 12.0, names[0], hole_left=True)
    _draw_piece(canvas, 116.0, names[1], hole_left=False)
    _draw_way(canvas)
    return canvas.finish(
        say(
            "Two views from above: first the {first} is up, then the piece is turned about its middle line from front "
            "to back and the {second} is up. It lies in the same corner of two stops, its mark F in front.",
            first=names[0],
            second=names[1],
        )
    )


def _draw_piece(canvas: Canvas, x: float, name: str, *, hole_left: bool) -> None:
    y, wide, tall = 5.0, 46.0, 31.0
    canvas.box(x - 4.5, y - 2, 4, tall + 6.5, fill="#d6d6d4")
    canvas.box(x - 4.5, y + tall + 0.5, wide + 6.5, 4, fill="#d6d6d4")
    canvas.box(x, y, wide, tall, fill="#f3e6cf" if hole_left else "#ead7b6", stroke=INK)
    canvas.path(
        f"M{num(x + wide / 2)} {num(y - 3)}V{num(y + tall + 3)}", stroke=VERMILLION, width=0.35, dash="3 0.8 0.6 0.8"
    )
    canvas.disc(x + (11 if hole_left else wide - 11), y + 11, 3.2, fill="#ffffff", stroke=INK)
    canvas.text(x + wide / 2, y + tall - 2, "F", size=4, anchor="middle", bold=True, halo=True)
    canvas.text(x + wide / 2, y + 18.5, name, size=3.2, anchor="middle", halo=True)
    canvas.path(f"M{num(x)} {num(y + tall)}h9M{num(x)} {num(y + tall)}v-9", stroke=BLUE, width=0.7)
    canvas.disc(x, y + tall, 1.5, fill="#ffffff", stroke=INK)
    canvas.text(x - 3.8, y + tall + 9.5, "X0 Y0", size=3, bold=True)


def _draw_way(canvas: Canvas) -> None:
    """A curved arrow from the first view to the second."""
    canvas.path("M70 24C78 9 92 9 100 22", stroke=GREY, width=0.9)
    canvas.path("M101.6 24.6L97.6 21.6L101.6 19.6Z", fill=GREY)
    canvas.text(85, 31, say("turn over"), size=3.2, anchor="middle", fill=GREY)
    canvas.text(85, 35.2, say("left to right"), size=3.2, anchor="middle", fill=GREY)
