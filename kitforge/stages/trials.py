"""The trial pieces of a kit: each becomes a kit of its own, planned and checked by the same stages."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from kitforge.definition import kinds
from kitforge.model.coupon import CouponWish, ProofStrip, ProofWish
from kitforge.model.errors import refusal
from kitforge.model.findings import Finding, Severity
from kitforge.model.messages import bare_mm, mm, msg, term
from kitforge.model.plan import Coupon
from kitforge.planning.coupons import coupon_kit, slots_for
from kitforge.planning.joints import EXACT, slots_of
from kitforge.planning.proof import proof_strips
from kitforge.resolve.trials import joints_of
from kitforge.stages.planning import plan as plan_stage
from kitforge.workshop.fits import fits

if TYPE_CHECKING:
    from kitforge.model.kit import Kit
    from kitforge.model.plan import Plan
    from kitforge.plugins import Plugins


def with_trials(kit: Kit, plan: Plan, plugins: Plugins, like: Plan | None = None) -> tuple[Kit, Plan]:
    """Return a planned kit with its fit coupons and proof strips.

    What keeps one from being made is among the problems of the kit. like: the plan of the same kit at another
    thickness, whose proof strips serve for all.
    """
    coupons: list[Coupon] = []
    problems: list[Finding] = []
    known = {one.wish.key: one.plan for one in like.coupons} if like is not None else {}
    strips: list[ProofStrip] = []
    for wish in kit.trials:
        if not isinstance(wish, CouponWish):
            if like is not None:
                continue
            found = proof_strips(plan, wish)
            strips += found
            problems += [] if found else [_no_window(wish)]
            continue
        try:
            coupon = _coupon(kit, plan, wish, plugins, known.get(wish.key))
        except ValueError as error:
            said = msg("The fit coupon '{key}' cannot be cut: {why}.", key=wish.key, why=refusal(error))
            advice = msg("Choose another joint for it, a smaller cutter or another corner relief, or leave it out.")
            problems.append(kinds.COUPON_UNFIT.new(said, advice, source=wish.source, part=wish.part))
            continue
        if coupon is not None:
            coupons.append(coupon)
            problems += _odd_play(coupon)
    return replace(kit, problems=(*kit.problems, *problems)), replace(
        plan, coupons=tuple(coupons), strips=tuple(strips) if like is None else like.strips
    )


def _coupon(kit: Kit, plan: Plan, wish: CouponWish, plugins: Plugins, like: Plan | None) -> Coupon | None:
    """Return a coupon; None where its joint has no slot, which the needs tell."""
    need = next(joints_of(wish, kit.needs))
    slots = slots_of(kit, plan, need)
    if not slots or slots[0].fits[0].slot <= 0:
        return None
    fit = slots[0].fits[0]
    steps = slots_for(wish, round(fit.slot, 3))
    own, places = coupon_kit(kit, wish, steps)
    return Coupon(wish, steps, places, fit.play, need.width is not None, own, plan_stage(own, plugins, like))


def _no_window(wish: ProofWish) -> Finding:
    return kinds.COUPON_UNFIT.new(
        msg(
            "The proof strip of '{name}' has nothing to try: it cuts no groove of its cutter's width, or no class of "
            "machine has a range of feeds for it.",
            name=wish.operation,
        ),
        msg("Name a profile or a groove, or leave the strip out."),
        source=wish.source,
        part=wish.part,
    )


def _odd_play(coupon: Coupon) -> Iterator[Finding]:
    usual = fits()[coupon.wish.fit].play
    if usual.low - EXACT <= coupon.play <= usual.high + EXACT:
        return
    yield kinds.COUPON_PLAY.new(
        msg(
            "The joint of the fit coupon '{key}' is drawn with {play} of play; {low} to {high} is usual for a fit "
            "of the kind '{fit}'.",
            key=coupon.wish.key,
            play=mm(coupon.play),
            low=bare_mm(usual.low),
            high=mm(usual.high),
            fit=term(coupon.wish.fit),
        ),
        msg("Change the play, or name another kind of fit."),
        source=coupon.wish.source,
        part=coupon.wish.part,
    )


def trial_findings(
    plan: Plan, found: Sequence[Finding], plugins: Plugins, between: Callable[[], None] | None = None
) -> Iterator[Finding]:
    """Yield the errors and warnings of the coupons of a plan that the kit itself does not have."""
    for coupon in plan.coupons:
        known = Counter(one.code for one in found if one.part is None)
        for one in dict.fromkeys(plugins.check(coupon.kit, coupon.plan, between)):
            if one.severity is Severity.NOTE:
                continue
            if one.part is None:
                known[one.code] -= 1
                if known[one.code] >= 0:
                    continue
            said = msg("Fit coupon '{key}': {message}", key=coupon.wish.key, message=one.message)
            yield replace(one, message=said, source=coupon.wish.source, part=coupon.wish.part, operation=None, at=None)
