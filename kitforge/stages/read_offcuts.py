"""The offcuts of a shop from a file: outlines of any shape, each with thickness, grain and bad spots of its own."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from kitforge.definition import kinds
from kitforge.definition.offcuts import OffcutEntry, OffcutsFile
from kitforge.definition.reader import read_as
from kitforge.geometry.transform import translated
from kitforge.model.errors import UnreadableKitError
from kitforge.model.findings import Severity, sort_findings
from kitforge.model.kit import Grain
from kitforge.model.messages import msg
from kitforge.model.offcuts import Offcut
from kitforge.model.path import Path as Line
from kitforge.resolve.drawings import Drawings
from kitforge.resolve.shapes import ShapeResolver
from kitforge.resolve.values import MATERIALS, ResolveContext, ValueRange, label, title_of
from kitforge.resolve.workshop import THICKNESS
from kitforge.stages.printable import report_texts
from kitforge.stages.read_machine import bytes_of
from kitforge.workshop.load import load_workshop

if TYPE_CHECKING:
    from kitforge.definition.positions import Place
    from kitforge.plugins import Plugins

_WANTED = msg("Name a YAML file that describes the offcuts of your shop.")
_MARGIN = ValueRange(0.0, 500.0)
_LEAST, _LARGEST = 1.0, 5000.0  # mm2, mm


def read_offcuts(path: Path, plugins: Plugins) -> tuple[Offcut, ...]:
    """Return the offcuts that a YAML file describes. Raises UnreadableKitError with every problem found."""
    entry, where, problems = read_as(OffcutsFile, bytes_of(path, _WANTED), path.name)
    if entry is None:
        raise UnreadableKitError(sort_findings(problems))
    sheet = ResolveContext(entry.units, where, problems=problems)
    report_texts(sheet, entry)
    draughtsman = ShapeResolver(sheet, Drawings(sheet, plugins, {}))
    found = [_offcut(sheet, draughtsman, key, one) for key, one in entry.offcuts.items()]
    if sheet.failures or any(problem.severity is Severity.ERROR for problem in sheet.problems):
        raise UnreadableKitError(sort_findings(sheet.problems), entry.units)
    return tuple(one for one in found if one is not None)


def _offcut(sheet: ResolveContext, draughtsman: ShapeResolver, key: str, entry: OffcutEntry) -> Offcut | None:
    at: Place = ("offcuts", key)
    material = sheet.entry(load_workshop().materials, entry.material, MATERIALS, *at, "material")
    thickness = sheet.length(entry.thickness, *at, "thickness", within=THICKNESS)
    margin = sheet.length(entry.margin, *at, "margin", within=_MARGIN)
    outline = _closed(sheet, draughtsman.draw(entry.outline, (*at, "outline")).paths, (*at, "outline"))
    bad = [
        line
        for index, shape in enumerate(entry.bad)
        for line in [_closed(sheet, draughtsman.draw(shape, (*at, "bad", index)).paths, (*at, "bad", index))]
        if line is not None
    ]
    if material is None or outline is None:
        return None
    box = outline.bounds
    if max(box.width, box.height) > _LARGEST:
        said = msg("{place}: a piece of more than 5 m is no offcut.", place=label((*at, "outline")))
        sheet.report(kinds.BAD_NUMBER, (*at, "outline"), said, msg("Check the numbers and their unit."))
    return Offcut(
        key,
        entry.title or title_of(key),
        material,
        thickness,
        Grain(entry.grain),
        translated(outline, -box.left, -box.bottom),
        margin,
        tuple(translated(line, -box.left, -box.bottom) for line in bad),
        sheet.where.key(*at),
    )


def _closed(sheet: ResolveContext, paths: tuple[Line, ...], place: Place) -> Line | None:
    """Return the one closed line of a shape that does not cross itself; else a finding and None."""
    if not paths:
        return None  # told already
    line = paths[0]
    if len(paths) > 1:
        said = msg("{place}: it is one line, and there are {count}.", place=label(place), count=len(paths))
    elif not line.closed or len(line.vertices) < 2:
        said = msg("{place}: the line is open.", place=label(place))
    elif (line.has_arcs or len(line.vertices) > 2) and line.to_polygon().is_valid and abs(line.area) >= _LEAST:
        return line.counter_clockwise()
    else:
        said = msg("{place}: the line crosses itself or encloses next to nothing.", place=label(place))
    sheet.report(kinds.SHAPE_UNFIT, place, said, msg("Draw it as one closed line around the piece."))
    return None
