"""What planning keeps of a step serves the next plan where it would come out the same, and nowhere else."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from kit_samples import DEMOS, checked_demo, plugins
from shapely.geometry.base import BaseGeometry
from unplanned import KEEPING, nothing_kept

from kitforge.cutting.settings import WindowLimits
from kitforge.cutting.working import Working
from kitforge.model.kit import Kit
from kitforge.model.plan import Plan
from kitforge.pipeline import load_kit
from kitforge.stages.planning import plan
from kitforge.testing import SmallKit

CHANGES = {
    "a deeper recess": ("depth: 2 mm", "depth: 3 mm"),
    "a larger recess": ("corner_radius: 6 mm", "corner_radius: 8 mm"),
    "a wider line": ("width: 1.5 mm", "width: 2 mm"),
    "a line elsewhere": ("long - border, = tall - border", "long - border - 1, = tall - border"),
    "a skin": ("{ tabs: { width: 8 mm, height: 2 mm } }", "{ onion_skin: 0.4 mm }"),
    "other tabs": ("width: 8 mm, height: 2 mm", "width: 10 mm, height: 3 mm"),
    "tabs with places": ("width: 8 mm, height: 2 mm", "width: 8 mm, height: 2 mm, count: 6"),
    "a thinner cutter": ("kind: up-cut\n    diameter: 1/4 in", "kind: up-cut\n    diameter: 3/16 in"),
    "a pointed bit of another angle": ("angle: 60", "angle: 90"),
    "thicker wood": ("nominal: 12 mm, actual: 12 mm", "nominal: 15 mm, actual: 15 mm"),
    "another wood": ("black_cherry", "white_oak"),
    "grain across": ("grain: length", "grain: width"),
    "another way of holding": ("[masking_tape_glue, double_sided_tape]", "[screws, double_sided_tape]"),
    "one sign": ("count: 2", "count: 1"),
    "larger stock": ("length: 360 mm", "length: 500 mm"),
    "another outline": ("corner_radius: 12 mm", "corner_radius: 14 mm"),
    "roughing and finishing": ("depth: 2 mm", "depth: 2 mm\n        roughing: { leave_walls: 0.3 mm }"),
    "other words": ("Recess for the label", "Place for the label"),
    "a line of comment above all": ("kitforge: 1", "# a comment\nkitforge: 1"),
}  # fmt: skip
LEFT_ALONE = ("other words", "a line of comment above all")
"""Changes after which no step is to be worked out again."""


def planned(kit: Kit) -> Plan:
    return plan(kit, plugins())


def facts(one: object) -> Any:
    """Return all that a plan holds, also what its records do not compare, as something that compares exactly."""
    if isinstance(one, BaseGeometry):
        return one.wkb
    if isinstance(one, WindowLimits):
        return facts(one())
    if isinstance(one, Working):  # it works out, when it is asked, what it was given; the step is in the first of that
        return facts(one.taken[0])
    if isinstance(one, np.ndarray):
        return one.shape, one.tobytes()
    if isinstance(one, tuple | list):
        return [facts(each) for each in one]
    if isinstance(one, dict):
        return [(facts(key), facts(value)) for key, value in one.items()]
    if dataclasses.is_dataclass(one) and not isinstance(one, type):
        return [type(one).__name__, *(facts(getattr(one, field.name)) for field in dataclasses.fields(one))]
    return repr(one)


@pytest.fixture
def kit_of(tmp_path: Path) -> Callable[[str, str], Kit]:
    """Return the starter kit with one text of it changed."""

    def changed(old: str, new: str) -> Kit:
        kit = SmallKit(tmp_path / "kit")
        return load_kit((kit.change(old, new) if old else kit).folder, plugins())

    return changed


@pytest.mark.parametrize("name", CHANGES)
def test_a_plan_after_a_change_is_that_of_a_first_look(name: str, kit_of: Callable[[str, str], Kit]) -> None:
    before, after = kit_of("", ""), kit_of(*CHANGES[name])
    with nothing_kept():
        first = planned(after)
    with nothing_kept():
        planned(before)
        again = planned(after)
    assert facts(again) == facts(first)


@pytest.mark.parametrize("name", LEFT_ALONE)
def test_words_and_lines_leave_every_step_as_it_was_worked_out(name: str, kit_of: Callable[[str, str], Kit]) -> None:
    with nothing_kept():
        before = planned(kit_of("", ""))
        worked_out = [one.cache_info().misses for one in KEEPING]
        after = planned(kit_of(*CHANGES[name]))
        assert [one.cache_info().misses for one in KEEPING] == worked_out
    assert all(a.cut is b.cut for a, b in zip(before.steps, after.steps, strict=True))
    assert facts(after) != facts(before)  # its words and lines are the new ones


def test_a_deeper_recess_leaves_the_other_steps_alone(kit_of: Callable[[str, str], Kit]) -> None:
    with nothing_kept():
        planned(kit_of("", ""))
        worked_out = [one.cache_info().misses for one in KEEPING]
        planned(kit_of(*CHANGES["a deeper recess"]))
        more = [one.cache_info().misses - was for one, was in zip(KEEPING, worked_out, strict=True)]
    assert dict(zip(("steps", "what keeps it", "moves", "sheets"), more, strict=True)) == {
        "steps": 1, "what keeps it": 0, "moves": 1, "sheets": 1,
    }  # fmt: skip


QUICK = ("herb-planter", "nest-box")
"""Two that turn over or lie on several boards; `make soak` takes all."""


@pytest.mark.parametrize("name", [pytest.param(one, marks=() if one in QUICK else pytest.mark.soak) for one in DEMOS])
def test_a_demo_kit_is_planned_again_as_at_first(name: str) -> None:
    kit = checked_demo(name).kit
    with nothing_kept():
        first, again = planned(kit), planned(kit)
    assert facts(again) == facts(first)


def test_no_more_is_kept_than_a_kit_has() -> None:
    """A maker follows a kit all day; what is kept must not grow with it."""
    assert all(0 < (one.cache_info().maxsize or 0) <= 256 for one in KEEPING)
