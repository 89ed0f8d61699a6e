"""Fit coupons and proof strips as written to records."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from kitforge.definition import kinds
from kitforge.model.coupon import CouponWish, ProofWish
from kitforge.model.messages import msg
from kitforge.model.needs import JointNeed
from kitforge.resolve.values import ResolveContext, ValueRange, label

if TYPE_CHECKING:
    from kitforge.definition.coupon import CouponEntry, ProofEntry
    from kitforge.definition.positions import Place
    from kitforge.definition.schema import Definition
    from kitforge.model.kit import Part
    from kitforge.model.needs import Need

_STEP = ValueRange(0.02, 1.0)
_LENGTH = ValueRange(20.0, 300.0)
_NEAR = 1e-6


def resolve_trials(
    sheet: ResolveContext, definition: Definition, parts: Sequence[Part], needs: Sequence[Need]
) -> tuple[CouponWish | ProofWish, ...]:
    """Return the trial pieces in the order written; what cannot be had is reported on the sheet."""
    joints = [need for need in needs if isinstance(need, JointNeed)]
    coupons = [_coupon(sheet, key, entry, parts, joints) for key, entry in definition.coupon.items()]
    strips = [_proof(sheet, index, entry, parts) for index, entry in enumerate(definition.proof)]
    return tuple(one for one in (*coupons, *strips) if one is not None)


def _coupon(
    sheet: ResolveContext, key: str, entry: CouponEntry, parts: Sequence[Part], joints: Sequence[JointNeed]
) -> CouponWish | None:
    at: Place = ("coupon", key)
    before = sheet.failures
    _operation(sheet, parts, entry.like.part, entry.like.feature, (*at, "like", "part"), (*at, "like", "feature"))
    spot = sheet.point(entry.like.at, *at, "like", "at") if entry.like.at is not None else None
    step = sheet.length(entry.step, *at, "step", within=_STEP)
    if entry.slots % 2 == 0:
        said = msg("{place}: {count} slots have none in the middle.", place=label((*at, "slots")), count=entry.slots)
        sheet.report(kinds.BAD_NUMBER, (*at, "slots"), said, msg("Write an odd number; the middle one is as drawn."))
    if sheet.failures > before:
        return None
    wish = CouponWish(
        key, entry.like.part, entry.like.feature, spot, entry.fit, step, entry.slots, sheet.where.key(*at)
    )
    if next(joints_of(wish, joints), None) is None:
        said = msg("{place}: no need `mates` proves this slot.", place=label((*at, "like")))
        advice = msg("Add the joint to `needs`, or name the slot as a need there names it.")
        sheet.report(kinds.COUPON_UNFIT, (*at, "like"), said, advice)
        return None
    return wish


def joints_of(wish: CouponWish, needs: Sequence[Need]) -> Iterator[JointNeed]:
    """Yield the needs that prove the joint of a coupon."""
    for need in needs:
        if not isinstance(need, JointNeed) or (need.part, need.feature) != (wish.part, wish.feature):
            continue
        if wish.at is None or (need.at is not None and _same(wish.at, need.at)):
            yield need


def _same(one: tuple[float, float], other: tuple[float, float]) -> bool:
    return all(abs(a - b) < _NEAR for a, b in zip(one, other, strict=True))


def _proof(sheet: ResolveContext, index: int, entry: ProofEntry, parts: Sequence[Part]) -> ProofWish | None:
    at: Place = ("proof", index)
    before = sheet.failures
    _operation(sheet, parts, entry.part, entry.operation, (*at, "part"), (*at, "operation"))
    length = sheet.length(entry.length, *at, "length", within=_LENGTH)
    if sheet.failures > before:
        return None
    return ProofWish(entry.part, entry.operation, entry.cuts, length, sheet.where.key(*at))


def _operation(
    sheet: ResolveContext, parts: Sequence[Part], part: str, name: str, part_at: Place, name_at: Place
) -> None:
    """Report a part or an operation that the kit has not."""
    found = sheet.look_up({one.key: one for one in parts}, part, msg("part"), *part_at)
    if found is not None:
        known = {one.name: one for one in found.operations}
        sheet.look_up(known, name, msg("operation of the part '{part}'", part=part), *name_at)
