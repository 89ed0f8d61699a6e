"""The shapes of each operation: closed where they must be, sound, and none of them twice."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from shapely import Polygon, STRtree, intersection, make_valid

from kitforge.model.findings import Finding, Severity
from kitforge.model.kit import AREA_WORK, Operation, Part
from kitforge.model.messages import area_mm2, mm, msg, point_mm
from kitforge.model.path import Path
from kitforge_outline import kinds
from kitforge_outline.faults import TINY, gap_of, line_faults, short_pieces
from kitforge_outline.words import size, times

# Shapes count as the same within this, mm, the tolerance to which drawings are chained.
SAME = 0.01
LEAST_OVERLAP = 0.01

Point = tuple[float, float]


def check_shapes(part: Part) -> Iterator[Finding]:
    """Yield what is wrong with the shapes of the operations of a part."""
    for operation in part.operations:
        own = [path for path in operation.shapes if path != part.outline]
        closed_wanted = operation.needs_area
        if closed_wanted:
            yield from _open(part, operation)
            yield from _crossing(part, operation, own)
        yield from _short(part, operation, own)
        yield from _repeated(part, operation)
        yield from _repeated_points(part, operation)
        if operation.does in AREA_WORK:
            yield from _overlapping_areas(part, operation)
        else:
            yield from _overlapping_lines(part, operation)


def _open(part: Part, operation: Operation) -> Iterator[Finding]:
    for path in operation.shapes:
        if not path.closed and path != part.outline:
            yield kinds.AREA_OPEN.new(
                msg(
                    "'{title}' needs closed shapes, but one has a gap of {gap_of} between {at} and {at_2}.",
                    title=operation.title,
                    gap_of=size(gap_of(path)),
                    at=point_mm(path.end),
                    at_2=point_mm(path.start),
                ),
                msg("Join the two ends, or use a groove if only the line is to be cut."),
                source=operation.source,
                part=part.key,
                operation=operation.name,
                at=path.end,
            )


def _crossing(part: Part, operation: Operation, own: Sequence[Path]) -> Iterator[Finding]:
    for path in own:
        faults = line_faults([path])
        spot = faults.crossing or faults.overlap
        if spot:
            yield kinds.SHAPE_CROSSING.new(
                msg(
                    "A shape of '{title}' meets or crosses itself {number}, first at {at}.",
                    title=operation.title,
                    number=times(spot.number),
                    at=point_mm(spot.at),
                ),
                msg("Redraw it as a simple loop; what is inside a crossed shape is not certain."),
                source=operation.source,
                part=part.key,
                operation=operation.name,
                at=spot.at,
            )


def _short(part: Part, operation: Operation, own: Sequence[Path]) -> Iterator[Finding]:
    for path in own:
        for kind, spot in zip((kinds.PIECE_ZERO, kinds.PIECE_TINY), short_pieces(path), strict=True):
            if spot:
                yield kind.new(
                    msg(
                        "A shape of '{title}' has pieces of {size} {number}, first at {at}.",
                        title=operation.title,
                        size=size(spot.size),
                        number=times(spot.number),
                        at=point_mm(spot.at),
                    ),
                    msg(
                        "Delete doubled points and join pieces shorter than {least} with their neighbours.",
                        least=mm(TINY),
                    ),
                    source=operation.source,
                    part=part.key,
                    operation=operation.name,
                    at=spot.at,
                )


def _repeated(part: Part, operation: Operation) -> Iterator[Finding]:
    for path, count in Counter(_signature(path) for path in operation.shapes).items():
        if count > 1:
            clears = operation.does in AREA_WORK
            effect = msg("two equal shapes cancel out and nothing is cut there") if clears else msg("it is cut twice")
            at = path[0]
            yield kinds.SHAPE_REPEATED.new(
                msg(
                    "'{title}' has the same shape {count} times, at {at}: {effect}.",
                    title=operation.title,
                    count=count,
                    at=point_mm(at),
                    effect=effect,
                ),
                msg("Delete the copies."),
                source=operation.source,
                part=part.key,
                operation=operation.name,
                at=at,
                severity=Severity.ERROR if clears else Severity.WARNING,
            )


def _signature(path: Path) -> tuple[Point, ...]:
    """Return something that is the same for the same shape, whatever its first point and direction."""
    rows = {(round(v.x / SAME) * SAME, round(v.y / SAME) * SAME) for v in path.vertices}
    rows |= {(round(x / SAME) * SAME, round(y / SAME) * SAME) for x, y in _arc_middles(path)}
    return tuple(sorted(rows))


def _arc_middles(path: Path) -> Iterator[Point]:
    for piece in path.pieces():
        if piece.is_arc and piece.chord > 0:
            yield piece.at(0.5)[:2]


def _repeated_points(part: Part, operation: Operation) -> Iterator[Finding]:
    for at, count in Counter((round(x / SAME) * SAME, round(y / SAME) * SAME) for x, y in operation.points).items():
        if count > 1:
            yield kinds.POINT_REPEATED.new(
                msg("'{title}' has the point {at} {count} times.", title=operation.title, at=point_mm(at), count=count),
                msg("Delete the copies; a second plunge widens the hole and wears the cutter."),
                source=operation.source,
                part=part.key,
                operation=operation.name,
                at=at,
            )


def _areas(operation: Operation) -> list[Polygon]:
    closed = [path for path in operation.shapes if path.closed and len(path.flatten()) > 3]
    areas = [path.to_polygon() for path in closed]
    return [area if area.is_valid else make_valid(area) for area in areas]  # type: ignore[misc]


def _overlapping_areas(part: Part, operation: Operation) -> Iterator[Finding]:
    areas = _areas(operation)
    if len(areas) < 2:
        return
    first, second = STRtree(areas).query(areas, predicate="overlaps")
    common = [(a, b, intersection(areas[a], areas[b])) for a, b in zip(first, second, strict=True) if a < b]
    common = [
        entry for entry in common if entry[2].area > LEAST_OVERLAP and not areas[entry[0]].equals(areas[entry[1]])
    ]
    if common:
        at = common[0][2].representative_point()
        yield kinds.SHAPES_OVERLAP.new(
            msg(
                "Shapes of '{title}' overlap in part {count}, first over {area} near {at}: a shape in a "
                "shape stays standing, so this wood is not cut.",
                title=operation.title,
                count=times(len(common)),
                area=area_mm2(common[0][2].area, 2),
                at=point_mm((at.x, at.y)),
            ),
            msg("Join the shapes into one, or put them into two operations."),
            source=operation.source,
            part=part.key,
            operation=operation.name,
            at=(at.x, at.y),
        )


def _overlapping_lines(part: Part, operation: Operation) -> Iterator[Finding]:
    different = list({_signature(path): path for path in operation.shapes}.values())
    if operation.needs_area and len(different) < 2:
        return
    overlap = line_faults(different).overlap
    if overlap:
        yield kinds.LINE_OVERLAP.new(
            msg(
                "Lines of '{title}' lie on one another {number}, over {size} in all, first near {at}: they "
                "are cut twice.",
                title=operation.title,
                number=times(overlap.number),
                size=size(overlap.size),
                at=point_mm(overlap.at),
            ),
            msg("Delete the piece that is drawn twice, or trim it where the other line begins."),
            source=operation.source,
            part=part.key,
            operation=operation.name,
            at=overlap.at,
        )
