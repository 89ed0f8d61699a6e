"""Parts that must be interchangeable between the sizes of a kit: compared, each size with the first one.

Of every part that `release: same` names: the thickness, the outline, and of each cut where it lies, how deep it goes
and with which cutter it is made. Parts are laid on one another by the lower left corners of their outlines, so that
where the zero of a drawing is means nothing.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray

from kitforge.definition import kinds
from kitforge.model.errors import UnreadableKitError
from kitforge.model.messages import Message, mm, msg, point_mm
from kitforge.stages.choosing import choose
from kitforge.stages.resolve import resolve

if TYPE_CHECKING:
    from kitforge.model.family import KitChoice
    from kitforge.model.findings import Finding
    from kitforge.model.kit import Kit, Operation, Part
    from kitforge.model.path import Path
    from kitforge.plugins import Plugins
    from kitforge.stages.read import ReadKit

EXACT = 0.01
"""How far lines and depths of interchangeable parts may differ, mm: what a drawing is exact to."""
_CHORD = 0.001
_STEP = 2.0

Point = tuple[float, float]
Shapes = NDArray[np.object_]


class Difference(NamedTuple):
    """What differs, in words that go on from the title of a part; the cut and the place, where it is one."""

    said: Message
    operation: str | None = None
    at: Point | None = None


def with_same(read_kit: ReadKit, choice: KitChoice, kit: Kit, plugins: Plugins) -> Kit:
    """Return the kit with a problem for each difference from the first size in a part that must be the same."""
    family = kit.family
    first = family.sizes[0].key if family.sizes else ""
    if not family.same or family.chosen == first:
        return kit
    try:
        other = resolve(choose(read_kit, replace(choice, size=first)), plugins)
    except UnreadableKitError:
        return kit  # the first size tells itself what is wrong with it
    return replace(kit, problems=(*kit.problems, *_differing(kit, other)))


def _differing(kit: Kit, other: Kit) -> Iterator[Finding]:
    family, first = kit.family, other.family.chosen
    others = {part.key: part for part in other.parts}
    for name, source in family.same:
        for part in kit.parts:
            if name not in (part.key, part.piece_of.part if part.piece_of else ""):
                continue
            for found in differences(part, others[part.key]):
                message = msg(
                    "'{title}' is not the same in '{size}' as in '{first}': {said}.",
                    title=part.title, size=family.chosen, first=first, said=found.said,
                )  # fmt: skip
                advice = msg(
                    "Let nothing of '{part}' follow what the sizes set, or take it out of `same`.", part=part.key
                )
                yield kinds.SAME_DIFFERS.new(
                    message, advice, source=source, part=part.key, operation=found.operation, at=found.at
                )


def differences(part: Part, other: Part) -> Iterator[Difference]:
    """Yield what differs in a part from another one that should be the same; places are those of the part, mm."""
    if abs(part.thickness - other.thickness) > EXACT:
        said = msg("it is {here} thick, not {there}", here=mm(part.thickness), there=mm(other.thickness))
        yield Difference(said)
    box, there = part.outline.bounds, other.outline.bounds
    shift = (box.left - there.left, box.bottom - there.bottom)
    far, at = farthest([part.outline], [other.outline], shift)
    if far > EXACT:
        yield Difference(_beside(msg("its outline"), far, at), None, at)
    theirs = {one.name: one for one in other.operations}
    for one in part.operations:
        if one.frees and far > EXACT:
            continue  # it follows the outline, which is told
        if one.name in theirs:
            yield from _cut_differently(one, theirs[one.name], shift)
        else:
            yield Difference(msg("only here it has '{cut}'", cut=one.title), one.name)
    own = {one.name for one in part.operations}
    for name, one in theirs.items():
        if name not in own:
            yield Difference(msg("it lacks '{cut}'", cut=one.title))


def _cut_differently(one: Operation, other: Operation, shift: Point) -> Iterator[Difference]:
    if one.does is not other.does or one.face is not other.face or one.side is not other.side:
        yield Difference(msg("'{cut}' is another kind of cut", cut=one.title), one.name)
        return
    depths = [(one.depth, other.depth), (one.width or 0.0, other.width or 0.0)]
    if one.through != other.through or any(abs(a - b) > EXACT for a, b in depths):
        said = msg("'{cut}' is {here} deep, not {there}", cut=one.title, here=_depth(one), there=_depth(other))
        yield Difference(said, one.name)
    mine, theirs = one.finishing.cutter, other.finishing.cutter
    if (mine.kind, mine.diameter, mine.angle) != (theirs.kind, theirs.diameter, theirs.angle):
        yield Difference(msg("'{cut}' is made with another cutter", cut=one.title), one.name)
    here, there = (len(of.shapes) + len(of.points) for of in (one, other))
    if here != there:
        said = msg("'{cut}' has {here} shapes, not {there}", cut=one.title, here=here, there=there)
        yield Difference(said, one.name)
        return
    far, at = farthest(one.shapes, other.shapes, shift, one.points, other.points)
    if far > EXACT:
        yield Difference(_beside(msg("'{cut}'", cut=one.title), far, at), one.name, at)


def _beside(what: Message, far: float, at: Point | None) -> Message:
    return msg(
        "{what} lies up to {far} beside the other one, near {at}", what=what, far=mm(far, 3), at=point_mm(at or (0, 0))
    )


def _depth(operation: Operation) -> Message:
    if operation.through:
        return msg("through")
    if operation.width is not None:
        return msg("{depth} ({width} wide)", depth=mm(operation.depth), width=mm(operation.width))
    return msg("{depth}", depth=mm(operation.depth))


def farthest(
    paths: Sequence[Path],
    others: Sequence[Path],
    shift: Point,
    points: Sequence[Point] = (),
    other_points: Sequence[Point] = (),
) -> tuple[float, Point | None]:
    """Return how far two sets of lines and points lie apart at most, mm, and where among the first.

    It is the Hausdorff distance of the lines and of the points, with the others moved by `shift`; 0 for two empty sets.
    """
    found: tuple[float, Point | None] = (0.0, None)
    for these, those in (
        (_chords(paths, (0.0, 0.0)), _chords(others, shift)),
        (_marks(points, (0.0, 0.0)), _marks(other_points, shift)),
    ):
        for of, to in ((these, those), (those, these)):
            if not len(of) or not len(to):
                continue
            corners = shapely.get_coordinates(of)
            _, apart = shapely.STRtree(to).query_nearest(
                shapely.points(corners), return_distance=True, all_matches=False
            )
            at = int(np.argmax(apart))
            if float(apart[at]) > found[0]:
                found = float(apart[at]), (float(corners[at, 0]), float(corners[at, 1]))
    return found


def _chords(paths: Sequence[Path], shift: Point) -> Shapes:
    """Return lines as their single chords, none longer than `_STEP`."""
    found: list[Shapes] = []
    for path in paths:
        line = shapely.segmentize(shapely.LineString(path.flatten(_CHORD) + np.asarray(shift)), _STEP)
        corners = shapely.get_coordinates(line)
        chords = np.stack([corners[:-1], corners[1:]], axis=1)
        found.append(np.array(shapely.linestrings(chords), dtype=np.object_))
    return np.concatenate(found) if found else np.array([])


def _marks(points: Sequence[Point], shift: Point) -> Shapes:
    return np.array([shapely.Point(x + shift[0], y + shift[1]) for x, y in points])
