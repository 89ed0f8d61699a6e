"""The section of a part: its figures are the planned ones and those of the wood; nothing stands on others."""

from __future__ import annotations

import math
import re
from collections import Counter
from dataclasses import dataclass, replace
from functools import cache
from typing import TYPE_CHECKING
from xml.etree import ElementTree

import morris
import pytest
from kit_samples import DEMOS, sample
from shapely import LineString, Point
from shapely.affinity import translate
from test_print_step_dimensions import text_box

from kitforge.model.kit import Face, OperationKind
from kitforge.pictures.drawn.drawing import dimensioned_drawing, drawing_scale, next_scale
from kitforge.pictures.drawn.features import is_depth
from kitforge.pictures.drawn.part_section import part_section
from kitforge.pictures.drawn.pen import Pen
from kitforge.pictures.drawn.section_layout import SCALES, laid_out, sheet_of
from kitforge.pictures.drawn.section_plane import section_plane
from kitforge.pictures.drawn.stations import frame_at
from kitforge.pictures.drawn.views import face_views
from kitforge.planning.facing import covers
from kitforge.planning.walls import walls_of
from kitforge.print.figures import Units, scale_words
from kitforge.surface.cutter_shape import slope
from kitforge_booklet.drawings import drawings

if TYPE_CHECKING:
    from collections.abc import Iterator

    from shapely.geometry.base import BaseGeometry

    from kitforge.model.kit import Part
    from kitforge.pictures.drawn.part_section import PartSection
    from kitforge.pictures.drawn.views import FaceView

OFTEN = ("wall-clock", "nest-box", "puzzle-tray", "random-1", "random-2")
"""The kits of every run: a turned hollow with a slot, boards with grooves and bevels, a tray of many hollows."""
KITS = [
    name if name in OFTEN else pytest.param(name, marks=pytest.mark.soak)
    for name in (*DEMOS, *(f"random-{seed}" for seed in range(1, 9)))
]
MM = Units("mm", both=False)
WIDTH, TALLEST = 174.0, 250.0
TIMES = 2
"""So many scales of each part are drawn."""


@dataclass(frozen=True)
class Cut:
    """A part with its section, and the view that it is shown in."""

    part: Part
    section: PartSection
    view: FaceView


@cache
def cuts(name: str) -> tuple[Cut, ...]:
    kit, plan = sample(name).kit, sample(name).plan
    found = [(part, part_section(part, plan.steps_of(part.key), face_views(part))) for part in kit.parts]
    return tuple(Cut(part, *one) for part, one in found if one is not None)


@cache
def drawings_of(name: str) -> tuple[tuple[Cut, str, str, str], ...]:
    """The drawings of a kit's parts, each without and with its section."""
    return tuple((cut, *one) for cut in cuts(name) for one in drawn(cut))


def drawn(cut: Cut) -> Iterator[tuple[str, str, str]]:
    """What is drawn of a part, its drawings without and with the section, at some scales and in large print."""
    for grow in (1.0, 1.35):
        scale = drawing_scale(cut.view, MM, WIDTH, TALLEST, grow)
        for _ in range(TIMES):
            plain, whole = (
                dimensioned_drawing(cut.view, MM, WIDTH, TALLEST, grow, scale, one).svg for one in (None, cut.section)
            )
            if plain != whole:
                yield f"{cut.part.key} {scale_words(scale)} {grow}", plain, whole
            scale = next_scale(scale)


def words_of(svg: str) -> list[tuple[str, BaseGeometry]]:
    root = ElementTree.fromstring(svg)
    return [
        (one.text or "", text_box(one)) for one in root.iter() if one.tag.endswith("text") and not one.get("stroke")
    ]


def lines_of(svg: str) -> list[LineString]:
    """The straight lines of outlines, edges, dimensions and leaders."""
    root = ElementTree.fromstring(svg)
    inked = [one for one in root.iter() if one.tag.endswith("path") and one.get("stroke") == "#1a1a1a"]
    return [line for one in inked for line in straight(one.get("d", ""))]


