"""Hold-downs and bridges against forces: which fail, on which class, and by how much."""

from __future__ import annotations

from dataclasses import replace

import pytest
import yaml
from builders import codes, freed, hole, kit, outside, part, planned, plate, pocket, rounded, setup
from hypothesis import given
from hypothesis import strategies as st

from kitforge.model.findings import Finding
from kitforge.model.kit import Face, Kit, OnionSkin, Operation, Part, Tabs
from kitforge.model.messages import small_start
from kitforge.stages.mending import as_yaml
from kitforge_holding import kitforge_check

SHAPE = rounded(20, 20, 60, 40)


def found(own: Kit, force: float = 20.0, lift: float = 5.0) -> list[Finding]:
    return list(kitforge_check(own, planned(own, force, lift)))


def held(*hold_downs: str, machines: tuple[str, ...] = ("medium_router",), of: Part | None = None) -> Kit:
    return kit(of or part(pocket(SHAPE)), setups=[setup(Face.TOP, hold_downs)], machines=machines)


def test_a_kit_that_holds_raises_nothing() -> None:
    """Vacuum under the sheet and four tabs."""
    assert found(kit(freed(pocket(SHAPE)))) == []


def test_no_hold_down_bears_the_force() -> None:
    """Both forces, the margin and the class are told, of the strongest hold-down."""
    own = held("foam_tape", "masking_tape_glue", of=part(pocket(SHAPE)))
    plan = planned(own, 1e6)
    strongest = max(result.capacity for result in plan.machines[0].holding["sheet", 1, "top"])
    (finding,) = list(kitforge_check(own, plan))
    assert finding.code == "hold-too-weak"
    assert f"{strongest:.0f} N sideways" in str(finding.message)
    assert "against 1000000 N" in str(finding.message)
    assert f"{100 * (1 - strongest / 1e6):.0f} % short" in str(finding.message)
    assert plan.machines[0].machine.name in str(finding.message)


def test_the_first_hold_down_is_too_weak_but_another_one_holds() -> None:
    """A warning that names the one that holds."""
    own = held("foam_tape", "masking_tape_glue")
    results = planned(own).machines[0].holding["sheet", 1, "top"]
    between = (results[0].capacity + results[1].capacity) / 2
    (finding,) = found(own, between)
    assert finding.code == "hold-first-too-weak"
    assert small_start(str(results[1].held_by)) in str(finding.advice)
    assert found(held("masking_tape_glue", "foam_tape"), between) == []


def test_lift_counts_as_well_as_the_side_force() -> None:
    """An up-cut cutter that lifts more than the tape bears."""
    (finding,) = found(held("double_sided_tape"), 1.0, 1e6)
    assert finding.code == "hold-too-weak"
    assert "N upwards" in str(finding.message)


def test_a_class_that_the_kit_does_not_fit_is_not_judged() -> None:
    """Nobody will cut this sheet on the smallest class; on the others the finding comes once for each."""
    own = held("double_sided_tape", machines=("extra_light_router", "medium_router", "heavy_router"))
    assert len(found(own, 1e6)) == 2


def test_a_setup_without_hold_down() -> None:
    """Something must hold the stock."""
    assert codes(found(held())) == ["no-hold-down"]


def loose(operation: Operation) -> Kit:
    return held("step_clamps", of=part(operation))


def test_a_freed_part_that_nothing_holds() -> None:
    """Clamps hold the waste; without tabs or skin the part lies loose. Tape under it would do."""
    bare = replace(outside(plate()), hold=None)
    assert codes(found(loose(bare))) == ["part-loose"]
    assert codes(found(loose(outside(plate())))) == []
    assert codes(found(held("double_sided_tape", of=part(bare)))) == []


def test_bridges_too_weak_for_the_freeing_cut() -> None:
    """Four tabs of 8 × 3 mm break at 160 N (see test_planning_holding): 79 N holds, 81 N is near, 161 N too much."""
    assert found(loose(outside(plate())), 79.0) == []
    (near,) = found(loose(outside(plate())), 81.0)
    assert (near.code, near.severity) == ("bridges-near-limit", "warning")
    (finding,) = found(loose(outside(plate())), 161.0)
    assert (finding.code, finding.severity) == ("bridges-too-weak", "error")
    assert "160 N sideways" in str(finding.message)


