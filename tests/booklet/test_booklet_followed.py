"""What a reader at the bench adds up and does in the printed order: it comes out, and it can be done."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from kit_samples import DEMOS, sample

from kitforge.model.kit import CutterKind, Kit
from kitforge.model.needs import JointNeed
from kitforge.model.plan import Plan
from kitforge.pictures.drawn.shots import shots_of
from kitforge.print.figures import Units, listed, minutes, minutes_together
from kitforge.print.trouble import troubles
from kitforge_booklet.amounts import amounts, finish_amounts
from kitforge_booklet.changing import before_step
from kitforge_booklet.sanding import schedule
from kitforge_booklet.setting_up import joint_thickness, preparations, setting_up

MM, IN = Units("mm", both=False), Units("in", both=False)
FINISHED = [name for name in DEMOS if sample(name).kit.finishing.finish is not None]


def figures_in(words: str) -> list[float]:
    return [float(found) for found in re.findall(r"\d+(?:\.\d+)?", words.replace("\u00a0", ""))]


@given(st.floats(1e3, 2e7), st.sampled_from(FINISHED), st.sampled_from([MM, IN]))
def test_all_coats_take_as_many_times_what_one_takes(area: float, name: str, units: Units) -> None:
    kit = sample(name).kit
    assert kit.finishing.finish is not None
    found = finish_amounts(kit, area, units)
    each, uses = figures_in(found.each), figures_in(found.uses)
    assert [kit.finishing.finish.coats * one for one in each] == pytest.approx(uses)
    assert figures_in(found.buy)[0] >= uses[-1] * 1.149


@pytest.mark.parametrize("name", DEMOS)
def test_paper_is_counted_on_what_the_sanding_table_sands(name: str) -> None:
    made = sample(name)
    shots = shots_of(made.kit, made.plan)
    table = schedule(made.kit, shots, MM)
    if table is None:
        return
    papers = [row for row in amounts(made.kit, made.plan, shots, MM) if row.what.startswith("Abrasive paper")]
    assert [row.grit for row in table.rows] == [row.what.rpartition(" ")[2] for row in papers]
    for row, paper in zip(table.rows, papers, strict=True):
        assert row.where.rpartition(", ")[2] == paper.how.partition(" by hand")[0]


@given(st.lists(st.tuples(st.floats(0, 9000), st.floats(0, 9000)).map(lambda span: (min(span), max(span))), min_size=1))
def test_times_added_are_the_sum_of_the_times_printed(spans: list[tuple[float, float]]) -> None:
    """In minutes, up to those of an hour and a half; a sum is written like any time."""
    together = minutes_together(spans)
    if len(spans) == 1:
        assert together == minutes(spans[0])
    ends = [_minutes(minutes(span)) for span in spans]
    assert _minutes(together) == (sum(low for low, _ in ends), sum(high for _, high in ends))


def _minutes(words: str) -> tuple[int, int]:
    if words == "under 1 min":
        return 0, 0
    ends = re.split(r" to |–", words.removeprefix("about "))
    found = []
    for end in ends:
        hours, rest = re.search(r"(\d+) h", end), re.search(r"(\d+) min", end) or re.search(r"^(\d+)$", end)
        found.append(60 * int(hours[1] if hours else 0) + int(rest[1] if rest else 0))
    return found[0], found[-1]


@pytest.mark.parametrize("name", DEMOS)
def test_the_spindle_is_off_before_anything_else_is_done(name: str) -> None:
    """Before wood is laid on, turned or a cutter fitted, whether the cutter stays or not."""
    plan = sample(name).plan
    for last, step in pairwise(plan.steps):
        found = [str(one) for one in before_step(plan, step, last, plan.machines, MM)]
        hands = [text for text in found if re.search(r"Lay on|Turn the piece|Fit:", text)]
        assert not hands or (found[0] == hands[0] and hands[0].startswith("Spindle off and unplugged."))
        assert sum("Spindle off" in text for text in found) == bool(hands)


@pytest.mark.parametrize("name", ["bedside-lamp", "wall-clock"])
def test_the_hole_for_the_check_is_drilled_while_its_cutter_is_in(name: str) -> None:
    plan = sample(name).plan
    (hole,) = plan.turning
    lender = next(step for step in plan.steps if step.number == hole.step.number)
    assert lender.cutter.key == hole.step.cutter.key
    assert lender.face is hole.face


@pytest.mark.parametrize("name", DEMOS)
def test_a_thickness_that_fits_no_joint_is_not_cut_deeper_instead(name: str) -> None:
    """Where an edge goes into a slot, the limits of its play decide, and the drawn thickness lies within them."""
    made = sample(name)
    for stock in made.kit.stock.values():
        limits = joint_thickness(stock, made.kit, made.plan)
        taken = any(
            isinstance(need, JointNeed) and made.kit.part(need.takes).stock.key == stock.key for need in made.kit.needs
        )
        assert (limits is not None) == taken
        if limits is None:
            continue
        assert limits[0] - 0.006 <= stock.actual <= limits[1] + 0.006
        alone = replace(made.kit, stock={stock.key: replace(stock, ladder=None)})
        words = " ".join(str(line) for one in preparations(alone, made.plan, MM) for line in one.steps)
        assert "every reading must lie between" in words
        for units, inch, places in ((MM, 1.0, 2), (IN, 25.4, 3)):
            least, most = (
                figures_in(str(units.bound(one, least=low)))[0] for one, low in zip(limits, (True, False), strict=True)
            )
            assert limits[0] - 0.0006 <= least * inch <= stock.actual <= most * inch <= limits[1] + 0.0006
            assert (least * inch - limits[0]) < inch * 10**-places + 0.0006
        assert "will not come through" not in words


def test_a_sheet_too_thick_for_the_through_cuts_is_told_of_where_its_joints_would_take_it() -> None:
    """The play of a joint may be larger than what the through cuts have to spare."""
    made = sample("herb-planter")
    (stock,) = made.kit.stock.values()
    wide = tuple(replace(n, clearance=(-0.7, 0.3)) if isinstance(n, JointNeed) else n for n in made.kit.needs)
    kit = replace(made.kit, needs=wide)
    limits = joint_thickness(stock, kit, made.plan)
    assert limits is not None
    assert limits[1] > stock.actual + 0.5
    words = " ".join(str(line) for one in preparations(kit, made.plan, MM) for line in one.steps)
    assert "every reading must lie between" in words
    assert "If any reading is more than 12.5 mm, the through cuts will not come through" in words


def test_only_cutters_that_leave_walls_are_named_for_chatter(plan: Plan, kit: Kit) -> None:
    for name in DEMOS:
        made = sample(name)
        (advice,) = [one.then for one in troubles(made.kit, made.plan) if one.name == "It chatters"]
        named = [one for one in made.plan.cutters if f"The {one.name} shows it first" in advice]
        assert all(one.kind not in (CutterKind.DRILL, CutterKind.V_BIT) for one in named)
        walls = {one.diameter for one in made.plan.cutters if one.kind not in (CutterKind.DRILL, CutterKind.V_BIT)}
        assert len(walls) > 1 or not named
    assert "down-cut spiral shows it first" in next(
        one.then for one in troubles(kit, plan) if one.name == "It chatters"
    )


def test_a_unit_is_not_said_twice() -> None:
    made = sample("herb-planter")
    found = setting_up(made.kit, made.plan, made.plan.machines, IN)
    assert all("in in" not in one.spots for one in found)


def test_a_list_of_names_that_hold_commas_can_be_told_apart() -> None:
    assert listed(["back", "front", "roof"]) == "back, front and roof"
    assert (
        listed(["board 1, for the back", "board 2, for the roof"]) == "board 1, for the back; and board 2, for the roof"
    )
