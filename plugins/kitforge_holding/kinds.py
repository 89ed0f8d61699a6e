"""The kinds of findings about holding: hold-downs, tabs, onion skins, fasteners."""

from __future__ import annotations

from kitforge.model.findings import FindingType, Severity

# What an outline that is not closed or crosses itself divides the stock into is not certain.
_UNSOUND = ("outline-open", "drawing-gap", "outline-crossing", "outline-overlap", "shape-crossing", "shapes-overlap")
HOLD_TOO_WEAK = FindingType(
    "hold-too-weak", Severity.ERROR, "No hold-down of a setup bears the cutting force.", after=_UNSOUND
)
HOLD_FIRST_TOO_WEAK = FindingType(
    "hold-first-too-weak",
    Severity.WARNING,
    "The first hold-down of a setup is too weak, another one is not.",
    after=_UNSOUND,
)
NO_HOLD_DOWN = FindingType("no-hold-down", Severity.ERROR, "A setup has no hold-down at all.")
PART_LOOSE = FindingType(
    "part-loose", Severity.ERROR, "A part, or a piece of it, is cut free and nothing keeps it in place.", after=_UNSOUND
)
LOOSE_PIECE = FindingType(
    "loose-piece", Severity.ERROR, "Waste is cut loose beside the turning cutter, and nothing keeps it.", after=_UNSOUND
)
SMALL_WASTE = FindingType("small-waste", Severity.WARNING, "Waste too small to be held is cut loose and may be thrown.")
HOLD_UNSUITED = FindingType(
    "hold-unsuited", Severity.WARNING, "A hold-down does not suit the cuts or the stock; the first one must."
)
TAPE_ON_OILY_WOOD = FindingType(
    "tape-on-oily-wood", Severity.WARNING, "Tape sticks badly on a wood that is oily by nature."
)
BRIDGES_TOO_WEAK = FindingType(
    "bridges-too-weak",
    Severity.ERROR,
    "Tabs, onion skin and what is under a part do not bear the cut that frees it.",
    after=_UNSOUND,
)
BRIDGES_NEAR_LIMIT = FindingType(
    "bridges-near-limit",
    Severity.WARNING,
    "Tabs, onion skin and what is under a part bear the cut that frees it, with less than their safety factor.",
    after=_UNSOUND,
)

TABS_FEW = FindingType("tabs-few", Severity.WARNING, "A part hangs on fewer than three tabs.")
TAB_SMALL = FindingType("tab-small", Severity.WARNING, "A tab is so narrow or thin that it breaks by itself.")
TAB_THICK = FindingType("tab-thick", Severity.WARNING, "A tab is thicker than half the stock, and hard to cut.")
TAB_UNCUT = FindingType(
    "tab-uncut", Severity.ERROR, "A tab is as high as the cut is deep, so the line is not cut there."
)
TAB_IN_CORNER = FindingType(
    "tab-in-corner", Severity.WARNING, "A tab sits in a corner, where it is hard to cut and to sand."
)
TAB_OFF_OUTLINE = FindingType(
    "tab-off-outline", Severity.WARNING, "The place given for a tab is not on the line that is cut."
)
TAB_NO_FRAME = FindingType("tab-no-frame", Severity.ERROR, "A tab ends in the air: there is no stock beyond the cut.")
SKIN_THICK = FindingType("skin-thick", Severity.WARNING, "An onion skin is too thick to be sanded or cut away by hand.")
SKIN_THIN = FindingType("skin-thin", Severity.WARNING, "An onion skin is thinner than stock and spoilboard are flat.")

FENCE_IN_CUT = FindingType(
    "fence-in-cut",
    Severity.ERROR,
    "Fences and wedges stand where a step runs over the edge of the stock, too low to hold.",
)
FENCE_LOW = FindingType(
    "fence-low", Severity.NOTE, "A step runs over the edge of the stock, so that fences and wedges must be low."
)
FASTENER_IN_CUT = FindingType("fastener-in-cut", Severity.ERROR, "A fastener or clamp is in the way of the cutter.")
FASTENER_IN_PART = FindingType("fastener-in-part", Severity.WARNING, "A screw or brad goes through a part.")
FASTENER_OFF_STOCK = FindingType("fastener-off-stock", Severity.ERROR, "A fastener or clamp does not touch the stock.")
FASTENER_REPEATED = FindingType("fastener-repeated", Severity.WARNING, "Two fasteners are at the same place.")
FASTENER_UNUSED = FindingType(
    "fastener-unused", Severity.WARNING, "Places for fasteners are given, but no hold-down uses them."
)
NO_FASTENER_ROOM = FindingType(
    "no-fastener-room", Severity.ERROR, "There is no place on the stock for the fasteners that shall hold it."
)

KINDS = tuple(value for value in list(globals().values()) if isinstance(value, FindingType))
