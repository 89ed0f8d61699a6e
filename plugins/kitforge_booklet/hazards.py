"""Dangers of the finished piece, told where the kit states that they are there.

The fields of the kit decide: the hazards of the things that are bought and the use of the piece. Its words decide
nothing. Small loose parts are measured.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from kitforge.language import inside, say, say_as
from kitforge.model.facts import Hazard, PieceUse
from kitforge.planning.small_parts import small_parts
from kitforge.print.figures import listed
from kitforge.print.safety import Harm, SafetyMessage

if TYPE_CHECKING:
    from collections.abc import Sequence

    from kitforge.model.kit import Kit


def use_messages(kit: Kit) -> tuple[SafetyMessage, ...]:
    """Return the messages about living with the finished piece."""
    makers = (_mains, _batteries, _button_cells, _magnets, _small_parts, _heat, _glass, _hanging, _food)
    found = (make(kit) for make in makers)
    return tuple(message for message in found if message is not None)


def bringing(kit: Kit, *hazards: Hazard) -> list[str]:
    """Return the names of the things to buy that the author says bring one of these hazards."""
    return [thing.item for thing in kit.hardware if thing.brings(*hazards)]


def _mains(kit: Kit) -> SafetyMessage | None:
    if not bringing(kit, Hazard.MAINS):
        return None
    return SafetyMessage(
        Harm.SERIOUS,
        say("Electric parts nearby"),
        say("This piece holds an electric device: wood beside it is heated for hours, and cables can be pinched."),
        say("Wood that stays hot for long can catch fire; a damaged cable can give a shock."),
        say(
            "Build in closed, certified devices only, leave the clearance that their maker asks for, change nothing in "
            "them, and unplug them before you work on the piece. Wiring for mains voltage is work for a licensed "
            "electrician. Drill and cut nothing once they are in."
        ),
        "Babrauskas, Gray, Janssens, Fire and Materials 31 (2007), pp. 125–135",
    )


def _batteries(kit: Kit) -> SafetyMessage | None:
    if not bringing(kit, Hazard.BATTERY):
        return None
    return SafetyMessage(
        Harm.MODERATE,
        say("Batteries"),
        say("A battery that is short-circuited or put in the wrong way round heats up and leaks."),
        say("Burns, and a ruined piece."),
        say("Use the kind that the maker names, take it out when it is empty, and keep it from children."),
    )


def _button_cells(kit: Kit) -> SafetyMessage | None:
    if not bringing(kit, Hazard.BUTTON_CELL):
        return None
    return SafetyMessage(
        Harm.SERIOUS,
        say("Button cells"),
        say("A swallowed button cell burns through the gullet from inside, within hours, even an empty one."),
        say("It can kill a child."),
        say(
            "Buy a device whose battery lid needs a tool. Keep new and empty cells locked away. If one may have been "
            "swallowed, go to a hospital at once; do not wait for signs."
        ),
        "16 CFR 1263",
    )


def _magnets(kit: Kit) -> SafetyMessage | None:
    if not bringing(kit, Hazard.MAGNET):
        return None
    return SafetyMessage(
        Harm.SERIOUS,
        say("Magnets"),
        say("Magnets that are swallowed pull together through the walls of the gut."),
        say("They can tear holes that need surgery, and can kill a child."),
        say(
            "Set them so that none can come loose, count them, and keep loose ones from children. Keep them away from "
            "pacemakers. If one may have been swallowed, go to a hospital at once."
        ),
        "16 CFR 1262",
    )


def _heat(kit: Kit) -> SafetyMessage | None:
    if not bringing(kit, Hazard.HEAT):
        return None
    return SafetyMessage(
        Harm.SERIOUS,
        say("Heat and flame"),
        say("A part of this piece burns or is hot in use, beside wood and its finish."),
        say("Wood, finish and cloth can catch fire; hot parts burn fingers."),
        say(
            "Keep the distance to wood that its maker asks for, never leave it burning or hot when you go out or "
            "sleep, and keep it from children and curtains."
        ),
    )


def _glass(kit: Kit) -> SafetyMessage | None:
    if not (things := bringing(kit, Hazard.GLASS)):
        return None
    return SafetyMessage(
        Harm.MODERATE,
        say("Sharp pieces"),
        say("{things}: broken pieces have sharp edges.", things=_named(things)),
        say("They cut hands and feet."),
        say("Put glass in last, force nothing, and take up broken pieces with a brush, not by hand."),
    )


def _hanging(kit: Kit) -> SafetyMessage | None:
    if PieceUse.WALL not in kit.info.uses and not bringing(kit, Hazard.WALL_FIXING):
        return None
    return SafetyMessage(
        Harm.SERIOUS,
        say("Hanging on a wall"),
        say("A piece on a wall is only as firm as the wall, the plug and the screw. No load was tested for this kit."),
        say("It can come down on somebody's head; a drill that meets a cable can kill."),
        say(
            "Find out what the wall is made of, take a plug and screw that are made for it, look for cables and pipes "
            "before you drill, and pull hard on the fixing before you hang anything."
        ),
    )


def _small_parts(kit: Kit) -> SafetyMessage | None:
    things = bringing(kit, Hazard.SMALL_PART, Hazard.BUTTON_CELL, Hazard.MAGNET)
    parts = [part.title for part in small_parts(kit)]
    if not (things or parts):
        return None
    return SafetyMessage(
        Harm.SERIOUS,
        say("Small parts and children"),
        say(
            "{things}: small enough to be swallowed.",
            things=_named([*things, *parts]),
        ),
        say("A small child can choke on them."),
        say("Keep them from children under three years, and count them when you put the piece away."),
        "16 CFR 1501",
    )


def _named(things: Sequence[str]) -> str:
    """Return the names of things without what is said behind a comma, each once, as the beginning of a sentence."""
    names = list(dict.fromkeys(thing.split(",", maxsplit=1)[0] for thing in things))
    return listed([*names[:1], *(inside(name) for name in names[1:])])


def _food(kit: Kit) -> SafetyMessage | None:
    finish = kit.finishing.finish
    touches = PieceUse.FOOD in kit.info.uses or bringing(kit, Hazard.FOOD_CONTACT)
    if finish is None or not finish.food_contact or not touches:
        return None
    return SafetyMessage(
        Harm.MODERATE,
        say("Food on the wood"),
        say(
            "{finish} is fit for food only as its maker states it, and only when it is fully cured.",
            finish=say_as(finish.name),
        ),
        say("What has not cured can go over into food."),
        say(
            "Wait the full time of curing, and lay no wet or greasy food on it before. {food}",
            food=say_as(finish.food_contact),
        ),
    )
