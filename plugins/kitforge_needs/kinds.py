"""The kinds of findings about what a kit needs to work."""

from __future__ import annotations

from kitforge.model.findings import FindingType, Severity

PASSAGE = FindingType("need-passage", Severity.ERROR, "A way that must be open is closed, too narrow or too low.")
HOLDS = FindingType("need-holds", Severity.ERROR, "A thing that must sit in a feature does not fit into it.")
MATES = FindingType(
    "need-mates", Severity.ERROR, "A slot does not take the part that goes into it with the play asked for."
)
SPACING = FindingType(
    "need-spacing", Severity.ERROR, "Holes are not at the pitch that is needed, or too near each other."
)
COUNT = FindingType("need-count", Severity.ERROR, "A feature has more or fewer holes, areas or lines than needed.")
ALIGNED = FindingType("need-aligned", Severity.ERROR, "Features that must lie in a line do not.")
KEEPS = FindingType("need-keeps", Severity.ERROR, "Less wood stays under, between or beside features than needed.")
MODULE = FindingType("need-module", Severity.ERROR, "Pieces are off their module, or a mix does not fill its field.")
MET = FindingType("need-met", Severity.NOTE, "A need of the kit is met, with the figures that prove it.")
HAZARD_UNKNOWN = FindingType("hazard-unknown", Severity.WARNING, "Nobody says which dangers a bought thing brings.")
USE_UNKNOWN = FindingType("use-unknown", Severity.NOTE, "Nobody says where and how the finished piece is used.")
USE_DISAGREES = FindingType(
    "use-disagrees", Severity.WARNING, "The use of the piece and a hazard of a bought thing disagree."
)
NO_PASSAGE = FindingType(
    "electric-no-passage", Severity.WARNING, "An electric piece with a recess states no way for a cable."
)
FOR_CHILDREN = FindingType(
    "children-danger", Severity.WARNING, "A piece for children has parts that can kill a small child."
)

KINDS = tuple(value for value in list(globals().values()) if isinstance(value, FindingType))
