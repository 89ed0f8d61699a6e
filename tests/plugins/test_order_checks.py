"""The order of steps: each wrong order is found, the computed order never is."""

from __future__ import annotations

from dataclasses import replace

from builders import (
    codes,
    cutter,
    drilled,
    freed,
    hole,
    kit,
    operation,
    outside,
    part,
    planned,
    plate,
    pocket,
    reordered,
    rounded,
)
from hypothesis import given, settings
from hypothesis import strategies as st

from kitforge.geometry.shapes import circle
from kitforge.model.findings import Finding
from kitforge.model.kit import Face, Kit, OperationKind, PassOptions
from kitforge.model.plan import Plan
from kitforge_order import kitforge_check

SHAPE = rounded(20, 20, 60, 40)


def found(own: Kit, plan: Plan | None = None) -> list[Finding]:
    return list(kitforge_check(own, plan or planned(own)))


def as_written(*keys: str, own: Kit) -> list[Finding]:
    own = replace(own, order_as_written=True)
    return found(own, reordered(planned(own), keys))


def test_a_sound_order_as_written_raises_nothing() -> None:
    """Pocket, holes, hole, outline."""
    own = kit(freed(pocket(SHAPE), drilled((120, 40)), hole(150, 100, 20)), order_as_written=True)
    assert found(own) == []


def test_cutting_on_after_freeing() -> None:
    """A pocket after the part was cut free is an error with both steps."""
    own = kit(part(outside(plate()), pocket(SHAPE)), order_as_written=True)
    (finding,) = found(own)
    assert finding.code == "freeing-not-last"
    assert "Step 2 ('Pocket' of Board) cuts the part after step 1 ('Profile' of Board)" in str(finding.message)


def test_a_hole_after_freeing() -> None:
    """Through holes after freeing have a code of their own."""
    own = kit(part(outside(plate()), hole(150, 100, 20)), order_as_written=True)
    assert codes(found(own)) == ["hole-after-freeing"]


def test_freeing_one_part_before_another_is_cut() -> None:
    """Two parts on one sheet, written part by part: the second is cut after the first was freed."""
    pair = (
        freed(pocket(SHAPE), key="left", places=((10, 10),)),
        freed(pocket(SHAPE), key="right", places=((300, 10),)),
    )
    findings = found(kit(*pair, order_as_written=True))
    assert codes(findings) == ["freeing-early"]
    assert "before 1 step(s) on other parts" in str(findings[0].message)
    assert found(kit(*pair)) == []


def test_freeing_before_the_other_face() -> None:
    """A pocket in the bottom face after the part was freed from the top face."""
    own = kit(freed(pocket(SHAPE, face=Face.BOTTOM)))
    plan = planned(own)
    assert found(own, plan) == []
    assert codes(found(own, replace(plan, setups=plan.setups[::-1]))) == ["freed-before-other-face"]


def test_finishing_before_roughing() -> None:
    """The two passes of one pocket, swapped."""
    two = pocket(SHAPE, roughing=PassOptions(cutter(6), leave_walls=0.3), finishing=PassOptions(cutter(3)))
    own = kit(freed(two))
    rough, fine, free = (step.key for step in planned(own).steps)
    assert codes(as_written(fine, rough, free, own=own)) == ["finishing-first"]
    assert as_written(rough, fine, free, own=own) == []


def test_facing_late() -> None:
    """Facing 1 mm after the pocket makes the pocket 1 mm shallower."""
    face = operation(OperationKind.FACE, [plate()], 1.0, cutter(6))
    own = kit(freed(pocket(SHAPE), face))
    top, inner, free = (step.key for step in planned(own).steps)
    assert "face" in top
    (finding,) = as_written(inner, top, free, own=own)
    assert finding.code == "facing-late"
    assert "1 mm shallower" in str(finding.message)
    assert as_written(top, inner, free, own=own) == []


def test_deep_before_shallow() -> None:
    """A deep pocket inside a shallow one, cut first."""
    own = kit(freed(pocket(rounded(30, 25, 20, 20), depth=12), pocket(SHAPE, depth=4)))
    shallow, deep, free = (step.key for step in planned(own).steps)
    (finding,) = as_written(deep, shallow, free, own=own)
    assert finding.code == "deep-first"
    assert "12 mm deep inside" in str(finding.message)
    assert as_written(shallow, deep, free, own=own) == []


def test_deep_beside_shallow_is_nobodys_business() -> None:
    """Only an area inside another one is opened by it."""
    own = kit(freed(pocket(rounded(100, 25, 20, 20), depth=12), pocket(SHAPE, depth=4)), order_as_written=True)
    assert found(own) == []


def test_more_cutter_changes_than_needed() -> None:
    """6, 3, 6, 3 mm and 6 mm for the outline: four changes, where two would do."""
    tools = [cutter(6), cutter(3), cutter(6), cutter(3)]
    pockets = [pocket(rounded(10 + 45 * k, 20, 30, 30), tool=tool) for k, tool in enumerate(tools)]
    (finding,) = found(kit(freed(*pockets), order_as_written=True))
    assert finding.code == "cutter-changes"
    assert "needs 4 cutter changes, the computed order 2" in str(finding.message)
    assert found(kit(freed(*pockets))) == []


@st.composite
def kits(draw: st.DrawFn) -> Kit:
    """Return a kit of up to two parts with nested and separate features in any order, on both faces."""
    parts = []
    for number in range(draw(st.integers(1, 2))):
        features = [
            pocket(SHAPE, depth=4, face=draw(st.sampled_from(Face)), tool=cutter(draw(st.sampled_from([3, 6])))),
            pocket(rounded(30, 25, 20, 20), depth=9, roughing=PassOptions(cutter(6)), finishing=PassOptions(cutter(3))),
            drilled((120, 40), (150, 40), depth=18, through=True),
            operation(OperationKind.PROFILE, [circle((150, 100), 30)], 18.0, through=True),
            operation(OperationKind.FACE, [plate()], 1.0, cutter(6)),
            outside(plate()),
        ]
        chosen = draw(st.permutations(features))
        parts.append(part(*chosen, key=f"part{number}"))
    return kit(*parts)


@settings(max_examples=20, deadline=None)
@given(kits())
def test_the_computed_order_is_always_sound(own: Kit) -> None:
    """Whatever the author's order, the computed one raises nothing."""
    assert found(own) == []


@settings(max_examples=20, deadline=None)
@given(kits(), st.data())
def test_a_step_moved_behind_the_freeing_cut_is_found(own: Kit, data: st.DataObject) -> None:
    """Any step of the last setup put behind the freeing cut of its part is found."""
    plan = planned(own)
    keys = list(plan.setups[-1].steps)
    freeing = [key for key in keys if plan.frees(plan.step(key))]
    chosen = data.draw(st.sampled_from([key for key in keys if key not in freeing] or freeing))
    moved = [key for key in keys if key != chosen] + [chosen]
    last = replace(plan.setups[-1], steps=tuple(moved))
    findings = codes(found(own, replace(plan, setups=(*plan.setups[:-1], last))))
    if chosen not in freeing:
        assert {"freeing-not-last", "hole-after-freeing"} & set(findings)
