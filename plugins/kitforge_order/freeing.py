"""Cuts that free a part: nothing may be cut on it afterwards."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kitforge.model.findings import Finding
from kitforge.model.messages import msg
from kitforge.model.plan import Plan
from kitforge.model.steps import Step
from kitforge_order import kinds
from kitforge_order.sequence import about, named, pairs, steps_of

HOLD_ON = msg("Move the cut that frees the part behind all others, or leave the order to be computed.")


def check_freeing(plan: Plan) -> Iterator[Finding]:
    """Yield steps that come after the part, or another part on the same piece of stock, was cut free."""
    for number, setup in enumerate(plan.setups):
        steps = steps_of(plan, setup)
        yield from _same_setup(plan, steps)
        for later in plan.setups[number + 1 :]:
            if later.same_piece(setup):
                yield from _other_face(plan, steps, steps_of(plan, later))


def _same_setup(plan: Plan, steps: Sequence[Step]) -> Iterator[Finding]:
    others: dict[str, list[Step]] = {}
    freed_by: dict[str, Step] = {}
    for earlier, later in pairs(steps):
        if not plan.frees(earlier) or plan.frees(later):
            continue
        if later.part.key in plan.freed[earlier.key]:
            yield _after(earlier, later)
        else:
            others.setdefault(earlier.key, []).append(later)
            freed_by[earlier.key] = earlier
    for key, late in others.items():
        yield about(
            kinds.FREEING_EARLY,
            freed_by[key],
            msg(
                "{freed_by} frees its part before {count} step(s) on other parts of the same stock, first {late}.",
                freed_by=named(freed_by[key], first=True),
                count=len(late),
                late=named(late[0]),
            ),
            msg("The stock is weaker and less well held once a part is cut out: put the freeing cuts last."),
        )


def _after(freeing: Step, later: Step) -> Finding:
    through = later.operation.through
    kind = kinds.HOLE_AFTER_FREEING if through else kinds.FREEING_NOT_LAST
    what = msg("cuts through the part") if through else msg("cuts the part")
    return about(
        kind,
        later,
        msg(
            "{later} {what} after {freeing} has cut it free; it can move.",
            later=named(later, first=True),
            what=what,
            freeing=named(freeing),
        ),
        HOLD_ON,
    )


def _other_face(plan: Plan, steps: Sequence[Step], later: Sequence[Step]) -> Iterator[Finding]:
    freed = {part: step for step in steps for part in plan.freed.get(step.key, ())}
    for step in later:
        if step.part.key in freed and step.face is not freed[step.part.key].face:
            yield about(
                kinds.FREED_BEFORE_OTHER_FACE,
                step,
                msg(
                    "{step} cuts the {value} face after {freed} has cut the part free from the {value_2} face.",
                    step=named(step, first=True),
                    value=step.face.value,
                    freed=named(freed[step.part.key]),
                    value_2=freed[step.part.key].face.value,
                ),
                msg(
                    "Free the part in the setup that comes last, or cut everything from the {value} face first.",
                    value=step.face.value,
                ),
            )
