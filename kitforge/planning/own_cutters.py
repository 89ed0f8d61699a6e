"""Cutters that a reader has, in the place of those of a kit: whether the drawing stays true and settings are had.

The shapes stay those of the kit, with the corner relief that its own cutter needs: what the reader cuts is the drawing
that is there.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from kitforge.model.errors import KitforgeError
from kitforge.model.kit import Cutter, Kit, Operation, PassOptions
from kitforge.model.plan import Plan
from kitforge.model.units import MM_PER_INCH
from kitforge.planning.stand_ins import SAME, drawing_allows

_ANGLE = 0.5
"""So far off an angle may be where it is the form of what is cut, degrees (common practice, no source)."""
_HAIR = 1e-6
_MOST_TOLD = 20


def with_cutters(kit: Kit, own: Sequence[Cutter]) -> Kit:
    """Return the kit with these cutters in the place of those of the same keys."""
    by_key = {cutter.key: cutter for cutter in own}
    parts = tuple(replace(part, operations=tuple(_with(one, by_key) for one in part.operations)) for part in kit.parts)
    return replace(kit, parts=parts, cutters={**kit.cutters, **by_key})


def _with(operation: Operation, own: Mapping[str, Cutter]) -> Operation:
    def changed(one: PassOptions) -> PassOptions:
        return replace(one, cutter=own.get(one.cutter.key, one.cutter))

    rough = operation.roughing
    return replace(
        operation, roughing=None if rough is None else changed(rough), finishing=changed(operation.finishing)
    )


def refuse_untrue(kit: Kit, plan: Plan, own: Sequence[Cutter]) -> None:
    """Raise KitforgeError, with all of them, where a cutter is none of the kit's or would not cut its drawing."""
    _refuse([line for cutter in own for line in _untrue(kit, plan, cutter)])


def refuse_without_settings(before: Plan, after: Plan, own: Sequence[Cutter]) -> None:
    """Raise KitforgeError where a class that has settings with the kit's cutter has none with the reader's."""
    by_key = {cutter.key: cutter for cutter in own}
    lines = []
    for old, new in zip(before.machines, after.machines, strict=True):
        for step in after.steps:
            blocked = new.blocked.get(step.key) if old.fits else None
            if blocked is None or step.key not in old.settings or step.cutter.key not in by_key:
                continue
            why = str(blocked.problems[0].message) if blocked.problems else "no sound settings"
            lines.append(f"{_place(by_key[step.cutter.key])}: step {step.key} on {old.machine.key}: {why}")
    _refuse(lines)


def _refuse(lines: Sequence[str]) -> None:
    if lines:
        more = [f"and {len(lines) - _MOST_TOLD} more"] if len(lines) > _MOST_TOLD else []
        told = "\n".join(f"  {line}" for line in [*lines[:_MOST_TOLD], *more])
        raise KitforgeError(f"Not every cutter of yours can stand in for the kit's:\n{told}")


def _untrue(kit: Kit, plan: Plan, own: Cutter) -> Iterator[str]:
    place, named = _place(own), kit.cutters.get(own.key)
    if named is None:
        yield f"{place}: the kit has no cutter of this key; it has {', '.join(sorted(kit.cutters))}."
        return
    if own.kind is not named.kind:
        yield f"{place}: it is of the kind {own.kind.value}; the kit is made for one of the kind {named.kind.value}."
        return
    steps = [step for step in plan.steps if step.cutter.key == own.key]
    yield from (f"{place}: {line}" for line in _other_form(named, own))
    if not steps:
        return
    low, high = drawing_allows(steps)
    wanted = f"the kit is drawn for {_size(named.diameter)}"
    if own.diameter > high + _HAIR:
        yield f"{place}: {_size(own.diameter)} is wider than {_size(high)}, the widest that cuts the drawing; {wanted}."
    if own.diameter < low - _HAIR:
        yield f"{place}: {_size(own.diameter)} is narrower than {_size(low)}, the narrowest that does; {wanted}."
    deepest = max(step.depth for step in steps)
    if own.cutting_length < min(deepest, named.cutting_length) - _HAIR:
        yield f"{place}: its edge of {_size(own.cutting_length)} is shorter than the deepest cut, {_size(deepest)}."


def _other_form(named: Cutter, own: Cutter) -> Iterator[str]:
    """Yield what of a cutter's form would be seen in the wood and is not that of the kit's."""
    if abs((own.angle or 0.0) - (named.angle or 0.0)) > _ANGLE and named.angle is not None:
        yield f"its angle is {own.angle or 0:g} degrees; the kit is drawn for {named.angle:g}."
    for name, words in (("corner_radius", "corner radius"), ("tip", "flat tip")):
        mine, theirs = getattr(own, name), getattr(named, name)
        if abs(mine - theirs) > SAME:
            yield f"its {words} is {_size(mine)}; the kit is drawn for {_size(theirs)}."


def _place(cutter: Cutter) -> str:
    return f"{cutter.source.file}:{cutter.source.line}: {cutter.key}"


def _size(mm: float) -> str:
    return f"{round(mm, 2):g} mm ({mm / MM_PER_INCH:.3f} in)"
