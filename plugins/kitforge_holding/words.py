"""Wording that the checks of holding share."""

from __future__ import annotations

from kitforge.model.holds import FastenerPlace
from kitforge.model.kit import Face
from kitforge.model.messages import Message, msg, point_mm
from kitforge.model.plan import PlannedSetup
from kitforge.model.workshop import HoldKind


def where(setup: PlannedSetup) -> Message:
    """Return which stock lies how, e.g. 'Maple board, top face up'."""
    if setup.face is Face.TOP:
        return msg("{stock}, top face up", stock=setup.stock.title)
    return msg("{stock}, bottom face up", stock=setup.stock.title)


def named(place: FastenerPlace) -> Message:
    """Return a fastener with its place, e.g. 'the screw at (12.5, 30) mm'."""
    at = point_mm((place.x, place.y), 1)
    match place.kind:
        case HoldKind.CLAMPS.value:
            return msg("the clamp at {at}", at=at)
        case HoldKind.SCREWS.value:
            return msg("the screw at {at}", at=at)
        case HoldKind.BRADS.value:
            return msg("the brad at {at}", at=at)
    return msg("the fastener at {at}", at=at)
