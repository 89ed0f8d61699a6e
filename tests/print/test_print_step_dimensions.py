"""The dimensions in the plan of a step: distances on the nominal shape, no figure over another one or over a line."""

from __future__ import annotations

import itertools
import math
import re
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING
from xml.etree import ElementTree

import pytest
from kit_samples import DEMOS, sample
from shapely import LineString, Point, box

from kitforge.model.kit import Face, OperationKind, Side
from kitforge.pictures.drawn.part import step_picture
from kitforge.pictures.drawn.placing import Ground, words_width
from kitforge.pictures.drawn.plan_dimensions import WORDS
from kitforge.pictures.drawn.plan_sizes import plan_sizes
from kitforge.planning.sizes import follows_lines
from kitforge.print.figures import Units

if TYPE_CHECKING:
    from collections.abc import Iterator

    from shapely.geometry.base import BaseGeometry

    from kitforge.model.kit import Operation, Part
    from kitforge.model.steps import Step
    from kitforge.pictures.drawn.plan_sizes import Distance, PlanSizes

KITS = [
    *DEMOS,
    *(f"random-{seed}" for seed in range(1, 3)),
    *(pytest.param(f"random-{seed}", marks=pytest.mark.soak) for seed in range(3, 7)),
]
ROOMS = ((58.0, 46.0), (30.0, 27.0), (28.0, 21.0))
MOST = 14
"""So many steps of a kit are drawn."""
MM, BOTH = Units("mm", both=False), Units("mm", both=True)


def number(words: str) -> float:
    found = re.search(r"\d[\d.]*(?= mm)", words)
    assert found is not None, words
    return float(found[0])


def lying(part: Part, face: Face, at: float) -> float:
    """An X of the part, as it lies."""
    return at if face is Face.TOP else 2 * part.outline.bounds.centre[0] - at


def first_middle(operation: Operation) -> tuple[float, float] | None:
    """Where the first of what is cut has its middle, from the lines as drawn; None for what has none of its own."""
    if operation.points:
        return operation.points[0]
    path = next(path for path in operation.nominal if path.vertices)
    if follows_lines(operation) and not path.closed and (len(path.pieces()) > 1 or path.pieces()[0].is_arc):
        return path.start
    pieces = path.pieces()
    square = all(piece.is_arc or abs(piece.x1 - piece.x0) < 1e-6 or abs(piece.y1 - piece.y0) < 1e-6 for piece in pieces)
    return path.bounds.centre if square else None


def zero(part: Part) -> tuple[float, float]:
    b = part.outline.bounds
    on = b.left - 1 <= 0 <= b.right + 1 and b.bottom - 1 <= 0 <= b.top + 1
    return (0.0, 0.0) if on else (b.left, b.bottom)


def wrong(step: Step, sizes: PlanSizes) -> Iterator[str]:
    """Say which printed distances are none of the nominal shape."""
    part, operation = step.part, step.operation
    for axis, one in ((0, sizes.across), (1, sizes.up)):
        if one is None:
            continue
        if abs(number(str(one.words)) - one.size) > 0.006:
            yield f"{step.key} prints {one.words} for {one.size}"
        if not sizes.placed:
            yield from wrong_over_all(step, axis, one)
            continue
        middle = first_middle(operation)
        if middle is not None:
            here = lying(part, step.face, middle[0]) if axis == 0 else middle[1]
            if abs(abs(here - zero_of(step)[axis]) - one.size) > 0.01:
                yield f"{step.key}: {one.size} along {'XY'[axis]}, and its middle lies at {here}"


def zero_of(step: Step) -> tuple[float, float]:
    return zero(step.part)


def wrong_over_all(step: Step, axis: int, one: Distance) -> Iterator[str]:
    boxes = [path.bounds for path in step.operation.nominal if path.vertices]
    if step.operation.does is not OperationKind.ENGRAVE:
        boxes = boxes[:1]
    low = min((b.left, b.bottom)[axis] for b in boxes)
    high = max((b.right, b.top)[axis] for b in boxes)
    if abs(high - low - one.size) > 0.01:
        yield f"{step.key}: {one.size} along {'XY'[axis]}, and its lines reach from {low} to {high}"


@dataclass(frozen=True)
class Seen:
    """What stands on a plan: figures with their boxes, and the straight lines of dimensions, leaders and outline."""

    words: list[tuple[str, BaseGeometry]]
    lines: list[LineString]
    paper: BaseGeometry


def seen(svg: str) -> Seen:
    root = ElementTree.fromstring(svg)
    words, lines = [], []
    for one in root.iter():
        if one.tag.endswith("text") and one.get("stroke") is None:
            words.append((one.text or "", text_box(one)))
        if one.tag.endswith("path") and one.get("stroke") == "#1a1a1a" and one.get("stroke-width") in ("0.18", "0.35"):
            lines += straight_lines(one.get("d", ""))
    _, _, width, height = map(float, root.get("viewBox", "").split())
    return Seen(words, lines, box(0, 0, width, height))


def text_box(one: ElementTree.Element) -> BaseGeometry:
    x, y, size = (float(one.get(key, "0")) for key in ("x", "y", "font-size"))
    wide, tall = words_width(one.text or "", size), 0.66 * size
    left = {"middle": -wide / 2, "end": -wide}.get(one.get("text-anchor", ""), 0.0)
    corners = (left, -tall, left + wide, 0.0)
    if one.get("transform"):  # turned to be read from the right
        corners = (-tall, -left - wide, 0.0, -left)
    return box(x + corners[0], y + corners[1], x + corners[2], y + corners[3])


