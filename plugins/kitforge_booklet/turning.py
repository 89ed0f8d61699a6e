"""Cutting from both faces: how the piece is turned, and how it finds its place again."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kitforge.geometry.transform import mirrored
from kitforge.language import inside, render_text, say
from kitforge.model.kit import Face
from kitforge.model.lines import Line, Use, line
from kitforge.model.path import circle
from kitforge.pictures.drawn.drawing import face_words
from kitforge.pictures.drawn.features import is_feature
from kitforge.planning.layers import step_layers
from kitforge.print.figures import stock_title
from kitforge.print.svg import BLUE, GREY, INK, VERMILLION, PlanView, SvgCanvas, num, path_data

if TYPE_CHECKING:
    from collections.abc import Sequence

    from kitforge.model.kit import Kit, Stock
    from kitforge.model.path import Path
    from kitforge.model.plan import Placement, Plan, PlannedSetup, TurningHole
    from kitforge.print.figures import Units
    from kitforge.print.svg import Picture

_WIDTH, _WIDEST, _TALLEST, _BETWEEN, _STOP = 174.0, 56.0, 48.0, 44.0, 5.0
"""The picture, the largest piece in it, what lies between the two, and a stop beside a piece, mm."""
_ABOVE, _BELOW = 8.0, 11.0
_FRONT_MARK = 0.82
"""Where the mark F stands along the front, as a share of the length, before the piece is turned."""
OFF = 0.2
"""How far the cutter may stand beside what is cut already, after turning over or a stop, mm."""


@dataclass(frozen=True, slots=True)
class Turning:
    """How one stock is turned over: picture, what it shows, and what to do."""

    title: str
    picture: Picture
    caption: str
    steps: tuple[Line, ...]


def turnings(kit: Kit, plan: Plan, units: Units) -> tuple[Turning, ...]:
    """Return how each stock that is cut from both faces is turned over."""
    pieces: dict[tuple[str, int], list[PlannedSetup]] = {}
    for planned in plan.setups:
        pieces.setdefault(planned.key[:2], []).append(planned)
    turned = [found for found in pieces.values() if len(found) > 1]
    first = {found[0].stock.key: found for found in reversed(turned)}
    alike = Counter(found[0].stock.key for found in turned)
    return tuple(
        _turning(kit, found, _hole(plan, found) if alike[key] == 1 else None, plan, units)
        for key, found in reversed(first.items())
    )


def _hole(plan: Plan, setups: Sequence[PlannedSetup]) -> TurningHole | None:
    return next((hole for hole in plan.turning if hole.sheets == setups[0].sheets), None)


def _turning(kit: Kit, setups: Sequence[PlannedSetup], hole: TurningHole | None, plan: Plan, units: Units) -> Turning:
    stock = setups[0].stock
    return Turning(
        title=stock_title(stock),
        picture=_picture(kit, setups, hole),
        caption=say(
            "The piece turns about its middle line from front to back (dash-dot), like a page. The stop along the "
            "front and the mark F stay in front; the stop at the left meets the other end."
        )
        + (f" {say('Black: the hole for the check.')}" if hole is not None else ""),
        steps=_steps(stock, setups[0].face, hole, plan, units),
    )


def _steps(stock: Stock, first_face: Face, hole: TurningHole | None, plan: Plan, units: Units) -> tuple[Line, ...]:
    first = say("underside up") if first_face is Face.BOTTOM else say("upper face up")
    return (
        line(
            say(
                "Before the first cut measure the length of the piece at the front and at the back: {length}, both "
                "alike to {off}. What is amiss shifts everything on the other face by as much.",
                length=units.length(stock.length, 1),
                off=units.length(OFF, 1),
            ),
            "steel_rule",
        ),
        line(
            say(
                "Screw two straight strips to the spoilboard with two screws each, one along the front edge and one "
                "along the left end, and write F on the front edge of the piece. Push the piece into the corner: "
                "{first}.",
                first=first,
            ),
            Use("strip", 2),
            Use("strip_screw", 4),
            "screwdriver",
            "pencil",
        ),
        *_drill_words(hole, plan, units),
        line(
            say(
                "When all steps of this face are done, lift the piece straight up, vacuum spoilboard and strips, turn "
                "it over from left to right so that F stays in front, and push it into the same corner."
            ),
            "vacuum_cleaner",
        ),
        line(say("X0 Y0 stays where it was, at the corner of the strips. Set Z0 anew on the face that is now up.")),
        line(_check_words(stock, hole, units)),
    )


def _drill_words(hole: TurningHole | None, plan: Plan, units: Units) -> tuple[Line, ...]:
    if hole is None:
        return ()
    place = step_layers(plan, hole.step)[0]
    words = say(
        "After step {number}, before you change the cutter, drill the hole that the check needs, through the waste: "
        "layer {layer} of {drawing}.dxf, with the {cutter} and the settings of the check hole on the settings sheet, "
        "straight down at X {x}, Y {y} to {depth} below the face.",
        number=hole.step.number,
        layer=place.layer,
        drawing=place.drawing,
        cutter=inside(render_text(hole.step.cutter.name)),
        x=units.length(hole.first[0], 1),
        y=units.length(hole.first[1], 1),
        depth=units.length(hole.step.depth, 1),
    )
    return (line(words),)


def _check_words(stock: Stock, hole: TurningHole | None, units: Units) -> str:
    off = units.length(OFF, 1)
    if hole is None:
        return say(
            "Check before you cut: with the spindle off, move the cutter to X {x}, Y 0. It must stand over the far end "
            "of the front edge to within {off}; if it does not, the piece lies wrong or is not as long as it should "
            "be.",
            x=units.length(stock.length, 1),
            off=off,
        )
    return say(
        "Check before you cut: with the spindle off, move the cutter to X {x}, Y {y}. It must stand over the hole to "
        "within {off}; if it does not, the piece lies wrong or is not as long as it should be.",
        x=units.length(hole.second[0], 1),
        y=units.length(hole.second[1], 1),
        off=off,
    )


def _picture(kit: Kit, setups: Sequence[PlannedSetup], hole: TurningHole | None) -> Picture:
    """The piece in its true proportions with its parts, before and after it is turned; the same corner for both."""
    stock, (first, second) = setups[0].stock, (setups[0], setups[1])
    scale = min(_WIDEST / stock.length, _TALLEST / stock.width)
    wide, tall = stock.length * scale, stock.width * scale
    canvas = SvgCanvas(_WIDTH, _ABOVE + tall + _BELOW)
    left = (_WIDTH - 2 * wide - _BETWEEN - _STOP) / 2 + _STOP
    for planned, x in ((first, left), (second, left + wide + _BETWEEN)):
        view = PlanView(scale, x, _ABOVE + tall)
        _draw_stops(canvas, x, _ABOVE, wide, tall)
        canvas.box(x, _ABOVE, wide, tall, fill="#f3e6cf" if planned is first else "#ead7b6", stroke=INK)
        _draw_parts(canvas, kit, planned, view)
        if hole is not None:
            spot = hole.first if planned is first else hole.second
            canvas.disc(view.x(spot[0]), view.y(spot[1]), max(0.6, hole.step.cutter.radius * scale), fill=INK)
        _draw_marks(canvas, x, _ABOVE, wide, tall, face_words(planned.face))
        front = x + wide * (_FRONT_MARK if planned is first else 1 - _FRONT_MARK)
        canvas.text(front, _ABOVE + tall - 1.2, "F", size=4, anchor="middle", bold=True, halo=True)
    _draw_way(canvas, left + wide + _BETWEEN / 2, _ABOVE + tall / 2)
    return canvas.finish(
        say(
            "Two views from above: first the {first} is up, then the piece is turned about its middle line from front "
            "to back and the {second} is up. It lies in the same corner of two stops, its mark F in front.",
            first=face_words(first.face),
            second=face_words(second.face),
        )
    )


def _draw_stops(canvas: SvgCanvas, x: float, y: float, wide: float, tall: float) -> None:
    canvas.box(x - 4.5, y - 2, 4, tall + 6.5, fill="#d6d6d4")
    canvas.box(x - 4.5, y + tall + 0.5, wide + 6.5, 4, fill="#d6d6d4")


def _draw_parts(canvas: SvgCanvas, kit: Kit, planned: PlannedSetup, view: PlanView) -> None:
    """The outlines on the first piece, and what is cut into the face that is up or through it."""
    for place in planned.sheets[0].placements if planned.sheets else ():
        part = kit.part(place.part)
        seen = [one for one in part.operations if is_feature(one) and (one.face is planned.face or one.through)]
        lies = [_as_it_lies(path, place, planned) for one in seen for path in one.shapes if path.vertices]
        outline = _as_it_lies(part.outline, place, planned)
        canvas.path(path_data([outline], view), fill="#ffffff", stroke=INK, width=0.35)
        canvas.path(path_data(lies, view), stroke=GREY, width=0.2)
        for one in seen:
            for x, y in one.points:
                dot = _as_it_lies(circle(x, y, one.cutter.radius), place, planned)
                canvas.path(path_data([dot], view), stroke=GREY, width=0.2)


def _as_it_lies(path: Path, place: Placement, planned: PlannedSetup) -> Path:
    """Return a path of a part where it lies on the piece with this face up."""
    there = place.path(path)
    return there if planned.face is Face.TOP else mirrored(there, 90.0, planned.stock.length / 2, 0.0)


def _draw_marks(canvas: SvgCanvas, x: float, y: float, wide: float, tall: float, name: str) -> None:
    """The line about which it turns, the zero, and which face is up."""
    middle, front = num(x + wide / 2), y + tall
    canvas.path(f"M{middle} {num(y - 3)}V{num(front + 3)}", stroke=VERMILLION, width=0.35, dash="3 0.8 0.6 0.8")
    canvas.text(x + wide / 2, y - 4.2, name, size=3.2, anchor="middle")
    canvas.path(f"M{num(x)} {num(front)}h9M{num(x)} {num(front)}v-9", stroke=BLUE, width=0.7)
    canvas.disc(x, front, 1.5, fill="#ffffff", stroke=INK)
    canvas.text(x - 3.8, front + 9.5, "X0 Y0", size=3, bold=True)


def _draw_way(canvas: SvgCanvas, x: float, y: float) -> None:
    """A curved arrow from the first view to the second, about the middle (x, y) between them."""
    canvas.path(f"M{num(x - 17)} {num(y + 2)}c8 -15 22 -15 30 -2", stroke=GREY, width=0.9)
    canvas.path(f"M{num(x + 14.6)} {num(y + 2.6)}l-4 -3l4 -2z", fill=GREY)
    canvas.text(x - 2, y + 8, say("turn over"), size=3.2, anchor="middle", fill=GREY)
    canvas.text(x - 2, y + 12.2, say("left to right"), size=3.2, anchor="middle", fill=GREY)
