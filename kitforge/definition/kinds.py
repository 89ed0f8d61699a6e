"""The kinds of findings that reading and resolving a kit can make."""

from __future__ import annotations

from kitforge.findings import Kind, Severity

KIT_MISSING = Kind("kit-missing", Severity.ERROR, "The folder or its kit.yaml does not exist or cannot be opened.")
FILE_TOO_LARGE = Kind("file-too-large", Severity.ERROR, "A file of the kit, or all of them, are larger than allowed.")
FILE_MISSING = Kind("file-missing", Severity.ERROR, "A file that kit.yaml names is not in the kit's folder.")
FILE_UNREADABLE = Kind("file-unreadable", Severity.ERROR, "A file that kit.yaml names cannot be opened or is no text.")
PATH_OUTSIDE_KIT = Kind("path-outside-kit", Severity.ERROR, "A file name leads out of the kit's folder.")
DRAWING_MISSING = Kind("drawing-missing", Severity.ERROR, "A drawing that kit.yaml names is not in the kit's folder.")
DRAWING_UNREADABLE = Kind("drawing-unreadable", Severity.ERROR, "A drawing is damaged or of a kind that nobody reads.")

NOT_UTF8 = Kind("yaml-encoding", Severity.ERROR, "kit.yaml is not UTF-8 text.")
YAML_SYNTAX = Kind("yaml-syntax", Severity.ERROR, "kit.yaml breaks the rules of YAML.")
YAML_ROOT = Kind("yaml-root", Severity.ERROR, "kit.yaml does not hold keys with values at the top.")
YAML_DUPLICATE_KEY = Kind("yaml-duplicate-key", Severity.ERROR, "The same key is written twice in one place.")
YAML_ALIAS = Kind("yaml-alias", Severity.ERROR, "Anchors, aliases and merge keys are not used in kit.yaml.")
YAML_TAG = Kind("yaml-tag", Severity.ERROR, "Tags (a word after '!') are not used in kit.yaml.")
YAML_DOCUMENTS = Kind("yaml-documents", Severity.ERROR, "kit.yaml holds more than one document.")
YAML_TOO_DEEP = Kind("yaml-too-deep", Severity.ERROR, "kit.yaml is nested deeper than any kit needs.")
YAML_KEY = Kind("yaml-key", Severity.ERROR, "A key is a list or a group instead of a plain word.")

UNKNOWN_KEY = Kind("unknown-key", Severity.ERROR, "A key that does not exist at this place.")
MISSING_KEY = Kind("missing-key", Severity.ERROR, "A key that must be written is missing.")
WRONG_VALUE = Kind("wrong-value", Severity.ERROR, "A value that does not fit its key.")
UNKNOWN_NAME = Kind("unknown-name", Severity.ERROR, "A name that nothing in the kit or the workshop tables has.")
DUPLICATE_NAME = Kind("duplicate-name", Severity.ERROR, "Two operations of a part have the same name.")
BAD_EXPRESSION = Kind("bad-expression", Severity.ERROR, "An expression cannot be worked out.")
BAD_NUMBER = Kind("bad-number", Severity.ERROR, "A number that cannot be, such as a negative diameter.")
BAD_DATE = Kind("bad-date", Severity.ERROR, "A date that is not in the calendar.")
BAD_LICENCE = Kind("bad-licence", Severity.ERROR, "The licence is not an SPDX licence expression.")
BAD_SHAPE = Kind("bad-shape", Severity.ERROR, "A shape that cannot be drawn from its measures.")
SHAPE_UNFIT = Kind("shape-unfit", Severity.ERROR, "A shape that its operation can do nothing with.")
FONT_UNREADABLE = Kind("font-unreadable", Severity.ERROR, "A font file is damaged, too large or of another kind.")
LAYER_MISSING = Kind("layer-missing", Severity.ERROR, "A layer that the drawing does not have, or that is empty.")
TOO_MUCH = Kind("too-much", Severity.ERROR, "Arrays and drawings give more shapes than any kit needs.")
CUTTER_UNFIT = Kind("cutter-unfit", Severity.ERROR, "A cutter that cannot make the shape its operation asks for.")
PLACE_COUNT = Kind("place-count", Severity.ERROR, "A part has more or fewer places than copies.")
TOGETHER_COUNT = Kind("together-count", Severity.ERROR, "More or fewer copies of a part stand together than are cut.")
TOGETHER_MISSING = Kind("together-missing", Severity.WARNING, "A part has no place in the finished piece.")
THICKNESS_ODD = Kind("thickness-odd", Severity.WARNING, "The measured thickness is far from the nominal one.")
FACED_AWAY = Kind("faced-away", Severity.ERROR, "A facing takes off as much as there is wood, or more.")
FACING_DIFFERS = Kind("facing-differs", Severity.ERROR, "Two parts want their common stock faced in different ways.")
HOLD_UNUSED = Kind("hold-unused", Severity.WARNING, "Tabs or an onion skin where the cut does not go through.")
ENTRY_UNUSED = Kind("entry-unused", Severity.NOTE, "A stock piece, cutter or setup that nothing in the kit uses.")

KINDS = tuple(value for value in list(globals().values()) if isinstance(value, Kind))
