"""Which safety messages this kit needs, decided by what it really does."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from kitforge.language import capital, inside, say, say_as, say_many
from kitforge.model.kit import OperationKind
from kitforge.model.lines import Use
from kitforge.model.workshop import HoldKind
from kitforge.print.figures import listed
from kitforge.print.safety import Harm, SafetyMessage, worst_first
from kitforge.workshop.cutting_data import cutting_data
from kitforge.workshop.load import citation

if TYPE_CHECKING:
    from kitforge.model.kit import Kit, Part
    from kitforge.model.plan import Plan
    from kitforge.model.steps import Step
    from kitforge.model.workshop import HoldDown, Material
    from kitforge.print.figures import Units

_IARC = "IARC Monographs vol. 100C (2012)"


def general_messages(kit: Kit, plan: Plan, units: Units) -> tuple[SafetyMessage, ...]:
    """Return the messages for the safety page, worst first."""
    messages = [_spinning(), _eyes(), _changing_cutters(), _ears(), _dust(kit)]
    messages += [_fasteners(kit)] if uses(kit, HoldKind.BRADS, HoldKind.SCREWS) else []
    messages += [freed_parts(small)] if (small := loose_small_parts(kit, plan)) else []
    messages += [_tape_glue()] if uses(kit, HoldKind.TAPE_AND_GLUE) else []
    messages += [_vacuum()] if uses(kit, HoldKind.VACUUM) else []
    messages += [oily_rags(say_as(kit.finishing.finish.name))] if _self_heats(kit) and kit.finishing.finish else []
    messages += [_spoilboard(plan, units)] if any(step.through for step in plan.steps) else []
    return worst_first(messages)


def deferring(kit: Kit) -> tuple[str, ...]:
    """Return what stands above this booklet, and what it was not made for."""
    makers = [say("the manual of your machine"), say("the marks and data of your cutters")]
    makers += [say("the maker's data of the finish")] if kit.finishing.finish else []
    return (
        *_not_stated(kit),
        say(
            "{makers} take precedence over this booklet, and so do the laws and codes where you live.",
            makers=capital(listed(makers)),
        ),
        say("Written for {reader}. Children and bystanders stay out of reach of the machine.", reader=_reader(kit)),
        say("This piece has not been tested as a toy for small children."),
    )


def _not_stated(kit: Kit) -> tuple[str, ...]:
    """What the maker of the kit leaves open is said to be open."""
    things = [thing.item for thing in kit.hardware if thing.hazards is None]
    if not things:
        return ()
    return (
        say(
            "The maker of this kit does not say which dangers these bring: {things}. Read what comes with them.",
            things=listed(things),
        ),
    )


def uses(kit: Kit, *kinds: HoldKind) -> bool:
    """Whether the first choice of any setup is one of these hold-downs."""
    return any(hold.kind in kinds for hold in first_holds(kit))


def first_holds(kit: Kit) -> tuple[HoldDown, ...]:
    """Return the hold-down that each setup uses unless the maker chooses another, without repeats."""
    return tuple(dict.fromkeys(setup.hold_downs[0] for setup in kit.setups if setup.hold_downs))


def loose_small_parts(kit: Kit, plan: Plan) -> tuple[Part, ...]:
    """Return the small parts that a cut frees with neither tab nor skin to keep them."""
    small = cutting_data().small_part_area.value
    loose = {part for step in plan.steps if step.operation.hold is None for part in plan.freed.get(step.key, ())}
    return tuple(part for part in kit.parts if abs(part.outline.area) < small and part.key in loose)


def step_messages(plan: Plan, step: Step, kit: Kit, near_fasteners: bool) -> tuple[SafetyMessage, ...]:
    """Return the messages that belong right before one step."""
    messages = []
    small = [part for part in loose_small_parts(kit, plan) if part.key in plan.freed.get(step.key, ())]
    if small:
        messages.append(freed_parts(tuple(small)))
    if near_fasteners:
        messages.append(_fasteners_here(step, kit))
    if step.through and _held_by_vacuum(step, kit):
        messages.append(_vacuum())
    return tuple(messages)


def _held_by_vacuum(step: Step, kit: Kit) -> bool:
    """Whether the first choice of hold-down for this step's piece and face is vacuum."""
    return HoldKind.VACUUM in _first_holds(step, kit)


