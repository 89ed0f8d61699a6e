"""What was found in an SVG file to the finished drawing: y upwards, shapes by name, ends joined, faults looked for."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from kitforge.drawings.assemble import Tracer, assembled, together
from kitforge.drawings.copies import copies_in
from kitforge.drawings.faults import drawn_on_two_layers
from kitforge.drawings.svg_view import Page
from kitforge.drawings.unit import unit_of_round_sizes, unit_size
from kitforge.geometry.affine import scaling, translation
from kitforge.geometry.transform import transformed
from kitforge.model.drawing import Drawing, DrawingError, DrawingProblem, LayerShapes, Origin, Point, ProblemKind
from kitforge.model.messages import Message, listed, mm, msg, msg_many
from kitforge.model.path import Path

_TEXTS = ("text", "foreignObject")


@dataclass(slots=True)
class FoundShape:
    """A shape in mm: its path (or point), the number of its innermost named group, and its element."""

    path: Path | None
    point: Point | None
    group: int
    origin: Origin


@dataclass(slots=True)
class FoundInTree:
    """What a walk through the tree found. ranges: for each name the stretches of `drawn` that it stands for."""

    drawn: list[FoundShape] = field(default_factory=list)
    ranges: dict[str, list[tuple[int, int]]] = field(default_factory=dict)
    groups: list[str] = field(default_factory=lambda: [""])
    skipped: Counter[str] = field(default_factory=Counter)
    hidden: int = 0
    unpainted: list[int] = field(default_factory=list)
    problems: dict[Message, DrawingProblem] = field(default_factory=dict)


def turn_over(found: FoundInTree, page: Page) -> None:
    """Turn y upwards, once for the whole drawing: about the page's height, or the lowest point if nobody states it."""
    height = page.height
    if height is None:
        boxes = [shape.path.bounds.top for shape in found.drawn if shape.path]
        height = max([*boxes, *(shape.point[1] for shape in found.drawn if shape.point)])
    flip = translation(0.0, height) @ scaling(1.0, -1.0)
    for shape in found.drawn:
        if shape.path is not None:
            shape.path = transformed(shape.path, flip)
        elif shape.point is not None:
            shape.point = flip(*shape.point)


def finished(found: FoundInTree, page: Page, join: float, check: bool) -> Drawing:
    """Return the drawing: shapes by name, ends joined, faults looked for."""
    groups, faults = _groups(found, join, check)
    whole = together(groups, join)
    doubts = [_with_better_unit(problem, page, whole) for problem in page.problems]
    problems = [*doubts, *found.problems.values(), *_left_out(found), *faults]
    done: dict[tuple[tuple[int, int], ...], LayerShapes] = {}
    layers = {}
    for name in sorted(found.ranges):
        key = tuple(_merged(found.ranges[name]))
        if key not in done:
            done[key] = _shapes(found, key, join)
        layers[name] = done[key]
    drawn = [(shape.path, shape.origin) for shape in found.drawn if shape.path is not None]
    tracer = Tracer([path for path, _ in drawn], [origin for _, origin in drawn])
    return Drawing(layers, page.unit, tuple(problems), whole, page.size, tracer)


_MOST_SIZES = 200


def _with_better_unit(problem: DrawingProblem, page: Page, whole: LayerShapes) -> DrawingProblem:
    """Return a doubt about the unit together with the unit in which the sizes of what is drawn come out round."""
    boxes = [path.bounds for path in whole.closed]
    sizes = [side for box in boxes[:_MOST_SIZES] for side in (box.width, box.height)]
    extent = max(sizes, default=0.0)
    better = unit_of_round_sizes(abs(page.matrix.a), sizes, extent)
    if better is None:
        return problem
    text = msg(
        "{said} In {unit} its sizes would be round: {size} long or wide.",
        said=problem.message,
        unit=better,
        size=mm(extent * unit_size(better) / abs(page.matrix.a), 1),
    )
    return replace(problem, message=text, better=better)


