"""Dangers of the finished piece, told only where the kit itself says that they are there.

The kit's own words decide: hardware, assembly and notes are searched for the words below, in English as kits are
written, and small loose parts are measured.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from kitforge.language import say, say_as
from kitforge.print.figures import listed
from kitforge.print.safety import Harm, Message

if TYPE_CHECKING:
    from kitforge.kit import Kit, Part

SMALL_ACROSS, SMALL_HIGH = 31.7, 57.1
"""The test cylinder for small parts: diameter and greatest depth, mm. 16 CFR 1501.4 (figures recalled)."""

_BATTERY = r"\b(battery|batteries|clock (?:movement|insert|works))\b"
_MAINS = r"\b(leds?|lamps?|light modules?|bulbs?|power suppl(?:y|ies)|transformers?|usb|chargers?|wiring)\b"
_HANGING = r"\b(wall plugs?|wall anchors?|picture hooks?|keyhole|hangers?|(?:on|to|into) (?:a|the) wall|wall screws?)\b"
_SMALL = r"\b(marbles?|small parts?|magnets?|beads?|button cells?|coin cells?)\b"
_FOOD = r"\b(food|bread|cheese|cutting board|chopping board|serving|fruit bowl)\b"


def use_messages(kit: Kit) -> tuple[Message, ...]:
    """Return the messages about living with the finished piece."""
    found = (_electrics(kit), _hanging(kit), _small_parts(kit), _food(kit))
    return tuple(message for message in found if message is not None)


def says(kit: Kit, pattern: str) -> str:
    """Return the first thing that the kit itself says about a danger, '' where it says nothing.

    Things to buy are looked through first, then assembly, then notes and summary.
    """
    texts = [item.item for item in kit.hardware]
    texts += [item.note for item in kit.hardware if item.note]
    texts += [text for step in kit.assembly for text in (step.text, step.caution or "")]
    texts += [*kit.notes, kit.info.summary]
    return next((text for text in texts if re.search(pattern, text, re.IGNORECASE)), "")


def bought(kit: Kit, pattern: str) -> list[str]:
    """Return the things to buy whose names hold a word."""
    return [item.item for item in kit.hardware if re.search(pattern, item.item, re.IGNORECASE)]


def small_parts(kit: Kit) -> list[Part]:
    """Return the loose parts that fit the test cylinder for small parts, whichever way they are put in."""
    return [part for part in kit.parts if _fits_cylinder(part)]


def _fits_cylinder(part: Part) -> bool:
    box = part.outline.bounds
    sizes = sorted((box.width, box.height, part.thickness))
    across = (sizes[0] ** 2 + sizes[1] ** 2) ** 0.5
    return across <= SMALL_ACROSS and sizes[2] <= SMALL_HIGH


def _electrics(kit: Kit) -> Message | None:
    if not (bought(kit, _MAINS) or bought(kit, _BATTERY)):
        return None
    if not bought(kit, _MAINS):
        return Message(
            Harm.MODERATE,
            say("Batteries"),
            say("A battery that is short-circuited or put in the wrong way round heats up and leaks."),
            say("Burns, and a ruined piece."),
            say("Use the kind that the maker names, take it out when it is empty, and keep it from children."),
        )
    return Message(
        Harm.SERIOUS,
        say("Electric parts nearby"),
        say("This piece holds an electric device: wood beside it is heated for hours, and cables can be pinched."),
        say("Wood that stays hot for long can catch fire; a damaged cable can give a shock."),
        say(
            "Build in closed, certified low-voltage devices only, leave the clearance that their maker asks for, "
            "change nothing in them, and unplug them before you work on the piece. Drill and cut nothing once they "
            "are in."
        ),
        "Babrauskas, Gray, Janssens, Fire and Materials 31 (2007), pp. 125–135",
    )


def _hanging(kit: Kit) -> Message | None:
    if not (bought(kit, _HANGING) or any(re.search(_HANGING, s.text, re.IGNORECASE) for s in kit.assembly)):
        return None
    return Message(
        Harm.MODERATE,
        say("Hanging on a wall"),
        say("A piece on a wall is only as firm as the wall, the plug and the screw. No load was tested for this kit."),
        say("It can come down on somebody, and a drill can meet a cable or a pipe."),
        say(
            "Find out what the wall is made of, take a plug and screw that are made for it, look for cables and pipes "
            "before you drill, and pull hard on the fixing before you hang anything."
        ),
    )


def _small_parts(kit: Kit) -> Message | None:
    things = bought(kit, _SMALL)
    parts = [part.title for part in small_parts(kit)]
    said = says(kit, r"\bsmall parts?\b")
    if not (things or parts or said):
        return None
    named = listed(list(dict.fromkeys([*(_short(thing) for thing in things), *parts])))
    what = (
        say("{things}: small enough to be swallowed.", things=named)
        if named
        else say("The kit has parts that are small enough to be swallowed.")
    )
    return Message(
        Harm.SERIOUS,
        say("Small parts and children"),
        what,
        say("A small child can choke on them."),
        say("Keep them from children under three years, and count them when you put the piece away."),
        "16 CFR 1501",
    )


def _short(thing: str) -> str:
    return thing.split(",", maxsplit=1)[0]


def _food(kit: Kit) -> Message | None:
    finish = kit.finishing.finish
    if finish is None or not finish.food_contact or not says(kit, _FOOD):
        return None
    return Message(
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
