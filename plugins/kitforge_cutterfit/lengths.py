"""Whether a cutter is long enough, and whether somebody's collet takes it."""

from __future__ import annotations

import math
from collections.abc import Iterator

from kitforge.model.findings import Finding
from kitforge.model.kit import CutterKind, Kit, OperationKind
from kitforge.model.messages import mm, msg
from kitforge.model.units import plain_number
from kitforge.workshop.cutting_data import cutting_data
from kitforge_cutterfit import kinds
from kitforge_cutterfit.uses import CutterUse

SLACK = 0.01


def check_lengths(use: CutterUse) -> Iterator[Finding]:
    """Yield cuts deeper than the cutter reaches; whether its shank touches, the check of the cut surface tells."""
    cutter, depth = use.cutter, use.depth
    grip = cutting_data().plunge.least_grip(cutter.shank)
    reach = cutter.overall_length - grip
    figures = msg("{name}: the cut goes {depth} deep", name=use.name, depth=mm(depth))
    if depth > reach + SLACK:
        yield use.found(
            kinds.CUTTER_TOO_SHORT,
            msg(
                "{figures}, but {name} is {overall_length} long and the collet needs {grip} of its shank, so "
                "it reaches {reach}.",
                figures=figures,
                name=cutter.name,
                overall_length=mm(cutter.overall_length),
                grip=mm(grip),
                reach=mm(reach),
            ),
            msg("Use a longer cutter or thinner stock."),
        )


def check_width_of_v(use: CutterUse) -> Iterator[Finding]:
    """Yield V-grooves and chamfers wider than the bit, or deeper than its cone."""
    cutter, operation = use.cutter, use.operation
    if cutter.kind is not CutterKind.V_BIT or operation.does not in (OperationKind.GROOVE, OperationKind.CHAMFER):
        return
    slope = math.tan(math.radians((cutter.angle or 90.0) / 2))
    width = operation.width if operation.width is not None else cutter.tip + 2 * operation.depth * slope
    if operation.does is OperationKind.CHAMFER:
        width = cutter.tip + 2 * width
    if width > cutter.diameter + SLACK:
        cone = (cutter.diameter - cutter.tip) / 2 / slope
        yield use.found(
            kinds.GROOVE_TOO_WIDE,
            msg(
                "{name} needs {width} of the bit's width, but {name_2} cuts {diameter} at most, {cone} deep "
                "at {value}°.",
                name=use.name,
                width=mm(width),
                name_2=cutter.name,
                diameter=mm(cutter.diameter),
                cone=mm(cone),
                value=plain_number(cutter.angle or 90, 1),
            ),
            msg("Make the groove narrower, or use a wider bit."),
        )


def check_collets(kit: Kit) -> Iterator[Finding]:
    """Yield cutters whose shank no machine class of the kit takes."""
    used = {
        c.key for part in kit.parts for o in part.operations for w in (o.roughing, o.finishing) if w for c in [w.cutter]
    }
    for cutter in kit.cutters.values():
        if cutter.key in used and kit.machines and not any(m.takes_shank(cutter.shank) for m in kit.machines):
            collets = "; ".join(f"{machine.name}: {machine.collet_text}" for machine in kit.machines)
            yield kinds.SHANK_NO_COLLET.new(
                msg(
                    "{name} has a shank of {shank}; no machine class of the kit takes it ({collets}).",
                    name=cutter.name,
                    shank=mm(cutter.shank),
                    collets=collets,
                ),
                msg("Use a cutter with another shank."),
                source=cutter.source,
            )
