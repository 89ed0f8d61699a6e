"""What the fasteners of a set-up are: how many, how long, and what is drilled for them."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from kitforge.language import say
from kitforge.model.lines import Line, Use
from kitforge.model.workshop import HoldKind
from kitforge.planning.acting import places_for
from kitforge.planning.fasteners import FASTENED, fastener_length

if TYPE_CHECKING:
    from kitforge.model.plan import PlannedSetup
    from kitforge.model.workshop import HoldDown
    from kitforge.print.figures import Units

_LEAD_HOLE = 0.7
"""Lead hole of a screw as a share of its diameter: common practice, no source."""
FASTENERS = frozenset({"hold_screw", "hold_brad"})
_COUNTED = FASTENERS | {"step_clamp", "toggle_clamp", "large_toggle_clamp"}


def fastener_uses(planned: PlannedSetup, units: Units, other: HoldDown | None = None) -> tuple[Use, ...]:
    """Return how many fasteners or clamps a set-up takes and how long they are, and the drill bit for lead holes.

    other: the hold-down that is asked about, where it is not the one of first choice.
    """
    hold = other or next(iter(planned.setup.hold_downs), None)
    count = len(places_for(hold, planned.fasteners)) if hold is not None else 0
    size = ""
    long = fastener_length(hold, planned) if hold is not None and hold.kind in FASTENED else None
    if hold is not None and hold.diameter is not None and long is not None:
        size = str(units.size(round(hold.diameter, 1), long))
    counted = [Use(use.item, count, size) for use in (hold.uses if hold else ()) if use.item in _COUNTED]
    return (*counted, *_lead_hole(hold, units))


def spoilboard_lines(planned: PlannedSetup, units: Units, other: HoldDown | None = None) -> tuple[Line, ...]:
    """Return what the fasteners ask of the spoilboard: how thick it is, of what, and where their tips end."""
    hold = other or next(iter(planned.setup.hold_downs), None)
    long = fastener_length(hold, planned) if hold is not None and hold.kind in FASTENED else None
    if long is None:
        return ()
    board = planned.setup.spoilboard
    thick = units.length(board)
    words = say(
        "They are {length} long, right for a fibreboard spoilboard {thick} thick: their tips stop {left} above its "
        "underside. Measure yours. Through a thinner one they would scratch the table, and another material holds "
        "them differently.",
        length=units.length(long, 0),
        thick=thick,
        left=units.length(planned.thickness + board - long, 1),
    )
    return (Line(words, (Use("spoilboard", detail=say("fibreboard {thick} thick", thick=thick)),)),)


def _lead_hole(hold: HoldDown | None, units: Units) -> tuple[Use, ...]:
    """Return the drill bit for the lead holes of screws, to the next half millimetre: common practice, no source."""
    if hold is None or hold.kind is not HoldKind.SCREWS or hold.diameter is None:
        return ()
    wide = math.floor(hold.diameter * _LEAD_HOLE * 2 + 0.5) / 2
    return (Use("drill_bit", detail=say("{size} for the lead holes", size=units.length(wide))),)
