"""What to cut first: the angle that tries the fit of a joint, and the grooves that try the settings of a step."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from kitforge.language import later, render_text, say, say_as
from kitforge.pictures.drawn.proof import proof_picture
from kitforge.pictures.drawn.sheet import sheet_picture
from kitforge.print.figures import grouped, step_title
from kitforge.print.settings import class_numbers, step_views
from kitforge_booklet.holding import spots
from kitforge_booklet.trial_records import FitCoupon, ProofRow, SettingsProof, SlotRow, TrialStep

if TYPE_CHECKING:
    from kitforge.model.coupon import CouponSlot, ProofStrip
    from kitforge.model.kit import Kit
    from kitforge.model.plan import Coupon, MachinePlan, Plan
    from kitforge.print.figures import Units

_PICTURE = (96.0, 82.0)
_STRIP = (58.0, 60.0)
_HAIR = 1e-6
_BESIDE = 6.0

_FITS = {
    "press": later("it goes in under light taps of a mallet and stays"),
    "glue": later("it slides in by hand with a little rubbing, and does not fall out when you turn it over"),
    "slip": later("it goes in and out by hand, without force and without wobbling"),
    "moving": later("it slides to and fro by its own weight"),
}


def fit_coupons(kit: Kit, plan: Plan, machines: Sequence[MachinePlan], units: Units) -> tuple[FitCoupon, ...]:
    """Return the fit coupons of a kit; machines: those that the booklet shows."""
    return tuple(_coupon(kit, coupon, machines, units) for coupon in plan.coupons)


def _coupon(kit: Kit, coupon: Coupon, machines: Sequence[MachinePlan], units: Units) -> FitCoupon:
    part = kit.part(coupon.wish.part)
    ladder = part.stock.ladder
    sheet, setup = coupon.plan.sheets[0], coupon.plan.setups[0]
    place, count = sheet.placements[0], len(coupon.slots)
    numbers = [_number(place.spot(x, y), index % count, below=y == 0) for index, (x, y) in enumerate(coupon.places)]
    words = say("The angle of the fit coupon from above: two arms with {count} slots each.", count=count)
    shown = {one.machine.key for one in machines}
    own = [one for one in coupon.plan.machines if one.machine.key in shown]
    stock = sheet.stock
    return FitCoupon(
        title=part.operation(coupon.wish.feature).title,
        ways=tuple(_ways(coupon, ladder is not None, units)),
        picture=sheet_picture(coupon.kit, sheet, setup.places, units, *_PICTURE, numbers=numbers, words=words),
        caption=" ".join(
            [
                say("A piece of {size} of the same sheet.", size=units.size(stock.length, stock.width, places=0)),
                spots(setup, setup.places, units),
            ]
        ).strip(),
        slots=tuple(_slot_row(one, ladder.rungs if ladder else None, units) for one in coupon.slots),
        steps=tuple(
            TrialStep(step_title(step), render_text(step.cutter.name), step_views(coupon.plan, step, own, units))
            for step in coupon.plan.steps
        ),
        errors=_errors(coupon),
    )


def _number(at: tuple[float, float], index: int, *, below: bool) -> tuple[float, float, str]:
    """Return where the number of a slot stands: outside of the arm, in front of the slot."""
    return (at[0], at[1] - _BESIDE, str(index + 1)) if below else (at[0] - _BESIDE, at[1], str(index + 1))


def _ways(coupon: Coupon, ladder: bool, units: Units) -> list[str]:
    count, middle = len(coupon.slots), (len(coupon.slots) + 1) // 2
    return [
        say(
            "Cut this angle before the parts, from a spare piece of the same sheet, with the drawing {name} of the "
            "folder of your thickness.",
            name=f"{coupon.kit.parts[0].key}.dxf",
        )
        if ladder
        else say(
            "Cut this angle before the parts, from a spare piece of the same sheet, with the drawing {name}.",
            name=f"{coupon.kit.parts[0].key}.dxf",
        ),
        say(
            "On each arm {count} slots grow by {step} from the corner outwards. Count from the corner; the notch lies "
            "opposite slot {middle}, which is as drawn for the joint.",
            count=count,
            step=units.length(coupon.wish.step),
            middle=middle,
        ),
        say(
            "Push the edge of another piece of that sheet into the slots, the widest first. The slot that fits: {fit}.",
            fit=say_as(_FITS[coupon.wish.fit]),
        ),
        say(
            "If the arms differ by more than one slot, an axis of your machine has play: mend that first. Else go by "
            "the arm that is tighter."
        ),
    ]


def _errors(coupon: Coupon) -> str:
    told = say(
        "The slot that fits has the errors of your cutter, collet and machine in it, once. Between a slot and a tenon "
        "whose sides are cut too they count twice, because the tenon becomes as much thinner as the slot becomes wider."
    )
    if not coupon.routed:
        return told
    return (
        told + " " + say("The tenons of this joint are such ones: try the first of them in its slot before you go on.")
    )


def _slot_row(slot: CouponSlot, rungs: tuple[float, ...] | None, units: Units) -> SlotRow:
    """Return what a slot means: the rung that is as much thicker, rounded up, or a change of the cutting path."""
    width = units.length(slot.width).main
    drawn = abs(slot.offset) < _HAIR
    if rungs is None:
        return SlotRow(slot.number, width, _path_words(slot.offset, units), drawn)
    step = rungs[1] - rungs[0]
    steps = math.ceil(slot.offset / step - 1e-3)
    if steps == 0:
        return SlotRow(slot.number, width, say("yours"), drawn)
    by = units.length(abs(steps) * step).main
    return SlotRow(slot.number, width, say("{by} thicker", by=by) if steps > 0 else say("{by} thinner", by=by), drawn)


def _path_words(offset: float, units: Units) -> str:
    if abs(offset) < _HAIR:
        return say("as it is")
    by = units.length(abs(offset) / 2).main
    return say("{by} further out", by=by) if offset > 0 else say("leave {by}", by=by)


def settings_proofs(plan: Plan, machines: Sequence[MachinePlan], units: Units) -> tuple[SettingsProof, ...]:
    """Return the proof strips of a kit, those of one step together; machines: those that the booklet shows."""
    shown = {one.machine.key for one in machines}
    by_step: dict[str, list[ProofStrip]] = {}
    for strip in plan.strips:
        if strip.machine in shown:
            by_step.setdefault(strip.step, []).append(strip)
    return tuple(_proof(plan, key, strips, units) for key, strips in by_step.items())


def _proof(plan: Plan, key: str, strips: Sequence[ProofStrip], units: Units) -> SettingsProof:
    step, numbers = plan.step(key), class_numbers(plan)
    inches = units.first == "in"
    return SettingsProof(
        title=step_title(step),
        ways=(
            say(
                "Take a scrap of the same stock, larger than the strip, held as the stock is, and the cutter of the "
                "step: {cutter}. Load the drawing of your class, such as {name}; each groove is a layer with its feed, "
                "in mm/min, in its name.",
                name=f"{strips[0].key}.dxf",
                cutter=render_text(step.cutter.name),
            ),
            say(
                "Cut the grooves on their lines from the slowest up, each in one pass at the speed and the depth of "
                "your class. Look and listen after each: chips and no dust, clean edges, an even sound, nothing "
                "scorched."
            ),
            say(
                "Stop at the first groove that is rough or loud, and use the feed two before it. If it is one of the "
                "first two, look for the cause first: a dull cutter, a loose collet, stock that hums. If all are good, "
                "go no faster than the last: beyond it a limit of the step is passed."
            ),
        ),
        picture=proof_picture(strips[0], *_STRIP),
        feed_unit=units.unit("mm/min").main,
        count=max(len(one.feeds) for one in strips),
        rows=tuple(
            ProofRow(
                numbers[one.machine],
                grouped(one.speed),
                units.length(one.depth).main,
                tuple(grouped(feed / 25.4) if inches else grouped(feed) for feed in one.feeds),
            )
            for one in strips
        ),
    )
