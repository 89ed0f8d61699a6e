"""What an author states about the finished piece beside its shape: what is bought for it, its hazards, its use, trials.

These are fields, chosen from lists. No program reads them out of words: what is not stated is unknown, never none.
"""

from __future__ import annotations

from enum import StrEnum

from kitforge.model.findings import KIT_FILE, Source
from kitforge.model.lines import Line
from kitforge.model.record import record


class Hazard(StrEnum):
    """A danger that a bought thing brings into the piece; NONE: the author says that it brings none of these."""

    MAINS = "mains"
    BATTERY = "battery"
    BUTTON_CELL = "button cell"
    MAGNET = "magnet"
    SMALL_PART = "small part"
    GLASS = "glass"
    HEAT = "heat"
    WALL_FIXING = "wall fixing"
    FOOD_CONTACT = "food contact"
    NONE = "none"


ABOUT_HAZARDS = {
    Hazard.MAINS: "plugs into the mains, or is fed from a power supply that does",
    Hazard.BATTERY: "runs on batteries or cells, other than button cells",
    Hazard.BUTTON_CELL: "holds or takes button cells (coin cells)",
    Hazard.MAGNET: "is a magnet, or holds one that can come loose",
    Hazard.SMALL_PART: "is loose or comes off, and is small enough for a child to swallow",
    Hazard.GLASS: "is glass, or another thing that breaks into sharp pieces",
    Hazard.HEAT: "burns, or is too hot to touch in use: a candle, a heater, a bulb that glows",
    Hazard.WALL_FIXING: "holds the piece on a wall or ceiling",
    Hazard.FOOD_CONTACT: "touches food",
    Hazard.NONE: "none of these",
}
"""Each hazard in the words of a list: a thing that ..."""

ELECTRIC = (Hazard.MAINS, Hazard.BATTERY, Hazard.BUTTON_CELL)
"""Hazards of things that current flows through."""


class PieceUse(StrEnum):
    """Where and how the finished piece is used. INDOORS and OUTDOORS may both be true."""

    INDOORS = "indoors"
    OUTDOORS = "outdoors"
    FOOD = "food"
    CHILDREN = "children"
    WALL = "wall"


ABOUT_USES = {
    PieceUse.INDOORS: "stands or hangs in a heated house",
    PieceUse.OUTDOORS: "stands or hangs outdoors, rain or not",
    PieceUse.FOOD: "food touches it",
    PieceUse.CHILDREN: "it is for children, or meant to be within their reach",
    PieceUse.WALL: "it hangs on a wall or ceiling",
}
"""Each use in the words of a list."""


@record
class Hardware:
    """A thing to buy beside wood and finish. hazards: None where the author does not say."""

    item: str
    count: str
    use: str | None = None
    note: str | None = None
    hazards: tuple[Hazard, ...] | None = None
    source: Source = Source(KIT_FILE)

    def brings(self, *hazards: Hazard) -> bool:
        """Whether the author says that it brings one of these."""
        return any(hazard in (self.hazards or ()) for hazard in hazards)


@record
class Tried:
    """A trial that the author made: on which machine (its printed name), in which wood, when, and what was seen."""

    machine: str
    wood: str
    date: str
    seen: str
    source: Source


class When(StrEnum):
    """When a step of finishing is done, in this order."""

    SANDING = "sanding"
    BEFORE = "before"
    BETWEEN = "between"
    AFTER = "after"


@record
class FinishingStep:
    """A step of finishing in the author's own words, and when it is done."""

    line: Line
    when: When = When.BEFORE


@record
class WrittenText:
    """Where a text of the author's stands or is missing, and the languages in which it was given."""

    source: Source
    languages: tuple[str, ...]


@record
class Change:
    """What changed in a version of the kit."""

    version: str
    date: str | None
    text: tuple[str, ...]
