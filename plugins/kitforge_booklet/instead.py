"""Which cutters may stand in for the one that is named, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kitforge.language import say
from kitforge.model.kit import CutterKind

if TYPE_CHECKING:
    from kitforge.planning.stand_ins import StandIn
    from kitforge.print.figures import Units

_USUAL = (3.0, 3.175, 4.0, 4.763, 5.0, 6.0, 6.35, 8.0, 9.525, 10.0, 12.0, 12.7, 16.0, 20.0)
"""Sizes that cutters are sold in, mm: whole millimetres and parts of an inch (common practice)."""
_APART = 0.1


def stand_in_words(found: StandIn, units: Units) -> str:
    """Return what may stand in for a cutter of the same kind, and which corners a usual one of these sizes leaves."""
    fewest, most = found.flutes
    flutes = str(fewest) if fewest == most else say("{fewest} to {most}", fewest=fewest, most=most)
    if found.sets_size or found.high - found.low < _APART:
        words = say("Only this diameter: it is the size of what it cuts. Flutes: {flutes}.", flutes=flutes)
    elif found.cutter.kind is CutterKind.V_BIT:
        low, high = units.length(found.low), units.length(found.high)
        words = say(
            "May stand in, of the same angle: Ø {low} to {high}. Flutes: {flutes}.", low=low, high=high, flutes=flutes
        )
    else:
        low, high = units.length(found.low), units.length(found.high)
        words = say(
            "May stand in, of the same kind: Ø {low} to {high}. Flutes: {flutes}.", low=low, high=high, flutes=flutes
        )
    if found.edge[0] < found.edge[1] - _APART:
        edge, longest = units.length(found.edge[0]), units.length(found.edge[1])
        words += " " + say("Cutting edge: {edge} to {longest}.", edge=edge, longest=longest)
    return words + _corner_words(found, units)


def _corner_words(found: StandIn, units: Units) -> str:
    """Return which radius a usual cutter of another size would leave; empty where the drawing rounds all corners."""
    if not found.corners or found.sets_size:
        return ""
    fits = [size for size in _USUAL if found.low <= size <= found.high and abs(size - found.cutter.diameter) > _APART]
    if not fits:
        return ""
    size = min(fits, key=lambda one: abs(one - found.cutter.diameter))
    corner = units.length(size / 2).main
    return " " + say("A cutter of {size} leaves inside corners of R {radius}.", size=units.length(size), radius=corner)
