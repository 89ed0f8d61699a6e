"""Holes and other features by their centres: how many, how far apart, in line or not."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from shapely import STRtree, points

from kitforge.geometry.extent import extent_of
from kitforge.geometry.region import smallest_gap
from kitforge.model.findings import Finding
from kitforge.model.kit import Kit, Operation, OperationKind, Part
from kitforge.model.messages import NO_ADVICE, Message, mm, msg, msg_many
from kitforge.model.needs import CountNeed, LineNeed, SpacingNeed, Spread
from kitforge.model.plan import Plan
from kitforge.planning.areas import filled
from kitforge.planning.sizes import made_by
from kitforge_needs import kinds
from kitforge_needs.words import Point, place, purpose, title


def centres_of(operation: Operation) -> list[Point]:
    """Return the middles of what an operation makes, as they are printed; of letters and bevels one for each."""
    if operation.does is OperationKind.ENGRAVE:
        middles = [area.centroid for area in filled(operation.shapes).geoms]
        return [(point.x, point.y) for point in middles]
    if operation.does is OperationKind.CHAMFER:
        return [extent_of(path).centre for path in operation.nominal if len(path.vertices) > 1]
    return [one.centre for one in made_by(operation).extents]


def prove_count(kit: Kit, _plan: Plan, need: CountNeed) -> Iterator[Finding]:
    """Yield whether a feature has as many holes, areas or lines as it should."""
    part = kit.part(need.part)
    found = len(centres_of(part.operation(need.feature)))
    if found == need.count:
        message = msg(
            "{feature} has {count} places{purpose}.",
            feature=title(part, need.feature), count=found, purpose=purpose(need),
        )  # fmt: skip
        yield _met(part, need, need.feature, message)
    else:
        yield kinds.COUNT.new(
            msg(
                "{feature} has {found} places, and {wanted} are needed{purpose}.",
                feature=title(part, need.feature), found=found, wanted=need.count, purpose=purpose(need),
            ),
            msg("Add {number}.", number=need.count - found)
            if found < need.count
            else msg("Remove {number}.", number=found - need.count),
            source=need.source, part=part.key, operation=need.feature,
        )  # fmt: skip


def prove_spacing(kit: Kit, _plan: Plan, need: SpacingNeed) -> Iterator[Finding]:
    """Yield the centres that are not at their pitch, or nearer than they may be; or that all are well."""
    part = kit.part(need.part)
    centres = _centres(part, need.features)
    if len(centres) < 2:
        yield kinds.SPACING.new(
            msg(
                "{features} has {found} places; a spacing{purpose} needs two or more.",
                features=_names(part, need.features), found=len(centres), purpose=purpose(need),
            ),
            msg("Name more features, or add holes."),
            source=need.source, part=part.key, operation=need.features[0],
        )  # fmt: skip
        return
    unmet = list(_UNMET[need.spread](part, need, centres))
    yield from unmet
    if not unmet:
        yield _met(part, need, need.features[0], _spaced(part, need, centres))


def _spaced(part: Part, need: SpacingNeed, centres: Sequence[Point]) -> Message:
    match need.spread:
        case Spread.ROW:
            rule = msg("at a pitch of {distance}", distance=mm(need.distance))
        case Spread.PAIRS:
            rule = msg("in pairs {distance} apart", distance=mm(need.distance))
        case _:
            rule = msg("{distance} apart or more", distance=mm(_nearest(centres)))
    return msg(
        "The {count} places of {features} are {rule}{purpose}.",
        count=len(centres),
        features=_names(part, need.features),
        rule=rule,
        purpose=purpose(need),
    )


def _nearest(centres: Sequence[Point]) -> float:
    gap = smallest_gap(list(points(centres)))
    return gap.distance if gap else math.inf


def _off_pitch(part: Part, need: SpacingNeed, centres: Sequence[Point]) -> Iterator[Finding]:
    row = _in_order(centres)
    gaps = [(math.dist(one, other), one, other) for one, other in pairwise(row)]
    wrong = [gap for gap in gaps if abs(gap[0] - need.distance) > need.tolerance + 1e-9]
    if wrong:
        distance, one, other = max(wrong, key=lambda gap: abs(gap[0] - need.distance))
        more = NO_ADVICE
        if len(gaps) > 1:
            more = msg(" ({off} of {all} distances are off)", off=len(wrong), all=len(gaps))
        yield kinds.SPACING.new(
            msg(
                "{features}: {one} and {other} are {distance} apart, and {wanted} are needed{purpose}{more}.",
                features=_names(part, need.features), one=place(one), other=place(other), distance=mm(distance),
                wanted=mm(need.distance), purpose=purpose(need), more=more,
            ),
            msg("Move them {by} together.", by=mm(distance - need.distance))
            if distance > need.distance
            else msg("Move them {by} apart.", by=mm(need.distance - distance)),
            source=need.source, part=part.key, operation=need.features[0], at=_between(one, other),
        )  # fmt: skip


def _too_near(part: Part, need: SpacingNeed, centres: Sequence[Point]) -> Iterator[Finding]:
    gap = smallest_gap(list(points(centres)))
    if gap is not None and gap.distance < need.distance - need.tolerance - 1e-9:
        one, other = centres[gap.first], centres[gap.second]
        yield kinds.SPACING.new(
            msg(
                "{features}: {one} and {other} are only {distance} apart, and {wanted} are needed{purpose}.",
                features=_names(part, need.features), one=place(one), other=place(other), distance=mm(gap.distance),
                wanted=mm(need.distance), purpose=purpose(need),
            ),
            msg("Move them apart."),
            source=need.source, part=part.key, operation=need.features[0], at=gap.at,
        )  # fmt: skip


def _unpaired(part: Part, need: SpacingNeed, centres: Sequence[Point]) -> Iterator[Finding]:
    """Yield the first centre for which no other one is left at the distance; whoever has least choice chooses first."""
    left = _without_partners(centres, need.distance, need.tolerance + 1e-9)
    if not left:
        return
    one = centres[left[0]]
    others = sorted((abs(math.dist(one, other) - need.distance), other) for other in centres if other != one)
    nearest = math.dist(one, others[0][1])
    yield kinds.SPACING.new(
        msg(
            "{features}: {place} has no partner {wanted} away{purpose}; the likeliest is {found} away.",
            features=_names(part, need.features), place=place(one), wanted=mm(need.distance), purpose=purpose(need),
            found=mm(nearest),
        ),
        msg_many("Move it or its partner, or add the one that is missing.",
                 "Move them or their partners, or add those that are missing; {count} have none.", len(left)),
        source=need.source, part=part.key, operation=need.features[0], at=one,
    )  # fmt: skip


def _without_partners(centres: Sequence[Point], distance: float, slack: float) -> list[int]:
    """Return the numbers of the centres that are left over when pairs at a distance are taken away."""
    marks = list(points(centres))
    first, second = STRtree(marks).query(marks, predicate="dwithin", distance=distance + slack)
    choice: dict[int, set[int]] = {number: set() for number in range(len(centres))}
    for one, other in zip(first.tolist(), second.tolist(), strict=True):
        if one != other and math.dist(centres[one], centres[other]) >= distance - slack:
            choice[one].add(other)
    left: list[int] = []
    while choice:
        one = min(choice, key=lambda number: (len(choice[number]), number))
        partners = choice.pop(one)
        pair = min(partners, key=lambda number: (len(choice[number]), number), default=None)
        gone = {one} if pair is None else {one, pair}
        if pair is None:
            left.append(one)
        else:
            choice.pop(pair)
        for others in choice.values():
            others.difference_update(gone)
    return sorted(left)


def prove_line(kit: Kit, _plan: Plan, need: LineNeed) -> Iterator[Finding]:
    """Yield the centre that is furthest from the line of them all, if it is too far, or that all are in line."""
    part = kit.part(need.part)
    centres = _centres(part, need.features)
    if len(centres) < 2:
        yield kinds.ALIGNED.new(
            msg(
                "{features} has {found} places; a line{purpose} needs two or more.",
                features=_names(part, need.features), found=len(centres), purpose=purpose(need),
            ),
            msg("Name more features."),
            source=need.source, part=part.key, operation=need.features[0],
        )  # fmt: skip
        return
    off, at = max(zip(_beside_line(centres, need.along), centres, strict=True))
    along = msg(" along {axis}", axis=need.along) if need.along else NO_ADVICE
    if off > need.tolerance + 1e-9:
        yield kinds.ALIGNED.new(
            msg(
                "{features}: the {count} places are not in a line{along}{purpose}; {place} lies {off} beside it, and "
                "{allowed} is allowed.",
                features=_names(part, need.features), count=len(centres), along=along, purpose=purpose(need),
                place=place(at), off=mm(off), allowed=mm(need.tolerance),
            ),
            msg("Move it into the line."),
            source=need.source, part=part.key, operation=need.features[0], at=at,
        )  # fmt: skip
    else:
        message = msg(
            "The {count} places of {features} are in a line{along}{purpose}, within {off}.",
            count=len(centres), features=_names(part, need.features), along=along, purpose=purpose(need),
            off=mm(off, 3),
        )  # fmt: skip
        yield _met(part, need, need.features[0], message)


def _beside_line(centres: Sequence[Point], along: str | None) -> list[float]:
    """Return how far each centre lies beside the middle line along x or y, or beside the line of least squares."""
    middle, (ux, uy) = _line_through(centres)
    if along is not None:
        across = [y if along == "x" else x for x, y in centres]
        level = (min(across) + max(across)) / 2
        return [abs(value - level) for value in across]
    return [abs((y - middle[1]) * ux - (x - middle[0]) * uy) for x, y in centres]


def _line_through(centres: Sequence[Point]) -> tuple[Point, Point]:
    """Return the centroid and the direction of the line of least squares (of the distances across it)."""
    n = len(centres)
    mx, my = math.fsum(x for x, _ in centres) / n, math.fsum(y for _, y in centres) / n
    xx = math.fsum((x - mx) ** 2 for x, _ in centres)
    yy = math.fsum((y - my) ** 2 for _, y in centres)
    xy = math.fsum((x - mx) * (y - my) for x, y in centres)
    angle = math.atan2(2 * xy, xx - yy) / 2
    return (mx, my), (math.cos(angle), math.sin(angle))


def _in_order(centres: Sequence[Point]) -> list[Point]:
    (mx, my), (ux, uy) = _line_through(centres)
    return sorted(centres, key=lambda at: (at[0] - mx) * ux + (at[1] - my) * uy)


def _centres(part: Part, features: Sequence[str]) -> list[Point]:
    return [at for feature in features for at in centres_of(part.operation(feature))]


def _between(one: Point, other: Point) -> Point:
    return (one[0] + other[0]) / 2, (one[1] + other[1]) / 2


def _names(part: Part, features: Sequence[str]) -> str:
    return ", ".join(title(part, feature) for feature in features)


def _met(part: Part, need: CountNeed | SpacingNeed | LineNeed, feature: str, message: Message) -> Finding:
    return kinds.MET.new(message, source=need.source, part=part.key, operation=feature)


_UNMET = {Spread.ROW: _off_pitch, Spread.PAIRS: _unpaired, Spread.LEAST: _too_near}