def straight(data: str) -> Iterator[LineString]:
    """The straight lines of a path of absolute, and of level or upright relative ones."""
    here = start = (0.0, 0.0)
    for letter, figures in re.findall(r"([MLHVAahvZz])([^MLHVAahvZz]*)", data):
        there = reached(letter, [float(value) for value in re.findall(r"-?[\d.]+", figures)], here, start)
        if letter == "M":
            start = there
        elif letter not in "Aa" and there != here:
            yield LineString([here, there])
        here = there


def reached(
    letter: str, values: list[float], here: tuple[float, float], start: tuple[float, float]
) -> tuple[float, float]:
    if letter in "Zz":
        return start
    if letter in "Hh":
        return values[0] + (here[0] if letter == "h" else 0.0), here[1]
    if letter in "Vv":
        return here[0], values[0] + (here[1] if letter == "v" else 0.0)
    if letter == "a":
        return here[0] + values[-2], here[1] + values[-1]
    return values[-2], values[-1]


def told(svg: str) -> list[str]:
    return [words for words, _ in words_of(svg)]


def level_at(section: PartSection, at: float, *, below: bool) -> float | None:
    """How deep the wood of a section lies at a place, from one of its faces; None where there is none."""
    upright = LineString([(at, -2 * section.thickness), (at, section.thickness)]).intersection(section.wood)
    if upright.is_empty:
        return None
    _, low, _, high = upright.bounds
    return low + section.thickness if below else -high


def crossed(cut: Cut) -> set[tuple[Face, float]]:
    """The depths whose floors the wood of the section shows for a millimetre or more inside their own lines."""
    plane = section_plane(cut.part)
    assert plane is not None
    box = cut.part.outline.bounds
    low, high = (box.left, box.right) if plane.along_x else (box.bottom, box.top)
    line = LineString([(low, plane.at), (high, plane.at)] if plane.along_x else [(plane.at, low), (plane.at, high)])
    mirror = cut.view.face is Face.BOTTOM and plane.along_x
    shift = cut.section.ends[0] - low
    found = set()
    for removal in walls_of(cut.part).cuts:
        operation = cut.part.operation(removal.operation)
        if not is_depth(operation) or covers(operation, cut.part):
            continue
        depth = cut.part.finished_depth(operation)
        inside = removal.area.intersection(line)
        at = [low + 0.25 * step for step in range(int((high - low) / 0.25))]
        here = [x for x in at if inside.covers(Point(x, plane.at) if plane.along_x else Point(plane.at, x))]
        seen = [(low + high - x if mirror else x) + shift for x in here]
        levels = [level_at(cut.section, x, below=operation.face is not cut.view.face) for x in seen]
        if sum(level is not None and abs(level - depth) < 0.02 for level in levels) >= 5:
            found.add((operation.face, round(depth, 2)))
    return found


@pytest.mark.parametrize("name", KITS)
def test_every_part_with_depths_has_a_section_and_no_other_but_for_a_shaped_edge(name: str) -> None:
    shown = {cut.part.key for cut in cuts(name)}
    for part in sample(name).kit.parts:
        deep = [one for one in part.operations if is_depth(one) and not covers(one, part)]
        edge = any(one.does is OperationKind.CHAMFER for one in part.operations)
        assert (part.key in shown) <= bool(deep or edge)
        if any(one.does in (OperationKind.POCKET, OperationKind.DRILL, OperationKind.DISH) for one in deep) or edge:
            assert part.key in shown


