"""Whether the parts can stand where the author puts them: no two in the same room, and none in the air."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations, pairwise

from kitforge.model.findings import Finding
from kitforge.model.kit import Kit
from kitforge.model.messages import Message, Quantity, both_units, msg, series
from kitforge.model.plan import Plan
from kitforge.model.units import MM_PER_INCH
from kitforge.surface.layers import layers_of
from kitforge_assembly.beside import bought
from kitforge_assembly.bodies import Body, Grown, Spot, grown, near, shared
from kitforge_assembly.kinds import PARTS_COLLIDE, STANDS_ALONE, UNPROVED

TOLERANCE = 0.3
"""Parts may run into each other by so much, mm: what sanding and a light blow take. Common practice, no source."""
HELD_WITHIN = 2.0
"""Parts that are no further apart touch, mm: a door has that gap, a peg never. Common practice, no source."""
MOST_TRIES = 6000
"""Pairs of layers that are tried; a nest box has about 60."""
MOST_BOUGHT = 100
"""Bought things that are looked at."""
_HALVINGS = 10


def check_together(kit: Kit, plan: Plan) -> Iterator[Finding]:
    """Yield parts that collide and parts that hang in the air."""
    parts = {part.key: part for part in kit.parts}
    layers = {key: layers_of(part, plan.steps_of(key)) for key, part in parts.items()}
    bodies = [Body(standing, layers[standing.part]) for standing in kit.together]
    shrunk, wide = ([grown(body, by) for body in bodies] for by in (-TOLERANCE / 2, HELD_WITHIN / 2))
    tries, touching = 0, set[tuple[int, int]]()
    for i, j in combinations(range(len(bodies)), 2):
        if not near(wide[i], wide[j]):
            continue
        tries += len(wide[i].slabs) * len(wide[j].slabs)
        if tries > MOST_TRIES:
            yield _unproved(kit)
            return
        if near(shrunk[i], shrunk[j]) and (spot := shared(shrunk[i], shrunk[j])):
            yield _collide(kit, bodies[i], bodies[j], spot)
            touching.add((i, j))
        elif shared(wide[i], wide[j]):
            touching.add((i, j))
    held = touching | _held_by_bought(kit, wide)
    yield from _loose(kit, bodies, held)


def _held_by_bought(kit: Kit, wide: Sequence[Grown]) -> set[tuple[int, int]]:
    """Return the pairs of parts that one bought thing touches, so that it holds them together."""
    found = set()
    for thing in bought(kit)[:MOST_BOUGHT]:
        large = grown(thing, HELD_WITHIN / 2)
        touched = [n for n, body in enumerate(wide) if near(large, body) and shared(large, body)]
        found |= set(pairwise(touched))
    return found


def _unproved(kit: Kit) -> Finding:
    message = msg(
        "The finished piece has {count} parts with too many cuts to try them all against each other.",
        count=len(kit.together),
    )
    return UNPROVED.new(message, msg("Look at the pictures of the finished piece."), source=kit.together[0].source)


def _collide(kit: Kit, one: Body, other: Body, spot: Spot) -> Finding:
    units = kit.info.units
    message = msg(
        "{part} and {other} run into each other by about {by}, at [{at}] of the piece.",
        part=_name(kit, one),
        other=_name(kit, other),
        by=both_units(round(_depth(one, other), 1), units),
        at=series([_written(value, units) for value in spot]),
    )
    advice = msg("Change where one of them stands, or make a slot or pocket wider or deeper.")
    return PARTS_COLLIDE.new(message, advice, source=other.standing.source, part=other.standing.part)


def _written(value: float, units: str) -> Message:
    """Return a length in the kit's own units alone, as it is written in kit.yaml."""
    if units == "in":
        return msg("{length} in", length=Quantity(value / MM_PER_INCH, "", 3, padded=True))
    return msg("{length} mm", length=Quantity(value, ""))


def _depth(one: Body, other: Body) -> float:
    """Return by how much two bodies run into each other: as much as both must shrink, twice, until they do not."""
    low, high = TOLERANCE / 2, max(layer.bottom - layer.top for body in (one, other) for layer in body.layers)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        meet = shared(grown(one, -middle), grown(other, -middle)) is not None
        low, high = (middle, high) if meet else (low, middle)
    return low + high


def _name(kit: Kit, body: Body) -> Message:
    """Return the title of a part, with the line of kit.yaml where there are several copies."""
    part = kit.part(body.standing.part)
    if part.count == 1:
        return msg("'{part}'", part=part.title)
    return msg("'{part}' (line {line})", part=part.title, line=body.standing.source.line)


def _loose(kit: Kit, bodies: Sequence[Body], touching: set[tuple[int, int]]) -> Iterator[Finding]:
    """Yield the parts that are not joined, over other parts or straight, with the largest group that is."""
    groups = _groups(len(bodies), touching)
    for group in groups[1:]:
        for index in group:
            body = bodies[index]
            name, gap = _name(kit, body), both_units(HELD_WITHIN, kit.info.units)
            if len(group) == 1:
                message = msg("{part} touches no other part: the nearest is more than {gap} away.", part=name, gap=gap)
            else:
                message = msg(
                    "{part} touches none of the parts that hold together: the nearest is more than {gap} away.",
                    part=name,
                    gap=gap,
                )
            advice = msg("Change where it stands; if something bought holds it, nothing is wrong.")
            yield STANDS_ALONE.new(message, advice, source=body.standing.source, part=body.standing.part)


def _groups(count: int, touching: set[tuple[int, int]]) -> list[list[int]]:
    """Return the numbers of the bodies in groups that hold together, the largest group first."""
    group = list(range(count))
    for i, j in sorted(touching):
        old, new = group[j], group[i]
        group = [new if one == old else one for one in group]
    found = [[index for index in range(count) if group[index] == own] for own in dict.fromkeys(group)]
    return sorted(found, key=lambda one: -len(one))