def _merged(ranges: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
    """Return ranges in order without what lies in an earlier one (a name given to a group and to a thing in it)."""
    result: list[tuple[int, int]] = []
    for first, last in sorted(ranges):
        if result and first < result[-1][1]:
            result[-1] = (result[-1][0], max(last, result[-1][1]))
        else:
            result.append((first, last))
    return result


def _shapes(found: FoundInTree, ranges: Sequence[tuple[int, int]], join: float) -> LayerShapes:
    drawn = [shape for first, last in ranges for shape in found.drawn[first:last]]
    paths = [shape.path for shape in drawn if shape.path is not None]
    points = [shape.point for shape in drawn if shape.point is not None]
    if all(path.closed for path in paths) and not copies_in(paths):
        return LayerShapes(tuple(paths), (), tuple(points))
    return assembled(paths, points, join=join, check=False)[0]


def _groups(found: FoundInTree, join: float, check: bool) -> tuple[list[LayerShapes], list[DrawingProblem]]:
    """Return the shapes by their innermost named group, and gaps and faults, each looked for once: within a group."""
    members: dict[str, list[FoundShape]] = {}
    for shape in found.drawn:
        members.setdefault(found.groups[shape.group], []).append(shape)
    shapes: list[LayerShapes] = []
    closed: list[tuple[str, Sequence[Path]]] = []
    problems: list[DrawingProblem] = []
    for group, drawn in sorted(members.items()):
        paths = [shape.path for shape in drawn if shape.path is not None]
        points = [shape.point for shape in drawn if shape.point is not None]
        origins = [shape.origin for shape in drawn if shape.path is not None]
        own, faults = assembled(paths, points, join=join, layer=group or None, check=check, origins=origins)
        shapes.append(own)
        closed.append((group, own.closed))
        problems += faults
    return shapes, problems + (drawn_on_two_layers(closed) if check else [])


def _left_out(found: FoundInTree) -> list[DrawingProblem]:
    problems = []
    for kind, count in sorted(found.skipped.items()):
        sort = ProblemKind.TEXT if kind in _TEXTS else ProblemKind.SKIPPED
        problems.append(DrawingProblem(sort, _skipped(sort, count, kind)))
    if found.hidden:
        said = msg_many("One hidden element was left out.", "{count} hidden elements were left out.", found.hidden)
        problems.append(DrawingProblem(ProblemKind.HIDDEN, said))
    if found.unpainted:
        said = msg_many(
            "One shape without any paint was left out.",
            "{count} shapes without any paint were left out.",
            len(found.unpainted),
        )
        problems.append(DrawingProblem(ProblemKind.UNPAINTED, said, line=found.unpainted[0]))
    return problems


def _skipped(sort: ProblemKind, count: int, kind: str) -> Message:
    if sort is ProblemKind.TEXT:
        return msg("Text was left out: {count} x {kind}.", count=count, kind=kind)
    return msg("Left out, because it is no line: {count} x {kind}.", count=count, kind=kind)


def nothing(found: FoundInTree) -> DrawingError:
    """Return why there is no line in what was found, and what to do."""
    if found.hidden:
        said, advice = msg("the SVG draws no line: everything in it is hidden"), msg("Show what is to be cut.")
    elif found.unpainted:
        said = msg("the SVG draws no line: nothing in it has any paint")
        advice = msg("Give what is to be cut a stroke or a fill.")
    elif set(_TEXTS) & set(found.skipped):
        said, advice = msg("the SVG holds text and no line"), msg("Turn the text into paths, if it is to be cut.")
    elif found.skipped:
        said = msg("the SVG draws no line, only {kinds}", kinds=listed(sorted(found.skipped)))
        advice = msg("Draw what is to be cut as lines.")
    else:
        return DrawingError(msg("the SVG draws no line"))
    return DrawingError(said, advice=advice)