def test_the_tabs_that_a_finding_asks_for_bear_the_cut() -> None:
    """What is to be written into kit.yaml, read again as tabs: with them nothing is found at the same pull."""
    (finding,) = found(loose(outside(plate())), 161.0)
    assert finding.mend is not None
    assert finding.mend.keys == ("hold", "tabs")
    assert isinstance(finding.mend.value, tuple)
    (one, width), (other, height) = finding.mend.value
    assert (one, other) == ("width", "height")
    assert yaml.safe_load(as_yaml(finding.mend.value)) == {one: f"{width:g} mm", other: f"{height:g} mm"}
    assert found(loose(outside(plate(), hold=Tabs(None, width, height))), 161.0) == []


@pytest.mark.parametrize(
    ("hold", "expected"),
    [
        (Tabs(2, 8, 3), ["tabs-few"]),
        (Tabs(3, 8, 3), []),
        (Tabs(4, 3, 3), ["tab-small"]),
        (Tabs(8, 8, 0.5), ["tab-small"]),
        (Tabs(4, 8, 10), ["tab-thick"]),
        (Tabs(4, 8, 9), []),
        (Tabs(4, 8, 18), ["tab-uncut"]),
        (OnionSkin(0.3), []),
        (OnionSkin(0.1), ["skin-thin"]),
        (OnionSkin(1.5), ["skin-thick"]),
    ],
)
def test_sizes_of_bridges(hold: Tabs | OnionSkin, expected: list[str]) -> None:
    """Tabs 4 mm wide, 1 mm to half the stock high, three of them; skins 0.2 to 1 mm: common practice, no source."""
    assert codes(found(loose(outside(plate(), hold=hold)), 10.0)) == expected


def test_few_computed_tabs_are_a_note() -> None:
    """Where the plan found no room for three, the author is told without blame."""
    own = kit(freed(outline=plate(30, 30)))
    few = planned(own)
    steps = tuple(replace(s, tabs=s.tabs[:2], operation=replace(s.operation, hold=Tabs(None, 8, 3))) if s.tabs else s
                  for s in few.steps)  # fmt: skip
    findings = list(kitforge_check(own, replace(few, steps=steps)))
    assert [(finding.code, finding.severity) for finding in findings] == [("tabs-few", "note")]


def test_tabs_at_the_authors_places() -> None:
    """In a corner, off the line, and where they belong."""
    good = [(100.0, 0.0), (200.0, 75.0), (100.0, 150.0), (0.0, 75.0)]
    cases = {
        "good": good,
        "corner": [(4.0, 0.0), *good[1:]],
        "off": [(100.0, 10.0), *good[1:]],
    }
    results = {
        name: codes(found(loose(outside(plate(), hold=Tabs(4, 8, 3, tuple(places)))))) for name, places in cases.items()
    }
    assert results == {"good": [], "corner": ["tab-in-corner"], "off": ["tab-off-outline"]}


def test_tabs_without_a_frame() -> None:
    """With the left edge of the part on the stock's edge its left tab would end in the air."""
    tabs = Tabs(4, 8, 3, ((100.0, 0.0), (200.0, 75.0), (100.0, 150.0), (0.0, 75.0)))
    results = []
    for x in (0.0, 5.0, 8.0):
        own = held("step_clamps", of=part(outside(plate(), hold=tabs), places=((x, 50.0),)))
        results.append([code for code in codes(found(own)) if not code.startswith("fastener")])
    assert results == [["tab-no-frame"], ["tab-no-frame"], []]


def test_a_plug_inside_a_hole_is_held_by_its_skin() -> None:
    """The waste of a hole may not come loose either; 0.3 mm of a veneer hardly bear a small disc that is lifted."""
    assert found(held("step_clamps", of=part(hole(100, 75, 120)))) == []
    assert codes(found(held("step_clamps", of=part(hole(100, 75, 40))))) == ["bridges-too-weak"]


@given(st.floats(1, 5000), st.floats(0, 1000))
def test_the_findings_agree_with_the_forces(force: float, lift: float) -> None:
    """There is a finding exactly when a capacity is below its demand."""
    own = held("double_sided_tape", of=freed(pocket(SHAPE)))
    plan = planned(own, force, lift)
    results = plan.machines[0].holding["sheet", 1, "top"]
    weak = {True: "bridges-near-limit", False: "bridges-too-weak"}
    expected = {weak[r.near_limit] if r.hold_down is None else "hold-too-weak" for r in results if not r.holds}
    assert set(codes(kitforge_check(own, plan))) == expected
