"""Preparing the stock, laying it on the machine, finding zero, and proving the job in the air."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from kitforge.language import capital, say, say_as, say_counted
from kitforge.model.kit import Face
from kitforge.model.lines import Line, line
from kitforge.model.needs import JointNeed
from kitforge.model.plan import served
from kitforge.model.units import MM_PER_INCH
from kitforge.model.workshop import HoldKind
from kitforge.pictures.drawn.sheet import sheet_picture
from kitforge.planning.acting import TAPES
from kitforge.planning.joints import slots_of
from kitforge.planning.layers import rung_folders
from kitforge.print.figures import Units, listed, piece_title, sentence, stock_title
from kitforge.print.settings import class_numbers
from kitforge_booklet.fastening import fastener_uses, spoilboard_lines
from kitforge_booklet.holding import hold_rows, hold_words, left_out, other_holds, spots
from kitforge_booklet.records import Preparation, SettingUp
from kitforge_booklet.seasons import resting_words

if TYPE_CHECKING:
    from kitforge.model.kit import Kit, Stock
    from kitforge.model.plan import MachinePlan, Plan, PlannedSetup

_PICTURE, _SIZES = (114.0, 104.0), (1.0, 0.85, 0.72)
"""Room for the picture of a set-up, mm, and the shares of it that are tried: the typesetter takes a smaller one where
that fits below what is there."""


def preparations(kit: Kit, plan: Plan, units: Units) -> tuple[Preparation, ...]:
    """Return how each stock is made ready; those that take the same steps together."""
    titles: dict[tuple[Line, ...], list[str]] = {}
    for stock in kit.stock.values():
        titles.setdefault(_prepare(stock, kit, plan, units), []).append(stock_title(stock))
    return tuple(Preparation(capital(listed(found)), steps) for steps, found in titles.items())


def _prepare(stock: Stock, kit: Kit, plan: Plan, units: Units) -> tuple[Line, ...]:
    """Return how a stock is made ready: solid wood rests first, or has rested before it was glued or flattened."""
    worked = any(ready.glue or ready.flattening for ready in plan.prepared if ready.stock.key == stock.key)
    steps = [] if stock.material.is_panel or worked else [line(resting_words(kit))]
    steps += [Line(sentence(one.text), one.uses) for one in stock.prepare]
    steps += _measuring(stock, plan, units)
    steps += [line(words) for words in _thickness_words(stock, kit, plan, units)]
    steps.append(line(_size_words(stock, plan, units), "steel_rule", "saw", "try_square"))
    return tuple(steps)


def _measuring(stock: Stock, plan: Plan, units: Units) -> list[Line]:
    """How to measure the thickness, and with rungs of thickness which drawings follow from it.

    Eight places, 50 mm from the edge, on the faces: EN 324-1, determination of the thickness of wood-based panels.
    """
    if stock.ladder is not None:
        return [line(words, "calliper") if first else line(words) for first, words in _rung_words(stock, plan, units)]
    return [
        line(
            say(
                "Measure the thickness at all four corners and in the middle. The kit is drawn for {thickness}.",
                thickness=units.length(stock.actual),
            ),
            "calliper",
        )
    ]


def _rung_words(stock: Stock, plan: Plan, units: Units) -> Iterator[tuple[bool, str]]:
    """Yield how to measure, which rung to take, and where its depths stand; each with whether a calliper is used."""
    found = zip(rung_folders(plan), plan.rungs, strict=True)
    own = [(folder, rung.thickness) for folder, rung in found if rung.stock == stock.key]
    (folder, least), (_next, second), (_last, most) = own[0], own[1], own[-1]
    words = {"least": units.length(least), "most": units.length(most), "step": units.length(second - least)}
    yield (
        True,
        say(
            "Measure the thickness at eight places, at the corners and the middles of the sides, on the faces and "
            "clear of the edge: its burr reads too thick. Note the thickest reading."
        ),
    )
    yield (
        False,
        say(
            "There are drawings for {least} to {most} in steps of {step}. Take the smallest that is not below your "
            "thickest reading; their folders are named like {folder}. Files outside these folders are the same for "
            "every thickness.",
            folder=folder,
            **words,
        ),
    )
    yield (
        False,
        say(
            "If it is above {most}, find a thinner piece; if it is more than {step} below {least}, a thicker one.",
            **words,
        ),
    )
    yield (
        False,
        say(
            "This booklet shows {drawn}. The depths and passes for yours are on the settings sheet, and in "
            "settings.csv in its folder.",
            drawn=units.length(stock.actual),
        ),
    )


def _thickness_words(stock: Stock, kit: Kit, plan: Plan, units: Units) -> list[str]:
    """What another thickness does to joints, through cuts and skins; after facing it is what is left that counts."""
    own = [step for step in plan.steps if step.part.stock.key == stock.key and not step.operation.whole]
    through = [step for step in own if step.through]
    limits = joint_thickness(stock, kit, plan) if stock.ladder is None else None
    found = []
    if limits is not None:
        found.append(
            say(
                "The joints are drawn for this thickness: every reading must lie between {least} and {most}. If one "
                "does not, take another piece.",
                least=units.bound(limits[0], least=True),
                most=units.bound(limits[1], least=False),
            )
        )
    most = stock.actual + min((step.into_spoilboard for step in through), default=math.inf)
    if math.isfinite(most) and stock.ladder is None and (limits is None or limits[1] > most):
        found.append(
            say(
                "If any reading is more than {thickness}, the through cuts will not come through: make them as much "
                "deeper as your piece is thicker than drawn.",
                thickness=units.bound(most, least=False),
            )
        )
    skins = sorted({step.operation.skin for step in own if step.operation.skin})
    if skins:
        found.append(
            say(
                "The skin under the cuts that leave one is {skin} in a piece of {thickness}: where yours is thicker or "
                "thinner, make these cuts as much deeper or shallower.",
                skin=units.length(skins[0]),
                thickness=units.length(stock.actual),
            )
        )
    return found


def joint_thickness(stock: Stock, kit: Kit, plan: Plan) -> tuple[float, float] | None:
    """Return between which thicknesses, mm, a stock has in all its joints the play that they ask for.

    None where no edge of it goes into a slot. Only the sides of a slot that take the thickness count.
    """
    found = [
        (fit.slot - need.clearance[1], fit.slot - need.clearance[0])
        for need in kit.needs
        if isinstance(need, JointNeed) and kit.part(need.takes).stock.key == stock.key
        for slot in slots_of(kit, plan, need)
        for fit in slot.fits
        if math.isclose(fit.part, kit.part(need.takes).thickness, abs_tol=1e-6)
    ]
    return (max(least for least, _most in found), min(most for _least, most in found)) if found else None


def _size_words(stock: Stock, plan: Plan, units: Units) -> str:
    """The piece may be larger, unless it is turned over: then its far end becomes the zero of the other face."""
    if len({planned.face for planned in plan.setups if planned.stock.key == stock.key}) > 1:
        return say(
            "Cut the piece to {size}: {length} exactly, not larger, and with both ends square to the front edge. It is "
            "turned over, and the end that meets the zero of one face is the far end of the other.",
            size=units.size(stock.length, stock.width, places=1),
            length=units.length(stock.length, 1).main,
        )
    return say(
        "Cut the piece to {size} or larger, with two square edges at X0 Y0.",
        size=units.size(stock.length, stock.width, places=1),
    )


def setting_up(kit: Kit, plan: Plan, machines: Sequence[MachinePlan], units: Units) -> tuple[SettingUp, ...]:
    """Return how each face of each stock piece is laid on the machine, in order."""
    return tuple(_setting_up(kit, plan, planned, machines, units) for planned in plan.setups)


def _faces_before(plan: Plan, planned: PlannedSetup) -> tuple[Face, ...]:
    """Return the faces of the same piece that have been cut when this setup begins, in order."""
    before = plan.setups[: plan.setups.index(planned)]
    return tuple(earlier.face for earlier in before if earlier.same_piece(planned))


def setup_title(plan: Plan, planned: PlannedSetup) -> str:
    """Return the name of a setup: the piece of stock, and which face is up when it is the underside."""
    stock = piece_title(planned.sheets, plan)
    return stock if planned.face is Face.TOP else say("{stock}, underside up", stock=stock)


def _setting_up(
    kit: Kit, plan: Plan, planned: PlannedSetup, machines: Sequence[MachinePlan], units: Units
) -> SettingUp:
    hold = next(iter(planned.setup.hold_downs), None)
    fitting = served(machines)
    numbers = class_numbers(plan)
    rooms = [(_PICTURE[0] * share, _PICTURE[1] * share) for share in _SIZES]
    return SettingUp(
        title=setup_title(plan, planned),
        sizes=tuple(
            sheet_picture(kit, planned.sheets[0], planned.places, units, *room, planned.face) for room in rooms
        ),
        captions=(_caption(planned),),
        steps=(*_steps(plan, planned, units), *_cut_here(plan, planned)),
        spots=spots(planned, planned.places, units),
        cautions=tuple(sentence(say_as(one)) for one in hold.cautions) if hold else (),
        machines=tuple((numbers[one.machine.key], say_as(one.machine.name)) for one in fitting),
        rows=hold_rows(plan, fitting, planned),
        messages=(),
        others=other_holds(kit, plan, planned, fitting, units),
        left_out=left_out(planned, fitting),
    )


def _caption(planned: PlannedSetup) -> str:
    words = say("From above. X0 Y0 is the lower left corner of the stock, Z0 the face that is up.")
    if len(planned.sheets) == 1:
        return words
    return f"{words} {say('All {count} pieces are laid out alike.', count=len(planned.sheets))}"


def _cut_here(plan: Plan, planned: PlannedSetup) -> list[Line]:
    """Name the steps that are cut on a piece, where the kit takes several pieces of the stock that differ."""
    if all(other.same_piece(planned) for other in plan.setups if other.stock.key == planned.stock.key):
        return []
    numbers = listed([str(plan.step(key).number) for key in planned.steps])
    return [line(say("Steps on this piece, in this order: {numbers}.", numbers=numbers))]


def _lay_words(plan: Plan, planned: PlannedSetup) -> list[Line]:
    """How the piece comes to lie as it must; nothing to say of a piece that lies as it was drawn."""
    before, top = _faces_before(plan, planned), planned.face is Face.TOP
    turned = any(other.same_piece(planned) and other.face is not planned.face for other in plan.setups)
    if before and before[-1] is not planned.face:
        words = (
            say(
                "Turn the piece back like a page of a book, its left edge to the right and the mark F in front, so "
                "that its top face is up. What was the lower right corner is now the lower left one."
            )
            if top
            else say(
                "Turn the piece over like a page of a book, its left edge to the right and the mark F in front. What "
                "was the lower right corner is now the lower left one."
            )
        )
        return [line(words), line(say("Push it into the same corner of the two strips."))]
    found = []
    if not top:
        found = [
            line(say("Lay the piece with its top face down, the mark F in front. Its underside is cut first."))
            if turned
            else line(say("Lay the piece with its top face down: it is cut from below."))
        ]
    return [*found, line(say("Push it into the corner of the two strips."))] if turned else found


def _corner_words(plan: Plan, planned: PlannedSetup) -> str:
    if _faces_before(plan, planned):
        return say("X0 Y0 stays where it was, at the corner of the strips. Set Z0 anew on the face that is now up.")
    return say("Set X0 Y0 at the lower left corner of the stock and Z0 on the face that is up.")


def _steps(plan: Plan, planned: PlannedSetup, units: Units) -> tuple[Line, ...]:
    hold = planned.setup.hold_downs[0] if planned.setup.hold_downs else None
    steps = _lay_words(plan, planned)
    if hold is not None:
        steps.append(Line(hold_words(hold), hold.uses))
    if planned.places:
        steps.append(Line(_fastener_words(planned), fastener_uses(planned, units)))
        steps += spoilboard_lines(planned, units)
    steps += [
        line(_corner_words(plan, planned)),
        line(_again_words(planned, plan)),
    ]
    if planned.setup.note:
        steps.append(line(sentence(planned.setup.note)))
    return tuple(steps)


def _again_words(planned: PlannedSetup, plan: Plan) -> str:
    """When Z0 is set again: after facing, the spot on which it was set is gone."""
    facing = [step for step in plan.steps if step.key in planned.steps and step.operation.whole]
    if not facing:
        return say("After each change of cutter set Z0 again on the same spot, and leave X and Y as they are.")
    return say(
        "After each change of cutter set Z0 again, and leave X and Y as they are. Step {number} takes the face off: "
        "from then on set Z0 on the new face.",
        number=facing[-1].number,
    )


def _fastener_words(planned: PlannedSetup) -> str:
    places = planned.places
    kinds = sorted({place.kind if place.kind.endswith("s") else f"{place.kind}s" for place in places})
    return say_counted(
        "The crosses mark one place for {kinds}. The cutter stays out of the dashed circles.",
        "The crosses mark {count} places for {kinds}. The cutter stays out of the dashed circles.",
        len(places),
        kinds=listed([say_as(kind) for kind in kinds]),
    )


def proving(plan: Plan, units: Units) -> tuple[str, ...]:
    """Return the proving pass in the air, its height computed from the deepest cut."""
    deepest = max(step.tip for step in plan.steps)
    step = 5.0 if units.first != "in" else MM_PER_INCH / 4
    lifted = units.length(math.ceil((deepest + 10) / step) * step, 0)
    return (
        say(
            "Set Z0 {height} above the stock. The deepest cut of this kit goes {depth} down, so the cutter stays clear "
            "of the wood.",
            height=lifted,
            depth=units.length(deepest, 1),
        ),
        _air_words(plan),
        say(
            "Compare where each step starts and ends with the pictures. If the job is mirrored or rotated, you "
            "will see it here."
        ),
        say("Set Z0 back on the face of the stock before you cut: it is easily forgotten.")
        if len(plan.setups) < 2
        else say(
            "Set Z0 back on the face of the stock before you cut: it is easily forgotten. Do all this again with each "
            "piece and each face that you lay on later."
        ),
    )


def _air_words(plan: Plan) -> str:
    """Return what is run in the air; of what stands in the way only where a kit is held by something that does."""
    kinds = {hold.kind for planned in plan.setups for hold in planned.setup.hold_downs}
    flat = {*TAPES, HoldKind.VACUUM}
    if kinds - flat == {HoldKind.SCREWS}:
        return say(
            "Run the whole job with the spindle off and a hand on the stop button. Check that the cutter stays "
            "over the stock and clears every screw."
        )
    if kinds <= flat:
        return say(
            "Run the whole job with the spindle off and a hand on the stop button. Check that the cutter stays "
            "over the stock."
        )
    return say(
        "Run the whole job with the spindle off and a hand on the stop button. Check that the cutter stays "
        "over the stock and clears every clamp and screw."
    )
