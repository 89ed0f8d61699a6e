"""DXF files, R10 to the newest, ASCII and binary, to a drawing in mm."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from kitforge.drawings.assemble import Tracer, assembled, together
from kitforge.drawings.dxf_records import DxfFile, records_of
from kitforge.drawings.dxf_shapes import Collected, Collector, RawLayer
from kitforge.drawings.dxf_tags import is_dxf, tags_of
from kitforge.drawings.faults import drawn_on_two_layers
from kitforge.drawings.limits import LARGEST_COORDINATE, Budget, ReadingLimits, collector_paused
from kitforge.drawings.unit import Sizes, Unit, chosen_unit, unit_doubt, unit_size
from kitforge.geometry.affine import scaling
from kitforge.geometry.transform import transformed
from kitforge.model.drawing import Drawing, DrawingError, DrawingProblem, LayerShapes, ProblemKind, shown
from kitforge.model.messages import Message, listed, msg, msg_many
from kitforge.model.piece import Bounds

__all__ = ["is_dxf", "read_dxf"]

_TEXTS = ("TEXT", "MTEXT", "ATTRIB", "ATTDEF", "RTEXT", "ARCALIGNEDTEXT")


def read_dxf(
    data: bytes, unit: str | None = None, *, join: float = 0.0, check: bool = True, limits: ReadingLimits | None = None
) -> Drawing:
    """Return the shapes of a DXF file's model space by layer, in mm.

    unit: what the author says the drawing is in ('mm', 'cm', 'm', 'in', 'ft'); it counts before the file's own word.
    join: gaps up to so many mm are closed. check: look for doubled lines, overlaps and shapes that cross themselves.
    Raises DrawingError, with line and entity where they are known, for a file that is damaged, not finite, too large
    or empty; ValueError for a unit that is not known.
    """
    if unit is not None:
        unit_size(unit)
    with collector_paused():
        return _read(data, unit, join, check, limits or ReadingLimits())


def _read(data: bytes, unit: str | None, join: float, check: bool, limits: ReadingLimits) -> Drawing:
    file = records_of(tags_of(data, limits), limits)
    found, measure = _collected(file, unit, Budget(limits))
    if not any(raw.paths or raw.points for raw in found.layers.values()):
        raise _nothing(found)
    layers, problems = _finished(found, join, check)
    whole = together(layers.values(), join)
    doubt = None if unit is not None or measure.problems else unit_doubt(measure.name, measure.mm, _sizes(found, whole))
    doubts = [*measure.problems, *([doubt] if doubt else [])]
    noted = [*doubts, *found.problems, *_left_out(found), *problems]
    raws = found.layers.values()
    tracer = Tracer([path for raw in raws for path in raw.paths], [one for raw in raws for one in raw.origins])
    return Drawing(layers, measure.name, tuple(noted), whole, tracer=tracer)


def _collected(file: DxfFile, unit: str | None, budget: Budget) -> tuple[Collected, Unit]:
    """Return raw shapes in mm and the unit, which is chosen from the size of the drawing where nobody states one."""
    stated = _stated_unit(file)
    given = chosen_unit(stated, unit, 0.0)
    if not given.problems:
        return Collector(file, given.mm, budget).run(), given
    found = Collector(file, 1.0, budget).run()
    guess = chosen_unit(stated, unit, _extent(found))
    if guess.mm != 1.0:
        found.layers = {name: _scaled(raw, guess.mm) for name, raw in found.layers.items()}
    return found, guess


def _stated_unit(file: DxfFile) -> int:
    value = file.header.get("$INSUNITS", 0)
    try:
        return int(value)
    except ValueError:
        said = msg("the DXF file is damaged: $INSUNITS is '{value}', which is no number", value=shown(str(value)))
        raise DrawingError(said) from None


def _extent(found: Collected) -> float:
    """Return the longer side of the box around everything drawn, in mm."""
    xs: list[float] = []
    ys: list[float] = []
    for raw in found.layers.values():
        for path in raw.paths:
            box = path.bounds
            xs += (box.left, box.right)
            ys += (box.bottom, box.top)
        xs += [x for x, _ in raw.points]
        ys += [y for _, y in raw.points]
    return max(max(xs) - min(xs), max(ys) - min(ys)) if xs else 0.0


def _sizes(found: Collected, whole: LayerShapes) -> Sizes:
    """Return the size of everything, and that of the smallest closed line that lies in the box of the largest one."""
    boxes = sorted((path.bounds for path in whole.closed), key=lambda box: box.width * box.height)
    inner = [box for box in boxes[:-1] if _lies_in(box, boxes[-1])]
    sides = [max(box.width, box.height) for box in inner]
    return Sizes(_extent(found), min(sides, default=None))


def _lies_in(inner: Bounds, outer: Bounds) -> bool:
    return (
        outer.left <= inner.left
        and inner.right <= outer.right
        and outer.bottom <= inner.bottom
        and inner.top <= outer.top
    )


def _scaled(raw: RawLayer, factor: float) -> RawLayer:
    paths = [transformed(path, scaling(factor)) for path in raw.paths]
    points = [(x * factor, y * factor) for x, y in raw.points]
    if any(max(map(abs, path.bounds)) > LARGEST_COORDINATE for path in paths):
        raise DrawingError(msg("a coordinate lies more than 1 km from the origin; check the drawing's unit"))
    return RawLayer(paths, points, raw.origins)


def _finished(found: Collected, join: float, check: bool) -> tuple[dict[str, LayerShapes], list[DrawingProblem]]:
    layers: dict[str, LayerShapes] = {}
    problems: list[DrawingProblem] = []
    for name in sorted(found.layers):
        raw = found.layers[name]
        layers[name], more = assembled(raw.paths, raw.points, join=join, layer=name, check=check, origins=raw.origins)
        problems += more
    if check:
        problems += drawn_on_two_layers((name, shapes.closed) for name, shapes in layers.items())
    return layers, problems


def _left_out(found: Collected) -> list[DrawingProblem]:
    """Return one problem for each layer and each reason why something on it was left out."""
    return [
        *_of_layers(found.hidden, ProblemKind.HIDDEN, _hidden),
        *_of_layers(found.unplotted, ProblemKind.NOT_PLOTTED, _unplotted),
        *_of_layers(found.paper, ProblemKind.PAPER, _in_paper),
        *_skipped(found),
    ]


def _hidden(count: int, layer: str) -> Message:
    return msg_many(
        "One hidden entity on layer '{layer}' was left out.",
        "{count} hidden entities on layer '{layer}' were left out.",
        count,
        layer=layer,
    )


def _unplotted(count: int, layer: str) -> Message:
    return msg_many(
        "One entity on layer '{layer}', which is not plotted, was left out.",
        "{count} entities on layer '{layer}', which is not plotted, were left out.",
        count,
        layer=layer,
    )


def _in_paper(count: int, layer: str) -> Message:
    return msg_many(
        "One entity of the paper space on layer '{layer}' was left out.",
        "{count} entities of the paper space on layer '{layer}' were left out.",
        count,
        layer=layer,
    )


def _of_layers(
    counts: Mapping[str, int], kind: ProblemKind, told: Callable[[int, str], Message]
) -> list[DrawingProblem]:
    return [DrawingProblem(kind, told(count, shown(name)), layer=name) for name, count in sorted(counts.items())]


def _skipped(found: Collected) -> list[DrawingProblem]:
    by_layer: dict[tuple[ProblemKind, str], dict[str, int]] = {}
    for (kind, layer), count in sorted(found.skipped.items()):
        sort = ProblemKind.TEXT if kind in _TEXTS else ProblemKind.SKIPPED
        by_layer.setdefault((sort, layer), {})[kind] = count
    return [
        DrawingProblem(sort, _of_skipped(sort, shown(layer), _counted(counts)), layer=layer)
        for (sort, layer), counts in sorted(by_layer.items())
    ]


def _of_skipped(sort: ProblemKind, layer: str, what: Message) -> Message:
    if sort is ProblemKind.TEXT:
        return msg("Text on layer '{layer}' was left out: {what}.", layer=layer, what=what)
    return msg("Left out on layer '{layer}', because it is no line: {what}.", layer=layer, what=what)


def _counted(counts: Mapping[str, int]) -> Message:
    named = [msg("{count} x {kind}", count=count, kind=shown(kind, 30)) for kind, count in sorted(counts.items())]
    return msg("{named}", named=listed(named))


def _nothing(found: Collected) -> DrawingError:
    """Return why there is no line in what was found, and what to do."""
    if found.hidden:
        said = msg("the drawing shows nothing: everything in it is hidden or on a layer that is off or frozen")
        return DrawingError(said, advice=msg("Show what is to be cut."))
    if found.unplotted:
        said = msg("the drawing shows nothing: everything in it is on a layer that is not plotted")
        return DrawingError(said, advice=msg("Put what is to be cut on a layer that is plotted."))
    if found.paper:
        said = msg("everything in the drawing is in its paper space, which is not read")
        return DrawingError(said, advice=msg("Draw it in the model space."))
    if found.skipped:
        kinds = listed(sorted({shown(kind, 30) for kind, _ in found.skipped}))
        said = msg(
            "the drawing holds no line, arc, circle, polyline or spline in its model space, only {kinds}", kinds=kinds
        )
        return DrawingError(said, advice=msg("Turn what is to be cut into lines."))
    return DrawingError(msg("the drawing holds no entities in its model space"))
