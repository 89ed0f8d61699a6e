"""The kinds of findings about holding: hold-downs, tabs, onion skins, fasteners."""

from __future__ import annotations

from kitforge.model.findings import Kind, Severity

HOLD_TOO_WEAK = Kind("hold-too-weak", Severity.ERROR, "No hold-down of a setup bears the cutting force.")
HOLD_FIRST_TOO_WEAK = Kind(
    "hold-first-too-weak", Severity.WARNING, "The first hold-down of a setup is too weak, another one is not."
)
NO_HOLD_DOWN = Kind("no-hold-down", Severity.ERROR, "A setup has no hold-down at all.")
PART_LOOSE = Kind("part-loose", Severity.ERROR, "A part is cut free and nothing keeps it in place.")
BRIDGES_TOO_WEAK = Kind(
    "bridges-too-weak", Severity.ERROR, "Tabs, onion skin and what is under a part do not bear the cut that frees it."
)

TABS_FEW = Kind("tabs-few", Severity.WARNING, "A part hangs on fewer than three tabs.")
TAB_SMALL = Kind("tab-small", Severity.WARNING, "A tab is so narrow or thin that it breaks by itself.")
TAB_THICK = Kind("tab-thick", Severity.WARNING, "A tab is thicker than half the stock, and hard to cut.")
TAB_UNCUT = Kind("tab-uncut", Severity.ERROR, "A tab is as high as the cut is deep, so the line is not cut there.")
TAB_IN_CORNER = Kind("tab-in-corner", Severity.WARNING, "A tab sits in a corner, where it is hard to cut and to sand.")
TAB_OFF_OUTLINE = Kind("tab-off-outline", Severity.WARNING, "The place given for a tab is not on the line that is cut.")
TAB_NO_FRAME = Kind("tab-no-frame", Severity.ERROR, "A tab ends in the air: there is no stock beyond the cut.")
SKIN_THICK = Kind("skin-thick", Severity.WARNING, "An onion skin is too thick to be sanded or cut away by hand.")
SKIN_THIN = Kind("skin-thin", Severity.WARNING, "An onion skin is thinner than stock and spoilboard are flat.")

FASTENER_IN_CUT = Kind("fastener-in-cut", Severity.ERROR, "A fastener or clamp is in the way of the cutter.")
FASTENER_IN_PART = Kind("fastener-in-part", Severity.WARNING, "A screw or brad goes through a part.")
FASTENER_OFF_STOCK = Kind("fastener-off-stock", Severity.ERROR, "A fastener or clamp does not touch the stock.")
FASTENER_REPEATED = Kind("fastener-repeated", Severity.WARNING, "Two fasteners are at the same place.")
FASTENER_UNUSED = Kind(
    "fastener-unused", Severity.WARNING, "Places for fasteners are given, but no hold-down uses them."
)
NO_FASTENER_ROOM = Kind(
    "no-fastener-room", Severity.ERROR, "There is no place on the stock for the fasteners that shall hold it."
)

KINDS = tuple(value for value in list(globals().values()) if isinstance(value, Kind))
