"""DXF files, R10 to the newest, ASCII and binary, to a drawing in mm."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kitforge.geometry.affine import scaling
from kitforge.geometry.assemble import assembled, everything
from kitforge.geometry.drawing import Drawing, DrawingError, LayerShapes, Problem, ProblemKind
from kitforge.geometry.drawing_unit import Unit, chosen_unit, unit_size
from kitforge.geometry.dxf_load import is_dxf, line_of_handle, load_dxf
from kitforge.geometry.dxf_shapes import Collected, Collector, RawLayer
from kitforge.geometry.limits import LARGEST_COORDINATE, Budget, Limits, collector_paused
from kitforge.geometry.transform import transformed

if TYPE_CHECKING:
    from ezdxf.document import Drawing as Document

__all__ = ["is_dxf", "read_dxf"]


def read_dxf(
    data: bytes, unit: str | None = None, *, join: float = 0.0, check: bool = True, limits: Limits | None = None
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
        return _read(data, unit, join, check, limits or Limits())


def _read(data: bytes, unit: str | None, join: float, check: bool, limits: Limits) -> Drawing:
    try:
        document = load_dxf(data, limits)
        found, measure = _collected(document, unit, Budget(limits), b"$INSUNITS" in data)
    except DrawingError as error:
        line = error.line or line_of_handle(data, error.entity)
        raise DrawingError(error.message, line=line, entity=error.entity, advice=error.advice) from error
    except RecursionError as error:
        raise DrawingError("the drawing is nested too deeply") from error
    if not any(raw.paths or raw.points for raw in found.layers.values()):
        raise DrawingError(_nothing(found))
    layers, problems = _finished(found, join, check)
    noted = [*measure.problems, *found.problems, *_hidden(found), *_skipped(found), *problems]
    return Drawing(layers, measure.name, dict(sorted(found.skipped.items())), tuple(noted), everything(layers.values()))


def _collected(document: Document, unit: str | None, budget: Budget, says_unit: bool) -> tuple[Collected, Unit]:
    """Return raw shapes in mm and the unit, which is chosen from the size of the drawing where nobody states one."""
    # a file that does not say is given a default by the library
    stated = int(document.header.get("$INSUNITS", 0) or 0) if says_unit else 0
    given = chosen_unit(stated, unit, 0.0)
    if not given.problems:
        found = Collector(document, given.mm, budget).run()
        return found, chosen_unit(stated, unit, _extent(found) / given.mm)
    found = Collector(document, 1.0, budget).run()
    guess = chosen_unit(stated, unit, _extent(found))
    if guess.mm != 1.0:
        found.layers = {name: _scaled(raw, guess.mm) for name, raw in found.layers.items()}
    return found, guess


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


def _scaled(raw: RawLayer, factor: float) -> RawLayer:
    paths = [transformed(path, scaling(factor)) for path in raw.paths]
    points = [(x * factor, y * factor) for x, y in raw.points]
    if any(max(map(abs, path.bounds)) > LARGEST_COORDINATE for path in paths):
        raise DrawingError("a coordinate lies more than 1 km from the origin; check the drawing's unit")
    return RawLayer(paths, points)


def _finished(found: Collected, join: float, check: bool) -> tuple[dict[str, LayerShapes], list[Problem]]:
    layers: dict[str, LayerShapes] = {}
    problems: list[Problem] = []
    for name in sorted(found.layers):
        raw = found.layers[name]
        layers[name], more = assembled(raw.paths, raw.points, join=join, layer=name, check=check)
        problems += more
    return layers, problems


def _hidden(found: Collected) -> list[Problem]:
    return [
        Problem(ProblemKind.HIDDEN, f"{count} hidden entities on layer '{name}' were left out.", layer=name)
        for name, count in sorted(found.hidden.items())
    ]


def _skipped(found: Collected) -> list[Problem]:
    if not found.skipped:
        return []
    listed = ", ".join(f"{count} {kind}" for kind, count in sorted(found.skipped.items()))
    return [Problem(ProblemKind.SKIPPED, f"These entities hold no line to cut and were left out: {listed}.")]


def _nothing(found: Collected) -> str:
    if found.hidden:
        return "the drawing shows nothing: everything in it is hidden or on a layer that is off or frozen"
    if found.skipped:
        kinds = ", ".join(sorted(found.skipped))
        return f"the drawing holds no line, arc, circle, polyline or spline in its model space, only {kinds}"
    return "the drawing holds no entities in its model space"
