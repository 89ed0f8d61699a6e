"""A second estimate of how long a step takes: every move of the tool written out, its speed worked out move by move.

It shares no code with the estimate of the settings. Its rules are its own, too: the machine stops where the way turns
by more than 30 degrees, follows a curve no faster than sqrt(a r) with the radius of the circle through three points and
speeds up and brakes with one acceleration in all directions. Ramps run to and fro along the first line of a place.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from shapely import Point, get_parts

from kitforge.model.kit import OperationKind
from kitforge.model.settings import CutSettings, Manner
from kitforge.model.steps import Step
from kitforge.model.workshop import MachineClass

Spot = tuple[float, float, float]
SAFE, SLOW = 5.0, 1.0
SHARP = math.radians(30)


@dataclass(frozen=True, slots=True)
class Move:
    to: Spot
    feed: float  # mm/min


@dataclass(slots=True)
class Tool:
    """Where the tool is; it notes its moves."""

    at: Spot
    moves: list[Move]

    def go(self, x: float, y: float, z: float, feed: float) -> None:
        if (x, y, z) != self.at:
            self.moves.append(Move((x, y, z), feed))
            self.at = (x, y, z)


def seconds(step: Step, machine: MachineClass, found: CutSettings) -> float:
    """Return the time of one copy in s, at the middle of the accelerations of the class."""
    acceleration = math.sqrt(machine.acceleration.low * machine.acceleration.high)
    box = step.part.outline.bounds
    start = (box.left - box.width, box.bottom, SAFE)
    tool = Tool(start, [])
    for place in _nearest(_places(step), start):
        _run(tool, step, machine, found, place)
    return _time([start, *(move.to for move in tool.moves)], [move.feed / 60 for move in tool.moves], acceleration)


def _places(step: Step) -> list[list[np.ndarray]]:
    """Return the rounds of each place: those that lie in one piece of what is cut, where it is cleared."""
    chains = [np.asarray(chain)[:, :2] for chain in (step.travel.chains if step.travel else ())]
    holes = [[np.array([point])] for point in step.operation.points]
    clears = step.operation.does in (OperationKind.POCKET, OperationKind.DISH, OperationKind.FACE)
    if not clears or step.cut is None:
        return [[chain] for chain in chains] + holes
    groups: dict[int, list[np.ndarray]] = {}
    pieces = get_parts(step.cut.buffer(-1e-3)).tolist()
    for chain in chains:
        spot = Point(chain[0])
        groups.setdefault(min(range(len(pieces)), key=lambda n: pieces[n].distance(spot)), []).append(chain)
    return list(groups.values()) + holes


def _nearest(places: list[list[np.ndarray]], start: Spot) -> Iterator[list[np.ndarray]]:
    here, left = start[:2], list(places)
    while left:
        near = min(left, key=lambda place: math.dist(place[0][0], here))
        left = [place for place in left if place is not near]
        here = tuple(near[-1][-1])
        yield near


def _run(tool: Tool, step: Step, machine: MachineClass, found: CutSettings, place: Sequence[np.ndarray]) -> None:
    rapid, lift, feed = machine.feed_limit, machine.plunge_limit, found.feed.start
    x, y = map(float, place[0][0])
    hole = len(place[0]) == 1
    pecked = hole and (step.operation.does is not OperationKind.DRILL or found.entry.manner is Manner.PECK)
    layers = found.passes if pecked or not hole else 1
    height = (step.depth - step.top) / layers
    for number in range(1, layers + 1):
        above, deep = -step.top - height * (number - 1), -step.top - height * number
        if math.dist(tool.at[:2], (x, y)) > 0.05 or tool.at[2] > above + SLOW:
            tool.go(*tool.at[:2], SAFE, lift)
            tool.go(x, y, SAFE, rapid)
            tool.go(x, y, above + SLOW, lift)
        _enter(tool, found, place[0], deep, lift, step.cutter.diameter)
        for chain in place:
            for spot in chain:
                tool.go(float(spot[0]), float(spot[1]), deep, feed)
                _over_tab(tool, step, found, lift)
        if hole:
            tool.go(x, y, SAFE, lift)
    tool.go(*tool.at[:2], SAFE, lift)


def _enter(tool: Tool, found: CutSettings, chain: np.ndarray, deep: float, lift: float, diameter: float) -> None:
    x, y = map(float, chain[0])
    if found.entry.manner is Manner.OUTSIDE:
        tool.go(x - diameter / 2 - SLOW, y, tool.at[2], found.feed.start)
        tool.go(*tool.at[:2], deep, lift)
        tool.go(x, y, deep, found.feed.start)
    elif found.entry.travel:
        side = chain[1] - chain[0] if len(chain) > 1 else np.array([1.0, 0.0])
        way = side / np.linalg.norm(side) * found.entry.travel / 2
        tool.go(x + float(way[0]), y + float(way[1]), (tool.at[2] + deep) / 2, found.entry.feed)
        tool.go(x, y, deep, found.entry.feed)
    else:
        tool.go(x, y, deep, found.plunge.start)


def _over_tab(tool: Tool, step: Step, found: CutSettings, lift: float) -> None:
    """Go up and down for a tab that the last move went by; where exactly makes no difference to time."""
    x, y, deep = tool.at
    for tab in step.tabs if step.through else ():
        top = -step.wood + tab.height
        if deep < top - 1e-6 and _passes(tool, tab.x, tab.y, step.cutter.radius + step.leave_walls):
            tool.go(x, y, top, lift)
            tool.go(x, y, deep, found.plunge.start)


def _passes(tool: Tool, x: float, y: float, reach: float) -> bool:
    """Whether the last move went by a spot beside the way, as far off as the cutter runs from the edge."""
    if len(tool.moves) < 2:
        return False
    a, b = np.array(tool.moves[-2].to[:2]), np.array(tool.moves[-1].to[:2])
    long = float(np.dot(b - a, b - a))
    if long < 1e-9:
        return False
    along = float(np.dot(np.array([x, y]) - a, b - a)) / long
    return 0 <= along < 1 and abs(math.dist(a + along * (b - a), (x, y)) - reach) < 0.2


def _time(spots: Sequence[Spot], speeds: Sequence[float], a: float) -> float:
    """Return the seconds of moves from rest to rest, each as fast as feed, curve and braking let it."""
    points = np.array(spots)
    steps = np.diff(points, axis=0)
    lengths = np.linalg.norm(steps, axis=1)
    caps = np.array(speeds)
    turns = np.arccos(np.clip((steps[1:] * steps[:-1]).sum(axis=1) / (lengths[1:] * lengths[:-1]), -1, 1))
    # circle through three points: the chord over twice the sine of the turn
    chords = np.linalg.norm(points[2:] - points[:-2], axis=1)
    radii = chords / np.maximum(2 * np.sin(turns), 1e-12)
    joints = np.where(turns > SHARP, 0.0, np.minimum(np.sqrt(a * radii), np.minimum(caps[1:], caps[:-1])))
    speed = [0.0, *joints.tolist(), 0.0]
    for index, length in enumerate(lengths):
        speed[index + 1] = min(speed[index + 1], math.sqrt(speed[index] ** 2 + 2 * a * length))
    for index in range(len(lengths) - 1, -1, -1):
        speed[index] = min(speed[index], math.sqrt(speed[index + 1] ** 2 + 2 * a * lengths[index]))
    total = 0.0
    for index, length in enumerate(lengths):
        first, last = speed[index], speed[index + 1]
        peak = min(caps[index], math.sqrt((first**2 + last**2) / 2 + a * length))
        ramps = ((peak**2 - first**2) + (peak**2 - last**2)) / (2 * a)
        total += (2 * peak - first - last) / a + max(0.0, length - ramps) / peak
    return total
