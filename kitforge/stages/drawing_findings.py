"""What is wrong with a drawing, as findings: of the layers that the kit uses, each problem once."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from kitforge.definition import drawing_kinds as kinds
from kitforge.findings import Finding, Source
from kitforge.geometry.drawing import Drawing, LayerShapes, Point, Problem, ProblemKind
from kitforge.geometry.path import Path
from kitforge.geometry.piece import Bounds
from kitforge.geometry.write import bounds_of
from kitforge.units import plain_number

MOST_TOLD = 20
"""Problems of one kind in one drawing that are told one by one."""

MOST_NAMED = 12
"""Names of unused layers that are listed."""

_UNITS = (ProblemKind.UNIT_MISSING, ProblemKind.UNIT_DOUBTFUL)
_NEAR = 0.05
_Ends = tuple[Point, Point]


@dataclass
class UsedDrawing:
    """A drawing as read, the layers that the kit takes from it, and whether its unit has been asked about already."""

    drawing: Drawing | None
    layers: dict[str, LayerShapes] = field(default_factory=dict)
    unit_doubted: bool = False


def drawing_findings(name: str, readings: Sequence[UsedDrawing]) -> Iterator[Finding]:
    """Yield what is wrong with a drawing that was read once or several times (in other units, other gaps joined)."""
    problems: dict[Problem, None] = {}
    for used in readings:
        for problem in used.drawing.problems if used.drawing else ():
            if problem.kind in _UNITS:
                yield from _unit_finding(name, used, problem)
            elif problem.kind is not ProblemKind.SKIPPED and _concerns(problem, used):
                problems[problem] = None
    yield from _listed(name, list(problems))
    yield from _skipped(name, readings)
    yield from _unused(name, readings)


def _listed(name: str, problems: Sequence[Problem]) -> Iterator[Finding]:
    count: dict[ProblemKind, int] = {}
    for problem in problems:
        count[problem.kind] = count.get(problem.kind, 0) + 1
        if count[problem.kind] <= MOST_TOLD:
            yield _finding(name, problem)
    for which, number in count.items():
        if number > MOST_TOLD:
            kind, advice = kinds.OF_PROBLEM[which]
            message = f"There are {number - MOST_TOLD} more places like these in the drawing."
            yield kind.found(message, advice, source=Source(name))


def _finding(name: str, problem: Problem) -> Finding:
    kind, advice = kinds.OF_PROBLEM[problem.kind]
    if problem.kind is ProblemKind.GAP and problem.size is not None:
        join = join_for(problem.size)
        advice = f"{advice[:-1]}, or write `join: {join} mm` at the part to have gaps up to that closed with a line."
    said = problem.message.rstrip(".")
    layer = f" (layer '{problem.layer}')" if problem.layer and f"'{problem.layer}'" not in said else ""
    message = f"{said[:1].upper()}{said[1:]}{layer}."
    return kind.found(message, advice, source=Source(name), at=problem.at)


def _unit_finding(name: str, used: UsedDrawing, problem: Problem) -> Iterator[Finding]:
    if used.unit_doubted or used.drawing is None:
        return
    kind, advice = kinds.OF_PROBLEM[problem.kind]
    says = "does not say its unit" if kind is kinds.UNIT_GUESS else "may not be in the unit that it states"
    whole = used.drawing.whole
    size = size_of(bounds_of((*whole.closed, *whole.open), whole.points))
    message = f"The drawing {says}; it was read in {used.drawing.unit}, which makes it {size} mm."
    yield kind.found(message, advice, source=Source(name))


def _skipped(name: str, readings: Sequence[UsedDrawing]) -> Iterator[Finding]:
    skipped: Mapping[str, int] = next((used.drawing.skipped for used in readings if used.drawing), {})
    texts = {kind: count for kind, count in skipped.items() if kind in kinds.TEXTS}
    others = {kind: count for kind, count in skipped.items() if kind not in kinds.TEXTS}
    if texts:
        message = f"Text was left out: {_counted(texts)}."
        advice = "Convert it to paths in your drawing program if it is to be cut; otherwise delete it."
        yield kinds.TEXT.found(message, advice, source=Source(name))
    if others:
        message = f"Left out, because they are no lines: {_counted(others)}."
        yield kinds.SKIPPED.found(message, kinds.OF_PROBLEM[ProblemKind.SKIPPED][1], source=Source(name))


def _counted(found: Mapping[str, int]) -> str:
    return ", ".join(f"{count} x {kind}" for kind, count in sorted(found.items()))


def _unused(name: str, readings: Sequence[UsedDrawing]) -> Iterator[Finding]:
    """Yield one note that names the layers of which no reading of the drawing uses anything."""
    found = [_unused_layers(used) for used in readings if used.layers]
    unused = [layer for layer in found[0] if all(layer in other for other in found)] if found else []
    if unused:
        listed = ", ".join(f"'{layer}'" for layer in unused[:MOST_NAMED])
        more = f" and {len(unused) - MOST_NAMED} more" if len(unused) > MOST_NAMED else ""
        message = f"No part uses what is on {'layer' if len(unused) == 1 else 'the layers'} {listed}{more}."
        yield kinds.LAYERS_UNUSED.found(message, "Nothing to do, if that is meant.", source=Source(name))


def _unused_layers(used: UsedDrawing) -> list[str]:
    """Return the names of layers that share no line with a used one; of groups in groups only the outermost."""
    taken = {piece for shapes in used.layers.values() for piece in _pieces(shapes)}
    layers = {name: _pieces(shapes) for name, shapes in (used.drawing.layers if used.drawing else {}).items()}
    unused = []
    for name, pieces in sorted(layers.items(), key=lambda item: (-len(item[1]), item[0])):
        if pieces and not pieces & taken:
            unused.append(name)
            taken |= pieces
    return sorted(unused)


def _pieces(shapes: LayerShapes) -> set[_Ends]:
    """Return the ends of every line and arc, and the points: what stays the same however ends are joined."""
    drawn = [piece for path in (*shapes.closed, *shapes.open) for piece in path.pieces()]
    ends = {(min(a, b), max(a, b)) for a, b in (((p.x0, p.y0), (p.x1, p.y1)) for p in drawn)}
    return ends | {(point, point) for point in shapes.points}


def _concerns(problem: Problem, used: UsedDrawing) -> bool:
    """Return whether a problem lies on a used layer.

    In an SVG a problem carries the name of the innermost group, and the kit may use another name of the same lines:
    then the two must share a line, and the place of the problem must lie on a line that is used.
    """
    if not used.layers:
        return False
    folded = {name.casefold() for name in used.layers}
    if (problem.layer is not None and problem.layer.casefold() in folded) or "*" in folded:
        return True
    if problem.at is None:
        return problem.layer is None
    own = used.drawing.layers.get(problem.layer) if used.drawing and problem.layer is not None else None
    for shapes in used.layers.values():
        related = own is None or bool(_pieces(own) & _pieces(shapes))
        if related and _is_on(problem.at, shapes, (problem.size or 0.0) / 2 + _NEAR):
            return True
    return False


def _is_on(at: Point, shapes: LayerShapes, reach: float) -> bool:
    """Return whether a place lies within `reach` mm of a shape."""
    x, y = at
    if any(math.hypot(x - px, y - py) <= reach for px, py in shapes.points):
        return True
    return any(_near_path(at, path, reach) for path in (*shapes.closed, *shapes.open))


def _near_path(at: Point, path: Path, reach: float) -> bool:
    from shapely import Point as ShapelyPoint

    from kitforge.geometry.region import line_of

    box = path.bounds
    inside = box.left - reach <= at[0] <= box.right + reach and box.bottom - reach <= at[1] <= box.top + reach
    return inside and bool(line_of(path).distance(ShapelyPoint(*at)) <= reach)


def join_for(gap: float) -> str:
    """Return the next tenth of a mm above a gap, for `join`."""
    return plain_number(math.ceil(gap * 10 + 0.001) / 10, 1)


def size_of(box: Bounds) -> str:
    """Return a box's size for a message, e.g. '120 x 80'."""
    return f"{plain_number(box.width, 1)} x {plain_number(box.height, 1)}"
