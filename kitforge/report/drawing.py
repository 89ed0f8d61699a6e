"""A section's drawing: the scene to scale, numbered signs with leaders, a scale bar, and details below it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING
from xml.sax.saxutils import escape, quoteattr

from kitforge.language import decimal, say, say_many
from kitforge.model.piece import Bounds
from kitforge.model.units import plain_number
from kitforge.print.svg import INK, PAPER, Picture, PlanView, SvgCanvas, circle_data, num
from kitforge.report.details import SIDE, Detail, details_for
from kitforge.report.labels import LabelArea, settle
from kitforge.report.records import MarkedSpot
from kitforge.report.signs import REACH, draw_sign
from kitforge.report.wording import plain

if TYPE_CHECKING:
    from kitforge.report.records import ListedFinding, ReportScene, Section

WIDTH = 160.0
_MARGIN = 12.0
_TALLEST = 84.0
_LARGEST = 2.0
_BAR = 9.0
_GAP = 3.8
_CAPTION = 5.0
_ACROSS = 4
ROW = SIDE + _CAPTION + _GAP
"""Height of a row of details with its caption, mm."""

MOST = 150
"""Signs in one drawing at most; further findings stand in the list alone."""

CAPTION_SIZE = 2.7
"""Letters of a detail's caption, mm."""

_NAMED = 3
"""Findings that a caption of a detail names; more do not fit below it."""

_AXES = "#0072b2"
FONT = "'Source Sans Pro', sans-serif"


@dataclass(frozen=True, slots=True)
class NumberLabel:
    """A number as it is drawn: the place it points at and where its sign lies, mm of paper."""

    spot: MarkedSpot
    place: tuple[float, float]
    sign: tuple[float, float]
    beyond: bool = False


@dataclass(frozen=True, slots=True)
class FinishedDrawing:
    """A finished drawing: the plan and the rows of details below it, as SVG elements without their roots.

    height: of the plan alone, mm; every row of details takes ROW more.
    """

    plan: str
    rows: tuple[str, ...]
    height: float
    words: str
    signs: tuple[NumberLabel, ...]
    details: tuple[Detail, ...]
    view: PlanView

    @property
    def shown(self) -> frozenset[int]:
        """The numbers that are in the drawing."""
        return frozenset(sign.spot.number for sign in self.signs)

    @property
    def full_height(self) -> float:
        """Height of the plan with all details, mm."""
        return self.height + len(self.rows) * ROW

    @property
    def body(self) -> str:
        """The plan with all details below it, as SVG elements."""
        below = (
            f'<g transform="translate(0 {num(self.height + index * ROW)})">\n{row}\n</g>'
            for index, row in enumerate(self.rows)
        )
        return "\n".join((self.plan, *below))

    def svg(self, over: str = "") -> str:
        """Return plan and details as one SVG element, 1 unit to 1 mm of paper. over: more elements, on top of all."""
        return _root(f"{self.body}\n{over}" if over else self.body, self.full_height, self.words)

    def pictures(self) -> tuple[Picture, ...]:
        """Return the plan and each row of details as a picture of its own, so that a page can end between them."""
        plan = Picture(_root(self.plan, self.height, self.words), self.words, WIDTH, self.height)
        words = say("Details of: {what}", what=self.words)
        return plan, *(Picture(_root(row, ROW, words), words, WIDTH, ROW) for row in self.rows)


def draw_section(section: Section, *, linked: bool = False) -> FinishedDrawing | None:
    """Return the drawing of a section that has a scene. linked: signs are links to the rows '#f1', '#f2', ..."""
    if section.scene is None:
        return None
    scene, spots = section.scene, _spots(section.entries, section.scene)
    bounds = scene.bounds
    view, height = _view(bounds)
    details = details_for(spots, view.scale)
    canvas = SvgCanvas(WIDTH, height + _BAR)
    scene.draw(canvas, view)
    _draw_origin(canvas, bounds, view)
    _draw_frames(canvas, details, view)
    signs = _signs(spots, view, LabelArea(0.3, 0.3, WIDTH - 0.3, height))
    _draw_signs(canvas, signs, linked=linked)
    _draw_bar(canvas, view.scale, height + 3.0)
    rows = tuple(_detail_row(scene, details[n : n + _ACROSS], section.key) for n in range(0, len(details), _ACROSS))
    return FinishedDrawing(
        "\n".join(canvas.parts), rows, canvas.height, _words(scene, signs), signs, tuple(details), view
    )


