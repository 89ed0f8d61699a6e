"""Proves what a kit says it needs on the geometry, and asks for what only its author can state.

| code | what it finds |
|---|---|
| `need-passage` | no way from a feature to where it must lead, or one that is too narrow or low; what would open it |
| `need-holds` | a thing does not fit into the feature that must hold it |
| `need-mates` | a slot is too tight or too loose for the part that goes into it, or its corners are in the way |
| `need-spacing`, `need-count`, `need-aligned` | holes at another pitch, more or fewer of them, or out of line |
| `need-keeps` | less wood stays under, between or beside features than needed |
| `need-module` | a piece off its module, a field that is no whole number of it, a mix that does not fill the field |
| `need-met` | a need that is met, with the figures |
| `hazard-unknown` | a thing to buy whose hazard is not stated; its words may suggest one, they never decide |
| `use-unknown` | the use of the piece is not stated |
| `use-disagrees` | a wall fixing or a thing that touches food, and a use that names neither |
| `electric-no-passage` | an electric thing and a recess, and no passage for a cable among the needs |
| `children-danger` | a piece for children with things that can be swallowed, burn or shock |
"""

from __future__ import annotations

from collections.abc import Iterator

from kitforge import hookimpl
from kitforge.model.findings import Finding
from kitforge.model.kit import Kit
from kitforge.model.needs import (
    CountNeed,
    JointNeed,
    KeepNeed,
    LineNeed,
    ModuleNeed,
    Need,
    PassageNeed,
    SeatNeed,
    SpacingNeed,
)
from kitforge.model.plan import Plan
from kitforge_needs.kinds import KINDS

__all__ = ["KINDS", "kitforge_check"]


@hookimpl
def kitforge_check(kit: Kit, plan: Plan) -> Iterator[Finding]:
    """Yield which needs of the kit are not met, and which are; and what only the author can state and does not."""
    from kitforge_needs.stated import check_statements

    for need in kit.needs:
        yield from _prove(kit, plan, need)
    yield from check_statements(kit)


def _prove(kit: Kit, plan: Plan, need: Need) -> Iterator[Finding]:
    from kitforge_needs.joints import prove_joint
    from kitforge_needs.modules import prove_module
    from kitforge_needs.passages import prove_passage
    from kitforge_needs.retention import prove_keep
    from kitforge_needs.rows import prove_count, prove_line, prove_spacing
    from kitforge_needs.seats import prove_seat

    match need:
        case PassageNeed():
            return prove_passage(kit, plan, need)
        case SeatNeed():
            return prove_seat(kit, plan, need)
        case JointNeed():
            return prove_joint(kit, plan, need)
        case SpacingNeed():
            return prove_spacing(kit, plan, need)
        case CountNeed():
            return prove_count(kit, plan, need)
        case LineNeed():
            return prove_line(kit, plan, need)
        case KeepNeed():
            return prove_keep(kit, plan, need)
        case ModuleNeed():
            return prove_module(kit, plan, need)