def _first_holds(step: Step, kit: Kit) -> set[HoldKind]:
    holds = [setup.hold_downs for setup in kit.setups if (setup.stock, setup.face) == (step.part.stock.key, step.face)]
    return {found[0].kind for found in holds if found}


def _reader(kit: Kit) -> str:
    if kit.info.skill == "beginner":
        return say("beginners who know how to start, stop and zero their own machine")
    if kit.info.skill == "some practice":
        return say("makers who have cut a few projects on their own machine")
    return say("experienced users of a router of their own")


def _spinning() -> SafetyMessage:
    return SafetyMessage(
        Harm.SERIOUS,
        say("Spinning cutter"),
        say("The cutter moves by itself and faster than you can pull away."),
        say("It cuts deep, and draws in sleeves, hair, cords and gloves."),
        say(
            "Keep hands out of the working area until the spindle has stopped. Wear no gloves near it. "
            "Know where the stop button is, and never leave the machine while it cuts."
        ),
        "HSE Woodworking Information Sheet 22",
    )


def _eyes() -> SafetyMessage:
    return SafetyMessage(
        Harm.SERIOUS,
        say("Flying chips"),
        say("Chips, dust and pieces of a broken cutter leave the work at speed."),
        say("They can cost you an eye."),
        say("Wear eye protection that is marked for impact whenever the spindle turns. So does whoever watches."),
        uses=(Use("eye_protection"),),
    )


def _changing_cutters() -> SafetyMessage:
    return SafetyMessage(
        Harm.SERIOUS,
        say("Changing cutters"),
        say("A spindle that starts while a hand is at the collet does not stop in time."),
        say("It can cut to the bone."),
        say(
            "Cut the power to the spindle before you touch a cutter. Hold cutters by the shank: their edges stay sharp."
        ),
    )


def _ears() -> SafetyMessage:
    return SafetyMessage(
        Harm.SERIOUS,
        say("Noise"),
        say("Router, extraction and cut together are loud for as long as the job runs."),
        say("Hearing that is lost does not come back."),
        say("Wear ear protection while the spindle turns."),
        uses=(Use("ear_protection"),),
    )


def _dust(kit: Kit) -> SafetyMessage:
    materials = sorted({stock.material.key: stock.material for stock in kit.stock.values()}.items())
    woods = [material for _, material in materials]
    names = listed([inside(say_as(wood.name)) for wood in woods])
    sources = dict.fromkeys(citation(wood.dust_source) for wood in woods if wood.dust_source)
    return SafetyMessage(
        Harm.SERIOUS,
        say("Wood dust"),
        say("Cutting and sanding {woods} fills the air with fine dust, glue dust with it.", woods=names)
        if any(wood.is_panel for wood in woods)
        else say("Cutting and sanding {woods} fills the air with fine dust.", woods=names),
        _dust_effects(woods),
        say("Run extraction at the cutter, wear a dust mask that seals, and vacuum: never sweep or blow dust off."),
        "; ".join(sources or (_IARC,)),
        (Use("extraction"), Use("dust_mask"), Use("vacuum_cleaner")),
    )


def _dust_effects(woods: Sequence[Material]) -> str:
    text = say("Breathed in over time, wood dust can cause asthma and cancer of the nose.")
    effects = [
        f"{inside(say_as(wood.name))}: {listed([say_as(effect) for effect in wood.dust_effects])}"
        for wood in woods
        if wood.dust_effects
    ]
    return f"{text} {say('Also reported for {effects}.', effects='; '.join(effects))}" if effects else text