def _root(body: str, height: float, words: str) -> str:
    size = f'width="{num(WIDTH)}mm" height="{num(height)}mm" viewBox="0 0 {num(WIDTH)} {num(height)}"'
    root = f'<svg xmlns="http://www.w3.org/2000/svg" {size} font-family={quoteattr(FONT)} role="group" '
    return f"{root}aria-label={quoteattr(words)}>\n<title>{escape(words)}</title>\n{body}\n</svg>"


def _detail_row(scene: ReportScene, details: Sequence[Detail], key: str) -> str:
    canvas = SvgCanvas(WIDTH, ROW)
    for index, detail in enumerate(details):
        _draw_detail(canvas, scene, detail, 0.3 + index * (SIDE + _GAP), 0.3, key)
    return "\n".join(canvas.parts)


def _spots(entries: Sequence[ListedFinding], scene: ReportScene) -> list[MarkedSpot]:
    placed = [(entry, entry.mark) for entry in entries if entry.mark is not None][:MOST]
    return [
        MarkedSpot(entry.number, entry.finding.severity, *mark, small=entry.at is not None and scene.is_small(mark))
        for entry, mark in placed
    ]


def _view(bounds: Bounds) -> tuple[PlanView, float]:
    """Return the view that shows the bounds with room for signs round them, and the height it takes."""
    width, height = max(bounds.width, 1.0), max(bounds.height, 1.0)
    scale = min((WIDTH - 2 * _MARGIN) / width, _TALLEST / height, _LARGEST)
    left = (WIDTH - bounds.width * scale) / 2 - bounds.left * scale
    return PlanView(scale, left, _MARGIN + bounds.top * scale), bounds.height * scale + 2 * _MARGIN


def _signs(spots: Sequence[MarkedSpot], view: PlanView, frame: LabelArea) -> tuple[NumberLabel, ...]:
    inner = LabelArea(frame.left + REACH, frame.top + REACH, frame.right - REACH, frame.bottom - REACH)
    wanted = [(view.x(spot.x), view.y(spot.y)) for spot in spots]
    places = [inner.nearest(*place) for place in wanted]
    settled = settle(places, frame, REACH)
    return tuple(
        NumberLabel(spot, place, sign, beyond=place != want)
        for spot, want, place, sign in zip(spots, wanted, places, settled, strict=True)
        if sign is not None
    )


def _draw_signs(canvas: SvgCanvas, signs: Sequence[NumberLabel], *, linked: bool) -> None:
    for one in signs:
        (x, y), (sx, sy) = one.place, one.sign
        for colour, width in ((PAPER, 0.8), (INK, 0.3)):
            canvas.line(x, y, sx, sy, stroke=colour, width=width)
        if one.beyond:
            canvas.path(circle_data(x, y, 1.0), fill=PAPER, stroke=INK, width=0.3, dash="0.4 0.4")
        else:
            canvas.path(circle_data(x, y, 0.6), fill=INK, stroke=PAPER, width=0.25)
    for one in signs:
        spot = one.spot
        name = f"{spot.severity.value} {spot.number}"
        tag = f'<a id="m{spot.number}" href="#f{spot.number}" class="sign" data-n="{spot.number}" aria-label="{name}">'
        canvas.parts.append(tag if linked else f'<g id="m{spot.number}">')
        draw_sign(canvas, spot.severity, *one.sign, spot.number)
        canvas.parts.append("</a>" if linked else "</g>")


def _draw_origin(canvas: SvgCanvas, bounds: Bounds, view: PlanView) -> None:
    """Draw where places are measured from, if it is near: X to the right, Y away from the reader (ISO 841)."""
    x, y = view.x(0.0), view.y(0.0)
    left, right = view.x(bounds.left) - 1.0, view.x(bounds.right) + 1.0
    if not (left <= x <= right and view.y(bounds.top) - 1.0 <= y <= view.y(bounds.bottom) + 1.0):
        return
    canvas.path(f"M{num(x)} {num(y - 7)}v7h7", stroke=_AXES, width=0.5)
    canvas.path(f"M{num(x + 9)} {num(y)}l-2.4 -0.9v1.8zM{num(x)} {num(y - 9)}l-0.9 2.4h1.8z", fill=_AXES)
    canvas.path(circle_data(x, y, 0.9), fill=PAPER, stroke=_AXES, width=0.4)
    canvas.text(x + 7.4, y + 3.4, "X", size=2.8, fill=_AXES, bold=True)
    canvas.text(x - 2.8, y - 7.2, "Y", size=2.8, fill=_AXES, bold=True)


