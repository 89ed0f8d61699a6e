"""What is wrong with a drawing, as findings: of the layers that the kit uses, each problem once."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, field

from shapely import Point as ShapelyPoint

from kitforge.drawings import kinds
from kitforge.drawings.write import bounds_of
from kitforge.model.drawing import Drawing, DrawingProblem, LayerShapes, Point, ProblemKind, shown
from kitforge.model.findings import Finding, Mend, Severity, Source
from kitforge.model.messages import Message, mm, msg, msg_many
from kitforge.model.path import Path
from kitforge.model.piece import Bounds

MOST_TOLD = 20
"""Problems of one kind in one drawing that are told one by one."""

WIDEST_JOIN = 2.0
"""Gaps up to this, in mm, can be closed by `join`."""

_UNITS = (ProblemKind.UNIT_MISSING, ProblemKind.UNIT_DOUBTFUL)
_OF_THE_FILE = (
    ProblemKind.SKIPPED,
    ProblemKind.TEXT,
    ProblemKind.HIDDEN,
    ProblemKind.UNPAINTED,
    ProblemKind.NOT_PLOTTED,
    ProblemKind.PAPER,
)
"""What is left out of a file is told whichever layers the kit uses: it may be what the author misses."""

_BY_PLACE = (
    ProblemKind.GAP,
    ProblemKind.GAP_CLOSED,
    ProblemKind.JUNCTION,
    ProblemKind.DUPLICATE,
    ProblemKind.OVERLAP,
    ProblemKind.NO_AREA,
    ProblemKind.ROUNDED,
    ProblemKind.TINY,
    ProblemKind.STRAY_POINT,
    ProblemKind.SELF_CROSSING,
)
"""Problems that are told by their place alone, so that layer and entity are added to the message."""

STATED_UNITS = ("mm", "cm", "m", "in", "ft", "pt")
"""What `units` beside `drawing` may say."""

_NEAR = 0.05


@dataclass
class UsedDrawing:
    """A drawing as read, the layers that the kit names, what it takes from them, and whether its unit was asked about.

    names: for each layer's name the shapes on it; taken: what outlines and operations really use; changed: the layers
    of which it is told that they have changed; stopping: gaps for which the kit gets other shapes than it counts on.
    """

    drawing: Drawing | None
    layers: dict[str, LayerShapes] = field(default_factory=dict)
    taken: list[LayerShapes] = field(default_factory=list)
    unit_doubted: bool = False
    changed: set[str] = field(default_factory=set)
    stopping: set[DrawingProblem] = field(default_factory=set)


def drawing_findings(name: str, readings: Sequence[UsedDrawing]) -> Iterator[Finding]:
    """Yield what is wrong with a drawing that was read once or several times (in other units, other gaps joined)."""
    problems: dict[DrawingProblem, None] = {}
    for used in readings:
        for problem in used.drawing.problems if used.drawing else ():
            if problem.kind in _UNITS:
                yield from _unit_finding(name, used, problem)
            elif problem.kind in _OF_THE_FILE or problem in used.stopping or _concerns(problem, used):
                problems[problem] = None
    stopping = {problem for used in readings for problem in used.stopping}
    yield from _each(name, sorted(problems, key=lambda one: one not in stopping), stopping)


def _each(name: str, problems: Sequence[DrawingProblem], stopping: AbstractSet[DrawingProblem]) -> Iterator[Finding]:
    """Yield the problems, those that say the same of one layer as one, with the line of the first.

    stopping: those for which there is no kit, which are errors.
    """
    alike: dict[tuple[ProblemKind, str | None, Message], list[DrawingProblem]] = {}
    for problem in problems:
        alike.setdefault((problem.kind, problem.layer, problem.message), []).append(problem)
    count: dict[ProblemKind, int] = {}
    for (which, _, _), same in alike.items():
        count[which] = count.get(which, 0) + 1
        if count[which] <= MOST_TOLD:
            yield _finding(name, same[0], len(same), Severity.ERROR if stopping & set(same) else None)
    for which, number in count.items():
        if number > MOST_TOLD:
            kind, advice = kinds.OF_PROBLEM[which]
            yield kind.new(more_like(number - MOST_TOLD), advice, source=Source(name))


def more_like(count: int) -> Message:
    """Return that there are so many more places like those that were told."""
    return msg_many(
        "There is one more place like these in the drawing.",
        "There are {count} more places like these in the drawing.",
        count,
    )


def _finding(name: str, problem: DrawingProblem, times: int, severity: Severity | None) -> Finding:
    kind, advice = kinds.OF_PROBLEM[problem.kind]
    mend = None
    if problem.kind is ProblemKind.GAP and problem.size is not None and join_for(problem.size) <= WIDEST_JOIN:
        mend = Mend(("join",), join_for(problem.size), name)
        advice = msg(
            "Draw the ends together, or write `join: {join}` at the part to have gaps up to that closed with a line.",
            join=mm(join_for(problem.size), 1),
        )
    said = _said(problem)
    if times > 1:
        said = msg("{said} The drawing has this {count} times.", said=said, count=times)
    source = source_of(name, problem.line)
    return kind.new(said, advice, source=source, at=problem.at, mend=mend, severity=severity)


def _said(problem: DrawingProblem) -> Message:
    """Return the message; what is told by its place alone gets its layer and its entity."""
    if problem.kind not in _BY_PLACE or problem.beside is not None or not (problem.layer or problem.entity):
        return problem.message
    layer, entity = shown(problem.layer or ""), shown(problem.entity or "")
    if not problem.entity:
        return msg("{said} It is on layer '{layer}'.", said=problem.message, layer=layer)
    if not problem.layer:
        return msg("{said} It is the entity '{entity}'.", said=problem.message, entity=entity)
    return msg("{said} It is '{entity}' on layer '{layer}'.", said=problem.message, entity=entity, layer=layer)


def source_of(name: str, line: int) -> Source:
    """Return a place in a drawing, the whole of it where the line is not known."""
    return Source(name, line, 1) if line else Source(name)


def _unit_finding(name: str, used: UsedDrawing, problem: DrawingProblem) -> Iterator[Finding]:
    if used.unit_doubted or used.drawing is None:
        return
    kind, advice = kinds.OF_PROBLEM[problem.kind]
    whole = used.drawing.whole
    size = size_of(bounds_of((*whole.closed, *whole.open), whole.points))
    message = msg(
        "{said} It was read in {unit}, which makes everything in it {size}.",
        said=problem.message,
        unit=used.drawing.unit,
        size=size,
    )
    if problem.better is not None:
        advice = msg("Write `units: {unit}` beside `drawing`, or the unit that is right.", unit=problem.better)
    unit = problem.better or used.drawing.unit
    mend = Mend(("units",), unit, name) if unit in STATED_UNITS else None
    yield kind.new(message, advice, source=Source(name), mend=mend)


def _concerns(problem: DrawingProblem, used: UsedDrawing) -> bool:
    """Return whether a problem lies on a used layer.

    In an SVG a problem carries the name of the innermost group, and the kit may use another name of the same lines:
    then the two must share a line, and the place of the problem must lie on a line that is used.
    """
    if not used.layers:
        return False
    folded = {name.casefold() for name in used.layers}
    if problem.beside is not None and "*" not in folded:
        return {(problem.layer or "").casefold(), problem.beside.casefold()} <= folded
    if (problem.layer is not None and problem.layer.casefold() in folded) or "*" in folded:
        return True
    if problem.at is None:
        return problem.layer is None
    own = used.drawing.layers.get(problem.layer) if used.drawing and problem.layer is not None else None
    for shapes in used.layers.values():
        related = own is None or bool(_ends(own) & _ends(shapes))
        if related and _is_on(problem.at, shapes, (problem.size or 0.0) / 2 + _NEAR):
            return True
    return False


def _ends(shapes: LayerShapes) -> set[tuple[Point, Point]]:
    """Return the ends of every line and arc, and the points: what stays the same however ends are joined."""
    drawn = [piece for path in (*shapes.closed, *shapes.open) for piece in path.pieces()]
    ends = {(min(a, b), max(a, b)) for a, b in (((p.x0, p.y0), (p.x1, p.y1)) for p in drawn)}
    return ends | {(point, point) for point in shapes.points}


def _is_on(at: Point, shapes: LayerShapes, reach: float) -> bool:
    """Return whether a place lies within `reach` mm of a shape."""
    x, y = at
    if any(math.hypot(x - px, y - py) <= reach for px, py in shapes.points):
        return True
    return any(_near_path(at, path, reach) for path in (*shapes.closed, *shapes.open))


def _near_path(at: Point, path: Path, reach: float) -> bool:
    from kitforge.geometry.region import line_of

    box = path.bounds
    inside = box.left - reach <= at[0] <= box.right + reach and box.bottom - reach <= at[1] <= box.top + reach
    return inside and bool(line_of(path).distance(ShapelyPoint(*at)) <= reach)


def join_for(gap: float) -> float:
    """Return the next tenth of a mm above a gap in mm, for `join`."""
    return math.ceil(gap * 10 + 0.001) / 10


def size_of(box: Bounds) -> Message:
    """Return a box's size for a message, e.g. '120 mm x 80 mm'."""
    return msg("{width} x {height}", width=mm(box.width, 1), height=mm(box.height, 1))
