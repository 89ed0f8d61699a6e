"""What a kit leaves of its drawings: lines that no part uses, and outlines that lie inside lines that do not close."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from shapely import Point as ShapelyPoint

from kitforge.drawings import kinds
from kitforge.drawings.chain import REPORTED_GAP, chain
from kitforge.drawings.coverage import uncovered
from kitforge.drawings.findings import UsedDrawing, size_of, source_of
from kitforge.drawings.left_lines import (
    LeftGroup,
    UnusedLine,
    cell,
    contains,
    keys,
    left_findings,
    left_groups,
    outermost,
    size_of_layer,
)
from kitforge.drawings.likeness import SAME, Figure, alike, inside, layers_of
from kitforge.model.drawing import Drawing, LayerShapes, Point, ProblemKind, place, shown
from kitforge.model.findings import Finding, Source
from kitforge.model.messages import listed, msg, msg_many
from kitforge.model.path import Path
from kitforge.model.piece import Bounds
from kitforge.model.record import record

MOST_NAMED = 12
"""Names of unused layers that are listed."""


@record
class TakenOutline:
    """An outline that a part takes from a drawing: the layers, where it is asked for, the line, copies of the part.

    broken: whether it is open, or a shape inside that has to be closed, which the checks tell.
    """

    part: str
    title: str
    layers: tuple[str, ...]
    source: Source
    path: Path
    count: int = 1
    broken: bool = False


def leftover_findings(name: str, used: Sequence[UsedDrawing], outlines: Sequence[TakenOutline]) -> Iterator[Finding]:
    """Yield what no part uses of a drawing, read once or with several gaps joined, always in the same unit."""
    drawing = next((one.drawing for one in used if one.drawing is not None), None)
    if drawing is None or not any(one.layers for one in used):
        return
    taken = [shapes for one in used for shapes in one.taken]
    named = {layer.casefold() for one in used for layer in one.layers}
    lines = list(_left(drawing, taken, named))
    copies, lines = _without_copies(drawing, lines, outlines)
    areas = [outline.path for outline in outlines if outline.path.closed]
    told = [line for line in lines if not line.whole_layer or _touches(line, areas)]
    by_line = {line.layer for line in told}
    groups = left_groups(drawing, told, areas)
    yield from _wrong_counts(name, copies, groups)
    yield from _unused_layers(name, drawing, [line for line in lines if line.layer not in by_line])
    yield from _around_outlines(name, lines, outlines)
    left = [one for one in groups if not _unlike_by_fault(one, drawing, outlines)]
    bare = _without_outline(left, drawing, outlines) if len(left) > 1 else None
    if bare is None:
        yield from left_findings(name, drawing, left)
    elif _drawn_as_often(bare, copies, groups):
        yield _bare_copy(name, drawing, bare, left)


def _unlike_by_fault(group: LeftGroup, drawing: Drawing, outlines: Sequence[TakenOutline]) -> bool:
    """Return whether lines may be a copy of a part, unlike it only for what is told of one of the two.

    That is a gap in one of them, or that the part is broken.
    """
    like = [outline for outline in outlines if group.is_as_large_as(outline.path)]
    if any(outline.broken for outline in like):
        return True
    gaps = [one.at for one in drawing.problems if one.kind is ProblemKind.GAP and one.at is not None]
    boxes = [group.box, *(outline.path.bounds for outline in like)]
    return bool(like) and any(contains(box, Bounds(*at, *at)) for box in boxes for at in gaps)


def _wrong_counts(name: str, copies: Mapping[TakenOutline, int], groups: Sequence[LeftGroup]) -> Iterator[Finding]:
    """Yield the parts that the drawing shows more or less often than the kit makes them; broken copies count too."""
    for outline, drawn in copies.items():
        if not _drawn_as_often(outline, copies, groups):
            said = msg(
                "The drawing '{drawing}' shows '{part}' {drawn} times, and the kit makes {count}.",
                drawing=name,
                part=outline.title,
                drawn=drawn,
                count=outline.count,
            )
            advice = msg("Write the right `count`, or delete what is too much in the drawing.")
            yield kinds.COPIES.new(said, advice, source=outline.source, part=outline.part)


def _drawn_as_often(outline: TakenOutline, copies: Mapping[TakenOutline, int], groups: Sequence[LeftGroup]) -> bool:
    """Return whether a part that is drawn more than once is drawn as often as the kit makes it."""
    drawn = copies.get(outline)
    broken = sum(one.is_as_large_as(outline.path) for one in groups)
    return drawn is None or outline.count in (drawn, drawn + broken)


def _without_outline(
    groups: Sequence[LeftGroup], drawing: Drawing, outlines: Sequence[TakenOutline]
) -> TakenOutline | None:
    """Return the part of which all lines that are left are a copy of the inside; None where there is none."""
    items = [line.item for group in groups for line in group.lines]
    whole, layers = drawing.whole, layers_of(drawing)
    everything: list[Path | Point] = [*whole.closed, *whole.open, *whole.points]
    for outline in (one for one in outlines if one.path.closed):
        inner = list(inside(outline.path, everything))
        own = [item for item in inner if item != _drawn(outline.path, everything)]
        if own and len(own) == len(items) and alike(Figure.of_inside(items, layers), Figure.of_inside(own, layers)):
            return outline
    return None


def _bare_copy(name: str, drawing: Drawing, outline: TakenOutline, groups: Sequence[LeftGroup]) -> Finding:
    """Return what is told of a copy of a part that has lost its outline."""
    lines = [line for group in groups for line in group.lines]
    said = msg(
        "No part uses {count} lines and points, the first at {at}: they are those inside '{part}', drawn once more "
        "without an outline around them.",
        count=len(lines),
        at=place(*lines[0].at),
        part=outline.title,
    )
    advice = msg("Draw the outline around them, or delete them.")
    source = source_of(name, drawing.origin_at(lines[0].at).line)
    return kinds.LEFT_OUT.new(said, advice, source=source, part=outline.part, at=lines[0].at)


def _left(drawing: Drawing, taken: Sequence[LayerShapes], named: set[str]) -> Iterator[UnusedLine]:
    """Yield what is left, layer by layer, the smallest first; of lines under several names only the first."""
    layers = sorted(drawing.layers.items(), key=lambda item: (size_of_layer(item[1]), item[0]))
    paths = [path for _, shapes in layers for path in (*shapes.closed, *shapes.open)]
    free = iter(uncovered(paths, [path for shapes in taken for path in (*shapes.closed, *shapes.open)]))
    points = {cell(point) for shapes in taken for point in shapes.points}
    told: set[object] = set()
    for layer, shapes in layers:
        own = [(path, next(free)) for path in (*shapes.closed, *shapes.open)]
        loose = [point for point in shapes.points if cell(point) not in points]
        unused = len(loose) == len(shapes.points) and all(spot is not None and spot[1] for _, spot in own)
        whole = unused and layer.casefold() not in named
        for path, spot in own:
            if spot is not None and not told.issuperset(keys(path)):
                told.update(keys(path))
                yield UnusedLine(path, spot[0], layer, whole)
        for point in loose:
            if cell(point) not in told:
                told.add(cell(point))
                yield UnusedLine(point, point, layer, whole)


def _without_copies(
    drawing: Drawing, lines: list[UnusedLine], outlines: Sequence[TakenOutline]
) -> tuple[dict[TakenOutline, int], list[UnusedLine]]:
    """Return how often parts are drawn, where more than once, and the lines left that belong to no copy of a part."""
    whole = drawing.whole
    everything: list[Path | Point] = [*whole.closed, *whole.open, *whole.points]
    copies: dict[TakenOutline, int] = {}
    for outline in outlines:
        likely = [line.item for line in lines if isinstance(line.item, Path) and _like_size(line.item, outline.path)]
        if not likely:
            continue
        layers = layers_of(drawing)
        own = Figure.of(_drawn(outline.path, everything), inside(outline.path, everything), layers)
        for path in likely:
            inner = list(inside(path, everything))
            if alike(Figure.of(path, inner, layers), own):
                copies[outline] = copies.get(outline, 1) + 1
                gone = {path, *inner}
                lines = [one for one in lines if one.item not in gone]
    return copies, lines


def _drawn(outline: Path, everything: Sequence[Path | Point]) -> Path:
    """Return an outline as it is drawn: a part has it turned so that it runs counter-clockwise."""
    same = (one for one in everything if isinstance(one, Path) and one.closed and one.bounds == outline.bounds)
    return next((one for one in same if one in (outline, outline.reversed())), outline)


def _like_size(path: Path, outline: Path) -> bool:
    return (
        path.closed
        and outline.closed
        and abs(abs(path.area) - abs(outline.area)) <= SAME * (1 + abs(outline.area) ** 0.5)
    )


def _unused_layers(name: str, drawing: Drawing, lines: Sequence[UnusedLine]) -> Iterator[Finding]:
    """Yield one note that names the layers of which no part uses anything; of groups in groups only the outermost."""
    left = {layer for line in lines if line.whole_layer for layer in [line.layer]}
    unused = outermost(drawing, left, lines)
    if not unused:
        return
    rest = len(unused) - MOST_NAMED
    names = listed([f"'{shown(layer)}'" for layer in unused[:MOST_NAMED]])
    said = msg("No part uses what is on these layers: {layers}.", layers=names)
    if rest > 0:
        said = msg_many("{said} One more is not used.", "{said} {count} more are not used.", rest, said=said)
    yield kinds.LAYERS_UNUSED.new(said, msg("Nothing to do, if that is meant."), source=Source(name))


def _around_outlines(name: str, lines: Sequence[UnusedLine], outlines: Sequence[TakenOutline]) -> Iterator[Finding]:
    """Yield the outlines that lie inside open lines: what should be the part may not close, and this be its opening."""
    loose = [line for line in lines if isinstance(line.item, Path) and not line.item.closed]
    loops = [path.bounds for path in chain([line.item for line in loose], join=REPORTED_GAP).closed]  # type: ignore[misc]
    for outline in outlines:
        own = [line.item.bounds for line in loose if line.layer in outline.layers and isinstance(line.item, Path)]
        whole = [Bounds.around(own)] if own else []
        around = [box for box in (*loops, *whole) if contains(box, outline.path.bounds)]
        if around:
            said = msg(
                "The outline taken for '{part}' lies inside lines of '{drawing}' that do not close and are {size} in "
                "all: it may be an opening in the part.",
                part=outline.title,
                drawing=name,
                size=size_of(around[0]),
            )
            advice = msg(
                "Draw the lines around it so that they close. If they are on several layers, give `name` of `layer` "
                "all of these as a list."
            )
            at = loose[0].at
            yield kinds.OUTLINE_INSIDE.new(said, advice, source=outline.source, part=outline.part, at=at)


def _touches(line: UnusedLine, areas: Sequence[Path]) -> bool:
    """Return whether a line begins inside an outline, or goes around one."""
    if not areas:
        return False
    at = ShapelyPoint(*line.at)
    for area in areas:
        if isinstance(line.item, Path) and line.item.closed and contains(line.item.bounds, area.bounds):
            return True
        box = area.bounds
        near = box.left <= line.at[0] <= box.right and box.bottom <= line.at[1] <= box.top
        if near and area.to_polygon(0.01).buffer(0).contains(at):
            return True
    return False