def _draw_frames(canvas: SvgCanvas, details: Sequence[Detail], view: PlanView) -> None:
    for detail in details:
        side = detail.side * view.scale
        x, y = view.x(detail.x) - side / 2, view.y(detail.y) - side / 2
        canvas.path(f"M{num(x)} {num(y)}h{num(side)}v{num(side)}h{num(-side)}z", stroke="#0072b2", width=0.25)


def _draw_bar(canvas: SvgCanvas, scale: float, y: float) -> None:
    length = _round_length(28.0 / scale)
    width = length * scale
    canvas.path(
        f"M0.5 {num(y - 1)}v2M0.5 {num(y)}h{num(width)}M{num(0.5 + width)} {num(y - 1)}v2", stroke=INK, width=0.3
    )
    canvas.text(width + 2.5, y + 1.0, f"{plain_number(length, 3)} mm", size=2.9)


def _round_length(most: float) -> float:
    """Return the largest of 1, 2, 5, 10, 20, 50, ... mm that is not above `most`."""
    power = 10.0 ** math.floor(math.log10(most))
    return max(step * power for step in (1, 2, 5) if step * power <= most * (1 + 1e-9))


def caption(numbers: Sequence[int], times: float) -> str:
    """Return what stands below a detail: the numbers of its findings and its scale, written as in ISO 5455."""
    named = ", ".join(str(number) for number in numbers[:_NAMED]) + ("…" if len(numbers) > _NAMED else "")
    return say("{numbers}, scale {times} : 1", numbers=named, times=f"{times:.0f}")


def _draw_detail(canvas: SvgCanvas, scene: ReportScene, detail: Detail, x: float, y: float, key: str) -> None:
    """Draw a detail with its frame's upper left corner at (x, y), its numbers beside their places, and a caption."""
    numbers = [spot.number for spot in detail.spots]
    clip = f"detail-{key}-{numbers[0]}"
    scale = SIDE / detail.side
    view = PlanView(scale, x + SIDE / 2 - detail.x * scale, y + SIDE / 2 + detail.y * scale)
    square = f"M{num(x)} {num(y)}h{num(SIDE)}v{num(SIDE)}h{num(-SIDE)}z"
    canvas.parts.append(f'<clipPath id="{clip}"><path d="{square}"/></clipPath><g clip-path="url(#{clip})">')
    canvas.path(square, fill=PAPER)
    half = detail.side / 2
    scene.draw(canvas, view, Bounds(detail.x - half, detail.y - half, detail.x + half, detail.y + half))
    canvas.parts.append("</g>")
    canvas.path(square, stroke="#0072b2", width=0.35)
    frame = LabelArea(x, y, x + SIDE, y + SIDE)
    places = [(view.x(spot.x), view.y(spot.y)) for spot in detail.spots]
    for spot, place, sign in zip(detail.spots, places, settle(places, frame, REACH * 0.75), strict=True):
        canvas.path(circle_data(*place, 1.1), stroke=INK, width=0.35)
        if sign is not None:
            canvas.line(*place, *sign, stroke=INK, width=0.3)
            draw_sign(canvas, spot.severity, *sign, spot.number, size=0.75)
    bar = _round_length(detail.side / 3)
    canvas.text(x, y + SIDE + 3.6, caption(numbers, detail.times), size=CAPTION_SIZE)
    canvas.path(f"M{num(x + SIDE - bar * scale - 1)} {num(y + SIDE - 1.2)}h{num(bar * scale)}", stroke=INK, width=0.5)
    canvas.text(x + SIDE - 1, y + SIDE - 2.0, f"{decimal(plain_number(bar, 3))} mm", size=2.6, anchor="end", halo=True)


def _words(scene: ReportScene, signs: Sequence[NumberLabel]) -> str:
    marked = say_many("one finding is marked", "{count} findings are marked", len(signs))
    return plain(f"{scene.words}; {marked if signs else say('nothing is marked')}.")
