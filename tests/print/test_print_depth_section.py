"""The section through the cut of a step: its depths are those of the step, no figure stands on another or a line."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

import pytest
from kit_samples import DEMOS, sample
from shapely.affinity import translate
from test_print_step_dimensions import number, overprinted, seen

from kitforge.pictures.drawn import depth_section as sections
from kitforge.pictures.drawn.depth_section import depth_section, section_of
from kitforge.print.figures import Units, scale_words
from kitforge.surface.cutter_shape import reach_at

if TYPE_CHECKING:
    from test_print_step_dimensions import Seen

    from kitforge.model.steps import Step

KITS = [
    *DEMOS,
    *(f"random-{seed}" for seed in range(1, 4)),
    *(pytest.param(f"random-{seed}", marks=pytest.mark.soak) for seed in range(4, 13)),
]
ROOMS = ((18.5, 46.0), (30.0, 21.0))
BOTH = Units("mm", both=True)


@cache
def sections_of(name: str) -> tuple[tuple[Step, Seen], ...]:
    """What stands on the sections of the steps of a kit, in each room."""
    steps = sample(name).plan.steps
    return tuple((step, seen(depth_section(step, BOTH, *room).svg)) for step in steps for room in ROOMS)


@pytest.mark.parametrize("name", KITS)
def test_a_section_says_how_deep_the_step_goes_and_how_thick_the_wood_is(name: str) -> None:
    for step, found in sections_of(name):
        words = [words for words, _ in found.words if " mm" in words]
        assert [number(one) for one in words] == pytest.approx([step.depth, step.wood], abs=0.006), step.key


@pytest.mark.parametrize("name", KITS)
def test_no_figure_of_a_section_stands_on_another_one_or_on_a_line(name: str) -> None:
    assert [f"{step.key}: {said}" for step, one in sections_of(name) for said in overprinted(one)] == []


@pytest.mark.parametrize("name", KITS)
def test_what_is_cut_away_is_as_deep_as_the_step_and_as_wide_as_the_cut(name: str) -> None:
    """As wide as the cutter cuts there at least; where it goes through, it comes out of the wood."""
    for step in sample(name).plan.steps:
        one = section_of(step)
        left, low, right, _ = sections._cut(step, one, 3.0).bounds
        assert low == pytest.approx(-step.depth, abs=1e-4)
        assert left == pytest.approx(3.0)
        assert right - left >= 2 * reach_at(step.cutter, step.depth) - 1e-6
        assert (low < -one.wood) == (step.into_spoilboard > 0), step.key


def test_a_scale_is_said_and_kept() -> None:
    """A groove of 4 mm in wood of 19 mm at 1 : 2."""
    step = next(one for one in sample("nest-box").plan.steps if not one.through)
    picture = depth_section(step, BOTH, 30.0, 21.0)
    found = seen(picture.svg)
    said = scale_words(0.5)
    assert said in [words for words, _ in found.words]
    assert said in picture.alt
    levels = sorted({round(y, 2) for line in found.lines for x, y in line.coords})
    face = next(level for level in levels if any(abs(other - level - step.wood / 2) < 0.02 for other in levels))
    assert any(abs(level - face - step.depth / 2) < 0.02 for level in levels)


@pytest.mark.parametrize("height", [46.0, 100.0, 300.0])
def test_nothing_is_empty_above_a_section(height: float) -> None:
    """It once was as tall as its room and stood at the foot of it, far below what it belongs to on other pages."""
    for step in sample("wall-clock").plan.steps:
        picture = depth_section(step, BOTH, 18.5, height)
        found = seen(picture.svg)
        top = min([shape.bounds[1] for _, shape in found.words] + [line.bounds[1] for line in found.lines])
        assert picture.height <= height
        assert top < 3.0, step.key


def test_figures_that_are_moved_onto_each_other_are_seen() -> None:
    step = sample("nest-box").plan.steps[0]
    found = seen(depth_section(step, BOTH, 30.0, 21.0).svg)
    (one, its), *others = found.words
    (_, other), *_ = others
    (x, y), (u, v) = (shape.centroid.coords[0] for shape in (its, other))
    found.words[0] = (one, translate(its, u - x, v - y))
    assert list(overprinted(found))
