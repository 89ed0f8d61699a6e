"""Ways whose depth changes: their lengths, turns and plunges, and how long they take."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from signs import operation, resolved, text

from kitforge.model.kit import Kit, OperationKind
from kitforge.model.settings import CutSettings
from kitforge.model.steps import Step, StepSettings
from kitforge.model.travel import travel_along
from kitforge.planning.step_geometry import step_geometry_of
from kitforge.planning.steps import steps_of
from kitforge.workshop.load import load_workshop
from kitforge_settings.adapter import settings_of
from kitforge_settings.timing import step_seconds

MACHINE = load_workshop().machines["heavy_router"]
NUMBERS = st.integers(-500, 500).map(lambda tenths: tenths / 10)


@given(st.lists(st.tuples(NUMBERS, NUMBERS), min_size=2, max_size=8, unique=True), NUMBERS)
def test_an_even_depth_changes_nothing(way: list[tuple[float, float]], depth: float) -> None:
    flat = travel_along([np.array(way)])
    deep = travel_along([np.array([(x, y, depth) for x, y in way])])
    assert np.allclose(flat.lengths, deep.lengths)
    assert np.allclose(flat.angles, deep.angles, atol=1e-4)


def test_lengths_and_turns_are_those_in_space() -> None:
    """Along 3 mm and down 4 mm are 5 mm (Pythagoras); level after it is a turn of atan(4/3)."""
    way = travel_along([np.array([(0, 0, 0), (3, 0, 4), (6, 0, 4.0)])])
    assert way.lengths.tolist() == [5.0, 3.0]
    assert pytest.approx([0, 180 - math.degrees(math.atan2(4, 3))]) == way.angles.tolist()
    assert (way.starts, way.deepest) == (1, 4.0)


def test_a_point_with_a_depth_is_a_plunge() -> None:
    way = travel_along([np.array([(1.0, 2.0, 3.0)]), np.array([(0, 0, 0), (3, 0, 4.0)])])
    assert (way.starts, way.length, way.deepest) == (2, 5.0, 4.0)


def test_a_flat_way_has_no_depth_of_its_own() -> None:
    assert travel_along([np.array([(0.0, 0.0), (3.0, 0.0)])]).deepest is None


def timed(kit: Kit, way: list[tuple[float, float, float]], **change: float) -> tuple[Step, StepSettings, float]:
    """The engraving of a kit with another way: the step, its settings, and its short time in seconds."""
    step = next(step for step in steps_of(kit) if step.operation.does is OperationKind.ENGRAVE)
    travel = travel_along([np.array(way)])
    step = replace(step, travel=travel, depth=max(point[2] for point in way), plunges=travel.starts)
    found = settings_of(kit, step, MACHINE)
    assert isinstance(found, StepSettings)
    assert found.detail is not None
    window = replace(found.detail.depth_per_pass, start=change.get("per_pass", found.detail.depth_per_pass.start))
    detail = replace(found.detail, depth_per_pass=window, passes=int(change.get("passes", found.passes)))
    return step, found, seconds_of(kit, step, detail)


def seconds_of(kit: Kit, step: Step, found: CutSettings) -> float:
    """The short time of one copy and all of them."""
    return step_seconds(step, step_geometry_of(kit, step).visits, MACHINE, found)[0]


@pytest.fixture(scope="module")
def kit(tmp_path_factory: pytest.TempPathFactory) -> Kit:
    """A sign."""
    return resolved(tmp_path_factory.mktemp("sign"), operation(text("H")))


def test_a_level_engraving_takes_as_long_as_a_groove(kit: Kit) -> None:
    level = [(60.0, 40.0, 1.0), (160.0, 40.0, 1.0), (160.0, 90.0, 1.0)]
    step, found, seconds = timed(kit, level)
    groove = replace(
        step,
        operation=replace(step.operation, does=OperationKind.GROOVE),
        travel=travel_along([np.array([point[:2] for point in level])]),
    )
    assert found.detail is not None
    assert pytest.approx(seconds_of(kit, groove, found.detail), rel=1e-6) == seconds


def test_a_second_layer_runs_only_where_it_goes_deeper(kit: Kit) -> None:
    """Of a way that falls evenly from 0 to 2 mm, half lies below 1 mm."""
    falling = [(60.0, 40.0, 0.0), (260.0, 40.0, 2.0)]
    level = [(60.0, 40.0, 2.0), (260.0, 40.0, 2.0)]
    once = timed(kit, falling, passes=1, per_pass=2.0)[2]
    twice = timed(kit, falling, passes=2, per_pass=1.0)[2]
    both = timed(kit, level, passes=2, per_pass=1.0)[2]
    assert once < twice < both
    assert pytest.approx(1.5, abs=0.12) == 2 * twice / both


def test_a_steep_way_is_held_back_by_the_z_axis(kit: Kit) -> None:
    """Down 40 mm over 1 mm cannot be faster than the Z axis of the class."""
    steep = [(60.0, 40.0, 0.0), (61.0, 40.0, 4.0), (62.0, 40.0, 0.0)] * 20
    gentle = [(60.0 + 0.2 * n, 40.0, 0.0) for n in range(60)]
    slow, quick = timed(kit, steep)[2], timed(kit, gentle)[2]
    assert slow > 20 * 8 / (MACHINE.plunge_limit / 60)
    assert slow > quick


def test_the_kit_s_own_time_is_that_of_its_ways(tmp_path: Path) -> None:
    """Twice the text takes about twice the time."""
    times = []
    for words in ("OAK", "OAKOAK"):
        kit = resolved(tmp_path, operation(text(words, height="15 mm")))
        step = next(step for step in steps_of(kit) if step.operation.does is OperationKind.ENGRAVE)
        found = settings_of(kit, step, MACHINE)
        assert isinstance(found, StepSettings)
        times.append(found.seconds[0])
    assert pytest.approx(2.0, abs=0.3) == times[1] / times[0]
