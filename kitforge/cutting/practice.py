"""Rules of the shop that the tables do not hold. Every figure here is common practice without a source.

Classes are told apart by the force they bear, so that a class that a plugin adds falls into place by itself.
"""

from __future__ import annotations

from enum import IntEnum

from kitforge.cutting.records import CutterKind, Work
from kitforge.workshop.records import MachineClass

START_SHARE_OF_LOAD = 0.8
"""A start value keeps this share of a feed at which force, power or bending reach their limit."""

DRILL_START_SPEED = 6_000.0
"""min-1. Drills start at the speed of boring heads, not at that of milling cutters."""

HIGHEST_START_SPEED = 18_000.0
"""The published charts are drawn for this speed, min-1."""

START_RIM_SPEED = 12.0
"""Rim speed m/s of the largest cutter (12.7 mm) of the spiral chart at its speed; larger cutters start no faster."""

START_SHARE_OF_FEED = 0.5
"""A start value uses half of what the class can feed: short moves never get there, and there is room to turn it up."""

RAISED_SHARE_OF_FEED = 0.75
"""Where half leaves chips near the rubbing floor, a start value uses up to this share; then the speed drops."""

FLOOR_MARGIN = 1.25
"""A start value keeps the chip this much above the rubbing floor."""

LEAST_PASS = 0.1
"""mm. Thinner passes are decided by the flatness of the board, not by the cutter."""

LEAST_STEPOVER = 0.01
"""mm. Narrower lanes are finer than routers repeat; a cutter that needs them leaves nothing but ridges."""

FINISHING_DEPTH_OVER_DIAMETER = 2.0
"""A finishing pass along a wall may be this deep in diameters."""

SURFACING_DEPTH_OVER_DIAMETER = 0.10
"""Depth per pass of a surfacing cutter over its diameter where the class bears a full one; else in proportion."""

WIDEST_FOR_DEPTH = 12.7
"""mm. Depth per pass grows with the diameter no further than this: the wide cutters are shallow ones."""

CORNER_PATH_RADIUS = 0.5
"""Path radius over cutter radius in the sharpest inside corner that is taken at full feed: corners of 1.5 radii."""

FLUTE_RUN_OUT = 2.0
"""mm. A collet grips plain shank only: the cutter goes in until the flutes and this much of their run-out show."""

COLLET_CLEARANCE = 5.0
"""mm. What stays between the collet and the face of the stock at the deepest point of a cut."""

SLENDER_RATIO = 5.0
"""Stick-out over cutting diameter from which cutters are likely to chatter."""

MOST_THINNING = 2.0
"""However narrow the cut, feed per tooth is raised no more than this to make up for thin chips."""

FORCE_TO_DEPTH = ((20.0, 0.2), (60.0, 0.35), (200.0, 0.5), (600.0, 0.8))
"""Depth per pass over diameter by the force N a class bears (up to); stronger classes take a full diameter."""


class Tier(IntEnum):
    """How stiff a machine is, by the force it bears."""

    LIGHT = 0
    MIDDLE = 1
    RIGID = 2


def tier_of(machine: MachineClass) -> Tier:
    """Return how stiff a class is: light below 200 N, middle below 600 N, rigid from there on."""
    if machine.force_limit < 200:
        return Tier.LIGHT
    return Tier.MIDDLE if machine.force_limit < 600 else Tier.RIGID


def depth_share(machine: MachineClass) -> float:
    """Return the depth per pass over the cutting diameter that a class takes in solid wood."""
    return next((share for force, share in FORCE_TO_DEPTH if machine.force_limit <= force), 1.0)


def stepover_shares(work: Work, finishing: bool, shape: CutterKind) -> tuple[float, float, float]:
    """Return stepover over diameter as (low, start, high)."""
    if finishing and (work is Work.DISH or shape in (CutterKind.BALL_NOSE, CutterKind.BOWL)):
        return (0.02, 0.1, 0.25)
    if work in (Work.FACE, Work.SURFACING):
        return (0.1, 0.4, 0.75)
    return (0.1, 0.4, 0.5)