def straight_lines(data: str) -> list[LineString]:
    spots: list[tuple[str, tuple[float, float]]] = []
    for letter, figures in re.findall(r"([MLA])([^MLAZ]*)", data):
        values = [float(value) for value in re.findall(r"-?[\d.]+", figures)]
        spots.append((letter, (values[-2], values[-1])))
    return [LineString([a, b]) for (_, a), (letter, b) in itertools.pairwise(spots) if letter == "L" and a != b]


def overprinted(found: Seen) -> Iterator[str]:
    """Say which figures stand on another one, on a line or over the edge of the picture."""
    for (one, its), (two, other) in itertools.combinations(found.words, 2):
        if its.intersects(other):
            yield f"'{one}' and '{two}'"
    for words, its in found.words:
        if not found.paper.buffer(0.05).contains(its):
            yield f"'{words}' runs out of the picture"
        if any(line.intersects(its.buffer(-0.1)) for line in found.lines):
            yield f"'{words}' on a line"


@cache
def plans(name: str) -> tuple[tuple[Step, str], ...]:
    """The plans of a kit, at the sizes of the booklet's pages."""
    return tuple(drawn(name))


def drawn(name: str) -> Iterator[tuple[Step, str]]:
    steps = sample(name).plan.steps
    for step in steps[:MOST]:
        earlier = [one for one in steps if one.number < step.number and one.part.key == step.part.key]
        for width, height in ROOMS:
            yield step, step_picture(step, earlier, width, height, True, BOTH).svg


@pytest.mark.parametrize("name", KITS)
def test_every_distance_of_a_plan_is_one_of_the_nominal_shape(name: str) -> None:
    steps = sample(name).plan.steps
    assert [said for step in steps for said in wrong(step, plan_sizes(step, MM))] == []


@pytest.mark.parametrize("name", KITS)
def test_no_figure_of_a_plan_stands_on_another_one_or_on_a_line(name: str) -> None:
    assert [f"{step.key}: {said}" for step, svg in plans(name) for said in overprinted(seen(svg))] == []


@pytest.mark.parametrize("name", KITS)
def test_no_circle_of_a_plan_is_cut_off(name: str) -> None:
    """The mark of a zero that lies beside its part would be: a part may be drawn anywhere in its file."""
    assert [step.key for step, svg in plans(name) for disc in discs(svg) if not seen(svg).paper.covers(disc)] == []


def discs(svg: str) -> Iterator[BaseGeometry]:
    for x, y, radius in re.findall(r"M([-\d.]+) ([-\d.]+)a([\d.]+) [\d.]+ 0 1 0", svg):
        yield Point(float(x) + float(radius), float(y)).buffer(float(radius))


@pytest.mark.parametrize("name", KITS)
def test_every_step_has_figures_in_its_plan(name: str) -> None:
    """The distances, and the size of what has one."""
    for step, svg in plans(name):
        sizes = plan_sizes(step, BOTH)
        if step.operation.whole:
            continue
        figures = [words for words, _ in seen(svg).words if " mm" in words]
        wanted = [one.words for one in (sizes.across, sizes.up) if one is not None]
        assert all(any(str(words).startswith(figure.split(" (")[0]) for figure in figures) for words in wanted)
        size = sizes.size
        wide = words_width(size.main, WORDS) if size is not None else 0.0
        small = wide > seen(svg).paper.bounds[2] - 1.5  # no picture holds words wider than it is
        assert size is None or small or any(size.main == figure.split(" (")[0] for figure in figures), step.key


def test_figures_that_stand_anywhere_are_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    """The property sees the fault that it is to see."""
    monkeypatch.setattr(Ground, "is_free", lambda *_given: True)
    monkeypatch.setattr(Ground, "ink", lambda *_given: 0.0)
    monkeypatch.setattr(Ground, "has_ink", lambda *_given: False)
    assert [said for _, svg in drawn("nest-box") for said in overprinted(seen(svg))]


def test_a_distance_that_includes_the_relief_is_seen() -> None:
    """Half a millimetre more than the lines as drawn is no distance of the shape."""
    from dataclasses import replace

    step = next(one for one in sample("nest-box").plan.steps if one.operation.side is Side.OUTSIDE)
    sizes = plan_sizes(step, MM)
    assert sizes.across is not None
    wider = replace(sizes, across=replace(sizes.across, high=sizes.across.high + 0.5))
    assert list(wrong(step, sizes)) == []
    assert len(list(wrong(step, wider))) == 2


def test_figures_are_told_in_words_too() -> None:
    step = next(one for one in sample("bedside-lamp").plan.steps if one.operation.points)
    alt = step_picture(step, (), 58, 46, None, BOTH).alt
    assert "Size: 2 × Ø 2 mm (Ø 0.079 in)." in alt
    assert re.search(r"From the datum along X: [\d.]+ mm \([\d.]+ in\)\.", alt)


def test_math_of_a_quarter_turn() -> None:
    """Words that are turned are as long upwards as level ones are across."""
    turned = ElementTree.fromstring('<text x="5" y="10" font-size="3" text-anchor="middle" transform="r">12 mm</text>')
    left, low, right, high = text_box(turned).bounds
    assert math.isclose(high - low, words_width("12 mm", 3))
    assert right == 5
    assert left < 5
