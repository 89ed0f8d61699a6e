"""The kinds of findings that reading and resolving a kit can make."""

from __future__ import annotations

from kitforge.model.findings import FindingType, Severity

KIT_MISSING = FindingType(
    "kit-missing", Severity.ERROR, "The folder or its kit.yaml does not exist or cannot be opened."
)
FILE_TOO_LARGE = FindingType(
    "file-too-large", Severity.ERROR, "A file of the kit, or all of them, are larger than allowed."
)
FILE_MISSING = FindingType("file-missing", Severity.ERROR, "A file that kit.yaml names is not in the kit's folder.")
FILE_UNREADABLE = FindingType(
    "file-unreadable", Severity.ERROR, "A file that kit.yaml names cannot be opened or is no text."
)
PATH_OUTSIDE_KIT = FindingType("path-outside-kit", Severity.ERROR, "A file name leads out of the kit's folder.")
DRAWING_MISSING = FindingType(
    "drawing-missing", Severity.ERROR, "A drawing that kit.yaml names is not in the kit's folder."
)
DRAWING_UNREADABLE = FindingType(
    "drawing-unreadable", Severity.ERROR, "A drawing is damaged or of a kind that nobody reads."
)

NOT_UTF8 = FindingType("yaml-encoding", Severity.ERROR, "kit.yaml is not UTF-8 text.")
YAML_SYNTAX = FindingType("yaml-syntax", Severity.ERROR, "kit.yaml breaks the rules of YAML.")
YAML_ROOT = FindingType("yaml-root", Severity.ERROR, "kit.yaml does not hold keys with values at the top.")
YAML_DUPLICATE_KEY = FindingType("yaml-duplicate-key", Severity.ERROR, "The same key is written twice in one place.")
YAML_ALIAS = FindingType("yaml-alias", Severity.ERROR, "Anchors, aliases and merge keys are not used in kit.yaml.")
YAML_TAG = FindingType("yaml-tag", Severity.ERROR, "Tags (a word after '!') are not used in kit.yaml.")
YAML_DOCUMENTS = FindingType("yaml-documents", Severity.ERROR, "kit.yaml holds more than one document.")
YAML_TOO_DEEP = FindingType("yaml-too-deep", Severity.ERROR, "kit.yaml is nested deeper than any kit needs.")
YAML_KEY = FindingType("yaml-key", Severity.ERROR, "A key is a list or a group instead of a plain word.")

UNKNOWN_KEY = FindingType("unknown-key", Severity.ERROR, "A key that does not exist at this place.")
MISSING_KEY = FindingType("missing-key", Severity.ERROR, "A key that must be written is missing.")
WRONG_VALUE = FindingType("wrong-value", Severity.ERROR, "A value that does not fit its key.")
UNKNOWN_NAME = FindingType("unknown-name", Severity.ERROR, "A name that nothing in the kit or the workshop tables has.")
FORMER_NAME = FindingType("former-name", Severity.NOTE, "A name from older kits that is called something else now.")
DUPLICATE_NAME = FindingType("duplicate-name", Severity.ERROR, "Two operations of a part, or two parts, have one name.")
SAME_DIFFERS = FindingType("same-differs", Severity.ERROR, "A part that must be the same in all sizes is not.")
BAD_EXPRESSION = FindingType("bad-expression", Severity.ERROR, "An expression cannot be worked out.")
BAD_NUMBER = FindingType("bad-number", Severity.ERROR, "A number that cannot be, such as a negative diameter.")
BAD_DATE = FindingType("bad-date", Severity.ERROR, "A date that is not in the calendar.")
BAD_LICENCE = FindingType("bad-licence", Severity.ERROR, "The licence is not an SPDX licence expression.")
CHARACTER_MISSING = FindingType("character-missing", Severity.ERROR, "A text that cannot be printed as it is written.")
TEXT_UNTRANSLATED = FindingType(
    "text-untranslated", Severity.WARNING, "Texts of the kit are not given in a language that is built."
)
NAME_UNFIT = FindingType(
    "name-unfit", Severity.ERROR, "A name from which no file can be named that every system can unpack."
)
BAD_SHAPE = FindingType("bad-shape", Severity.ERROR, "A shape that cannot be drawn from its measures.")
SHAPE_UNFIT = FindingType("shape-unfit", Severity.ERROR, "A shape that its operation can do nothing with.")
FONT_UNREADABLE = FindingType(
    "font-unreadable", Severity.ERROR, "A font file is damaged, too large or of another kind."
)
TEXT_UNFIT = FindingType(
    "text-unfit", Severity.ERROR, "A text that is too long, or too large for the room that it must fit into."
)
LAYER_MISSING = FindingType(
    "layer-missing", Severity.ERROR, "A layer that the drawing does not have, or that is empty."
)
TOO_MUCH = FindingType("too-much", Severity.ERROR, "Arrays and drawings give more shapes than any kit needs.")
CUTTER_UNFIT = FindingType(
    "cutter-unfit", Severity.ERROR, "A cutter that cannot make the shape its operation asks for."
)
PLACE_COUNT = FindingType("place-count", Severity.ERROR, "A part has more or fewer places than copies.")
TOGETHER_COUNT = FindingType(
    "together-count", Severity.ERROR, "More or fewer copies of a part stand together than are cut."
)
TOGETHER_MISSING = FindingType("together-missing", Severity.WARNING, "A part has no place in the finished piece.")
THICKNESS_ODD = FindingType("thickness-odd", Severity.WARNING, "The measured thickness is far from the nominal one.")
LADDER_UNFIT = FindingType(
    "ladder-unfit", Severity.ERROR, "A ladder of thicknesses that is none, or that the stock does not follow."
)
LADDER_STILL = FindingType(
    "ladder-still", Severity.WARNING, "No part changes with the rungs of a ladder, so there is nothing to choose."
)
FACED_AWAY = FindingType("faced-away", Severity.ERROR, "A facing takes off as much as there is wood, or more.")
FACING_DIFFERS = FindingType(
    "facing-differs", Severity.ERROR, "Two parts want their common stock faced in different ways."
)
HOLD_UNUSED = FindingType("hold-unused", Severity.WARNING, "Tabs or an onion skin where the cut does not go through.")
ENTRY_UNUSED = FindingType(
    "entry-unused", Severity.NOTE, "A stock piece, cutter or setup that nothing in the kit uses."
)
LAYOUT_UNREADABLE = FindingType(
    "layout-unreadable", Severity.ERROR, "layout.lock cannot be read, or was changed since `kitforge nest` wrote it."
)
LAYOUT_UNFIT = FindingType(
    "layout-unfit",
    Severity.ERROR,
    "The layout of layout.lock cannot be cut: gaps, edges, grain or copies.",
)
LAYOUT_OLDER = FindingType(
    "layout-older", Severity.NOTE, "The kit has changed since its layout was found; it still holds and is used."
)
COUPON_UNFIT = FindingType(
    "coupon-unfit", Severity.ERROR, "A fit coupon or proof strip that cannot be cut like the step that it is for."
)
COUPON_PLAY = FindingType(
    "coupon-play", Severity.WARNING, "The play of a joint is not what its kind of fit, as the coupon names it, has."
)

KINDS = tuple(value for value in list(globals().values()) if isinstance(value, FindingType))