def _fasteners(kit: Kit) -> SafetyMessage:
    if not uses(kit, HoldKind.BRADS):
        held = say("This kit is held down with screws, close to where the cutter runs.")
    elif not uses(kit, HoldKind.SCREWS):
        held = say("This kit is held down with brads, close to where the cutter runs.")
    else:
        held = say("This kit is held down with brads or screws, close to where the cutter runs.")
    return SafetyMessage(
        Harm.SERIOUS,
        say("Steel in the stock"),
        held,
        say("A cutter that meets steel can shatter and throw pieces."),
        say(
            "Place every fastener where the hold-down picture shows it, outside the cut. With the spindle off, "
            "move the cutter round the whole job and look."
        ),
    )


def _fasteners_here(step: Step, kit: Kit) -> SafetyMessage:
    kinds = _first_holds(step, kit)
    if kinds == {HoldKind.SCREWS}:
        stands = say("A screw stands close to this cut.")
    elif kinds == {HoldKind.BRADS}:
        stands = say("A brad stands close to this cut.")
    else:
        stands = say("A brad, screw or clamp stands close to this cut.")
    return SafetyMessage(
        Harm.SERIOUS,
        say("Steel beside this cut"),
        stands,
        say("A cutter that meets it can shatter and throw pieces."),
        say("Check the place of each one with the spindle off before you start this step."),
    )


def freed_parts(parts: tuple[Part, ...]) -> SafetyMessage:
    """Return the message about small parts that come loose."""
    names = listed([part.title for part in parts])
    return SafetyMessage(
        Harm.SERIOUS,
        say("Small loose parts"),
        say_many(
            "{parts}: nothing holds it at the end of the freeing cut.",
            "{parts}: nothing holds them at the end of the freeing cut.",
            len(parts),
            parts=names,
        ),
        say("The cutter can catch a loose part and throw it."),
        say("Hold small parts from below with tape, keep the guard or door closed, and stand to the side."),
    )


def _tape_glue() -> SafetyMessage:
    return SafetyMessage(
        Harm.MODERATE,
        say("Instant glue"),
        say("Cyanoacrylate glue joins skin in seconds, and grows hot on cotton or paper."),
        say("Glued fingers, burns, stinging vapour."),
        say(
            "Air the room, keep cloth away, wear eye protection. Free glued skin with warm soapy water, never by "
            "force; with glue in an eye, rinse with warm water and see a doctor."
        ),
        say("First-aid sheets for cyanoacrylate adhesives"),
    )


def _vacuum() -> SafetyMessage:
    return SafetyMessage(
        Harm.SERIOUS,
        say("Loss of vacuum"),
        say("The parts are held by vacuum alone; a cut through the work lets air in."),
        say("A part can come loose and be thrown."),
        say("Watch the gauge, and stop when it falls."),
    )


def oily_rags(finish: str) -> SafetyMessage:
    """Return the message about rags that set themselves on fire."""
    return SafetyMessage(
        Harm.SERIOUS,
        say("Oily rags"),
        say("Rags wet with {finish} heat up by themselves while they dry.", finish=inside(finish)),
        say("A heap of them can set the house on fire hours later."),
        say(
            "Never pile them. Spread them outside, one layer, until they are dry and stiff, then keep them in a metal "
            "can with a tight lid, filled with water and detergent."
        ),
        "NFPA tip sheet “Safety with Oily Rags” (2017)",
        (Use("rag_can"),),
    )


def _self_heats(kit: Kit) -> bool:
    return kit.finishing.finish is not None and kit.finishing.finish.self_heating


def _spoilboard(plan: Plan, units: Units) -> SafetyMessage:
    deepest = max(step.into_spoilboard for step in plan.steps)
    drills = any(step.operation.does is OperationKind.DRILL and step.through for step in plan.steps)
    depth = units.length(deepest)
    return SafetyMessage(
        Harm.DAMAGE,
        say("Spoilboard"),
        say("The cuts that go through reach up to {depth} below the stock.", depth=depth)
        if drills
        else say("The through cuts go {depth} below the stock.", depth=depth),
        say("Without a spoilboard they go into the table of the machine."),
        say("Lay a flat spoilboard under the whole stock, thicker than that by a good margin."),
        uses=(Use("spoilboard"),),
    )