@pytest.mark.parametrize("name", KITS)
def test_every_figure_of_a_section_is_a_planned_depth_or_the_thickness(name: str) -> None:
    for cut in cuts(name):
        planned = {
            (one.face is not cut.view.face, round(cut.part.finished_depth(one), 2))
            for one in cut.part.operations
            if is_depth(one)
        }
        assert {(one.below, round(one.depth, 2)) for one in cut.section.depths} <= planned
        wanted = Counter([cut.section.letter, cut.section.letter, cut.section.name, MM.length(cut.part.thickness).main])
        wanted += Counter(MM.length(one.depth).main for one in cut.section.depths)
        for other, key, plain, whole in drawings_of(name):
            more = Counter(told(whole)) - Counter(told(plain))
            if other is cut:
                assert {words: count for words, count in more.items() if "\u00a0:\u00a0" not in words} == dict(
                    wanted
                ), key


@pytest.mark.parametrize("name", KITS)
def test_every_depth_that_the_plane_crosses_has_its_figure(name: str) -> None:
    for cut in cuts(name):
        figures = {(one.below, round(one.depth, 2)) for one in cut.section.depths}
        assert {(face is not cut.view.face, depth) for face, depth in crossed(cut)} <= figures, cut.part.key


@pytest.mark.parametrize("name", KITS)
def test_the_wood_lies_as_deep_at_a_figure_as_it_says(name: str) -> None:
    """On cells of a tenth of a millimetre or more; a point rises by its slope within half of one."""
    for cut in cuts(name):
        steepest = max((slope(one.cutter) for one in cut.part.operations if is_depth(one)), default=0.0)
        low, high = cut.section.ends
        allowed = 0.03 + steepest * max(0.1, (high - low) / 4000)
        for one in cut.section.depths:
            for run in one.runs[:1]:
                level = level_at(cut.section, sum(run) / 2, below=one.below)
                assert level == pytest.approx(one.depth, abs=allowed), (cut.part.key, one.title)
        assert cut.section.wood.bounds[1] >= -cut.part.thickness - 0.01
        assert cut.section.wood.bounds[3] <= 0.01


@pytest.mark.parametrize("name", KITS)
def test_no_word_of_a_section_stands_on_another_one_on_a_line_or_over_the_edge(name: str) -> None:
    found = [(key, said) for cut, key, _, svg in drawings_of(name) for said in overprinted(cut, svg)]
    assert found == []


def overprinted(cut: Cut, svg: str) -> Iterator[str]:
    words, lines = words_of(svg), lines_of(svg)
    root = ElementTree.fromstring(svg)
    _, _, width, height = map(float, root.get("viewBox", "").split())
    letter = cut.section.letter
    own = {MM.length(one.depth).main for one in cut.section.depths}
    own |= {MM.length(cut.part.thickness).main, cut.section.name, letter}
    for index, (one, its) in enumerate(words):
        left, top, right, bottom = its.bounds
        if left < -0.05 or top < -0.05 or right > width + 0.05 or bottom > height + 0.05:
            yield f"'{one}' runs out of the picture"
        for two, other in words[index + 1 :]:
            if (one in own or two in own) and its.intersects(other):
                yield f"'{one}' and '{two}'"
        if one in own and one != letter and any(line.intersects(its.buffer(-0.1)) for line in lines):
            yield f"'{one}' on a line"


def test_words_that_are_moved_onto_others_are_seen() -> None:
    (cut,) = cuts("wall-clock")
    _, _, svg = next(drawn(cut))
    assert list(overprinted(cut, svg)) == []
    assert list(overprinted(cut, svg.replace(">17.5 mm<", ' dx="0">17.5 mm<').replace(' y="', ' y="-')))


def test_a_figure_that_is_off_is_seen() -> None:
    """The wood of a section whose floor is said a millimetre deeper does not lie there."""
    (cut,) = cuts("wall-clock")
    one = cut.section.depths[0]
    assert level_at(cut.section, sum(one.runs[0]) / 2, below=one.below) != pytest.approx(one.depth + 1, abs=0.1)
    raised = replace(cut.section, wood=translate(cut.section.wood, 0, 1))
    assert level_at(raised, sum(one.runs[0]) / 2, below=False) == pytest.approx(one.depth - 1, abs=0.1)


