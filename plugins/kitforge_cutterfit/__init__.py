"""Checks every cutter against its work: room, corners, depth, shank, kind, plunging, chips, machine class.

| code | what it finds |
|---|---|
| `cutter-too-wide` | the cutter does not go into a pocket, dish or inside profile; names those that would |
| `corner-left` | inside corners tighter than the cutter, with the area that stays |
| `region-left` | narrow regions that the cutter cannot reach |
| `relief-unfit` | a corner relief without room |
| `groove-too-wide` | a V-groove or chamfer wider than the bit |
| `stroke-too-thin`, `stroke-too-wide` | strokes of an engraving that the bit does not get into, or does not fill |
| `cutter-too-short` | the cutter does not reach down |
| `shank-no-collet` | no machine class of the kit takes the shank |
| `cutter-wrong-kind`, `cutter-odd-kind` | a kind of cutter that cannot do the work, or leaves another shape |
| `hole-size` | a drilled circle of another size than the cutter |
| `no-centre-cut`, `no-room-to-ramp` | a cutter that cannot plunge has to, or has no room to ramp down |
| `chips-packed` | a down-cut cutter in a deep slot |
| `first-pass-shallow` | a compression cutter whose first pass only its up-cut tip cuts |
| `class-unfit` | a machine class that the kit does not fit |
"""

from __future__ import annotations

from collections.abc import Iterator

from kitforge import hookimpl
from kitforge.model.findings import Finding
from kitforge.model.kit import Kit
from kitforge.model.plan import Plan
from kitforge_cutterfit.kinds import KINDS

__all__ = ["KINDS", "kitforge_check"]


@hookimpl
def kitforge_check(kit: Kit, plan: Plan) -> Iterator[Finding]:
    """Yield what does not fit between cutters, shapes and machines."""
    from kitforge_cutterfit.lengths import check_collets, check_lengths, check_width_of_v
    from kitforge_cutterfit.machines import check_machines
    from kitforge_cutterfit.room import check_room
    from kitforge_cutterfit.strokes import check_strokes
    from kitforge_cutterfit.uses import uses_of
    from kitforge_cutterfit.work import check_chips, check_holes, check_kind, check_plunging

    for use in uses_of(kit):
        yield from check_kind(use)
        yield from check_room(kit, use)
        yield from check_lengths(use)
        yield from check_width_of_v(use)
        yield from check_strokes(use)
        yield from check_holes(use)
        yield from check_plunging(use)
        yield from check_chips(use, plan)
    yield from check_collets(kit)
    yield from check_machines(kit, plan)
