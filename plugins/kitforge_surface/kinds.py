"""The kinds of findings of the surface check."""

from __future__ import annotations

from kitforge.model.findings import FindingType, Severity

CUTS_NOTHING = FindingType(
    "cuts-nothing",
    Severity.WARNING,
    "A step takes no wood away where its part lies.",
    after=("area-open", "shape-repeated", "feature-outside"),
)
CUT_AWAY_LATER = FindingType("cut-away-later", Severity.WARNING, "Later steps cut away what a step has made.")
RIDGES_LEFT = FindingType("ridges-left", Severity.ERROR, "Strips stay standing between the passes of a cleared floor.")
FACES_MEET = FindingType("faces-meet", Severity.ERROR, "A cut from one face comes out in a cut from the other.")
WEB_THIN = FindingType("web-thin", Severity.WARNING, "The wood between cuts from the top and from the bottom is thin.")
SHANK_RUBS = FindingType("shank-rubs", Severity.ERROR, "A thicker shank touches the wood above the cutting edges.")
BEYOND_CUTTING_LENGTH = FindingType(
    "beyond-cutting-length", Severity.WARNING, "The cut is deeper than the cutting edges are long."
)
NUT_NEAR_WOOD = FindingType(
    "nut-near-wood", Severity.WARNING, "The collet nut comes down to the wood beside a deep cut."
)
BELOW_STOCK = FindingType(
    "below-stock", Severity.ERROR, "A cut of the face or of an edge goes down into the spoilboard."
)
SPOILBOARD_DEEP = FindingType(
    "spoilboard-deep", Severity.WARNING, "A through cut goes deep into the spoilboard for nothing."
)
THROUGH_SHALLOW = FindingType(
    "through-shallow", Severity.WARNING, "A through cut ends right at the underside of the stock."
)
THROUGH_TAPERS = FindingType(
    "through-tapers", Severity.WARNING, "The end of a cutter does not come out whole, so a through cut narrows."
)

KINDS = (
    CUTS_NOTHING,
    CUT_AWAY_LATER,
    RIDGES_LEFT,
    FACES_MEET,
    WEB_THIN,
    SHANK_RUBS,
    BEYOND_CUTTING_LENGTH,
    NUT_NEAR_WOOD,
    BELOW_STOCK,
    SPOILBOARD_DEEP,
    THROUGH_SHALLOW,
    THROUGH_TAPERS,
)
