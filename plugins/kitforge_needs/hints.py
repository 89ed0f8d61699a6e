"""Words that may hint at a hazard, in English and German. They make an advice longer; they decide nothing."""

from __future__ import annotations

import re

from kitforge.model.facts import Hazard

_HINTS = {
    Hazard.MAINS: r"leds?|lamps?|bulbs?|light|power suppl|transformer|usb|charger|wiring|plug-in|socket"
    r"|leucht|lampe|fassung|netzteil|steckdose|trafo|ladeger",
    Hazard.BATTERY: r"batter|movement|clockwork|uhrwerk|akku",
    Hazard.BUTTON_CELL: r"button cell|coin cell|knopfzelle",
    Hazard.MAGNET: r"magnet",
    Hazard.SMALL_PART: r"marble|bead|button|small part|felt|murmel|perle|knopf|kleinteil|filz",
    Hazard.GLASS: r"glass|mirror|glas|spiegel",
    Hazard.HEAT: r"candle|tealight|heater|bulb|halogen|kerze|teelicht|glühbirne|heiz",
    Hazard.WALL_FIXING: r"wall|keyhole|hanger|picture hook|dowel|wand|dübel|aufhäng|bilderhaken",
    Hazard.FOOD_CONTACT: r"food|cutting board|knife|lebensmittel|schneidbrett|messer",
}


def suggested(text: str) -> tuple[Hazard, ...]:
    """Return the hazards that words of a text may hint at."""
    return tuple(hazard for hazard, words in _HINTS.items() if re.search(rf"\b(?:{words})", text, re.IGNORECASE))