@pytest.mark.parametrize("name", KITS)
def test_a_section_has_the_scale_of_the_plan_or_a_larger_one_of_the_standard_that_is_said(name: str) -> None:
    """ISO 5455; smaller only where a turned section would be longer than the page is wide."""
    for cut in cuts(name):
        scale = drawing_scale(cut.view, MM, WIDTH, TALLEST)
        for _ in range(TIMES):
            frame = frame_at(cut.view.part, scale, MM, Pen(), cut.section.along_x)
            sheet = sheet_of(cut.view.part, frame, WIDTH, cut.section, MM, Pen())
            svg = dimensioned_drawing(cut.view, MM, WIDTH, TALLEST, 1.0, scale, cut.section).svg
            if sheet.section is not None:
                own = sheet.section.layout.scale
                same = math.isclose(own, scale)
                assert same or own in SCALES
                assert (scale_words(own) in told(svg)) is not same
            scale = next_scale(scale)


def test_the_plane_of_the_clock_runs_through_all_that_hangs_it() -> None:
    """Up the middle: the movement, the plate, its screws and the slot from below, the marks of 12 and 6 from above."""
    (cut,) = cuts("wall-clock")
    assert (cut.section.along_x, cut.section.at, cut.view.face) == (False, 0.0, Face.BOTTOM)
    assert sorted((one.depth, one.below) for one in cut.section.depths) == [
        (2.0, False), (2.5, True), (10.0, False), (12.0, False), (17.5, False),
    ]  # fmt: skip


def test_a_plane_through_a_round_hollow_goes_through_its_deepest_point() -> None:
    """The dimples are cut by a ball: beside their middles they are not as deep."""
    plane = section_plane(morris.BOARD)
    assert plane is not None
    assert {one.operation.title for one in plane.crossed} >= {"Dimples for the pieces"}


def test_a_part_that_is_cut_through_only_has_no_section() -> None:
    assert {cut.part.key for cut in cuts("nest-box")} == {"back", "front", "roof"}
    assert {cut.part.key for cut in cuts("plant-stand")} == {"top"}


def test_beside_the_plan_y_rises_up_the_page_and_below_it_x_runs_to_the_right() -> None:
    (cut,) = cuts("wall-clock")
    beside, below = (laid_out(cut.section, 0.2, MM, Pen(), beside=one) for one in (True, False))
    assert beside.along(100.0) < beside.along(0.0)
    assert below.along(100.0) > below.along(0.0)
    assert (beside.turned, below.turned) == (False, True)
    (board,) = cuts("morris-board")
    beside, below = (laid_out(board.section, 0.2, MM, Pen(), beside=one) for one in (True, False))
    assert (beside.turned, below.turned) == (True, False)


def test_a_section_that_has_no_room_is_left_out_at_a_loss() -> None:
    """So that it never costs a page: each scale is there without it, at the loss of more than one step."""
    made = sample("wall-clock")
    choices = [one for one in drawings(made.kit, MM, 1.0, made.plan).choices if one.last == one.first + 1]
    (cut,) = cuts("wall-clock")
    with_section = {one.loss for one in choices if cut.section.name in one.drawings[-1].picture.svg}
    without = {one.loss for one in choices if cut.section.name not in one.drawings[-1].picture.svg}
    assert len({tuple(row.letter for page in one.drawings for row in page.rows) for one in choices}) == 1
    assert with_section
    assert without == {loss + 2 for loss in with_section}


def test_a_section_is_told_in_words() -> None:
    (cut,) = cuts("wall-clock")
    alt = dimensioned_drawing(cut.view, MM, WIDTH, TALLEST, 1.0, 0.2, cut.section).alt
    assert f"Section {cut.section.name} along Y" in alt
    assert "Thickness: 24 mm." in alt
    assert "Recess for the movement: 17.5 mm deep." in alt
    assert "Marks of the hours: 2.5 mm deep, from the face that is turned away." in alt
