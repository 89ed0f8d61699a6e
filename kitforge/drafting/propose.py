"""What was probably meant: an operation for every lot, cutters that fit, and stock that the part fits on."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from kitforge.drafting.names import as_key, as_title, says_lines, says_through
from kitforge.drafting.records import Draft, LeftOut, Lot, Sorted, Source, Tool, Work
from kitforge.drafting.sort import LARGEST_DRILL, sort_drawing
from kitforge.drafting.tools import drawer, drill, largest_inside, largest_outside
from kitforge.geometry.piece import Bounds
from kitforge.stages.layer_choice import diameter_of
from kitforge.units import MM_PER_INCH, parse_length, plain_number

ALLOWANCE = 0.5
"""How far a cut goes on through the stock into the spoilboard, mm: the default of kit.yaml."""

MARGIN = 10.0
SMALL_PART = 100.0
LEAST_DRILL = 0.5
POINT_DRILL = 3.0
_GROOVE_DEPTH = 2.0
_TITLES = {"drill": "Holes", "groove": "Grooves", "cut-out": "Openings", "pocket": "Pockets"}


class _Stock(NamedTuple):
    """The sheet's thickness as written and in mm, and the kit's units."""

    written: str
    thick: float
    units: str


def propose(source: Source) -> Draft:
    """Return a first kit for a drawing. Raises ValueError when nothing in it can be the outline of a part."""
    found = sort_drawing(source.drawing)
    box = found.path.bounds
    units = "in" if source.drawing.unit in ("in", "ft", "US survey in", "US survey ft", "mil") else "mm"
    stock = _stock_for(box, units)
    tools = drawer()
    names: set[str] = set()
    works: list[Work] = []
    left = list(found.left_out)
    for lot in found.lots:
        work = _work_for(lot, stock, tools, names)
        if work is None:
            left.append(LeftOut(lot.seen_on, _count(lot), "too narrow for every cutter that reaches deep enough"))
        else:
            works.append(work)
    around = largest_outside(found.path, stock.thick + ALLOWANCE, tools) or tools[0]
    why = "the closed line of the largest area" + _of_layer(found.outline)
    works.append(Work(as_key("outline", names), "Cut the part free", "profile", around, None, None, why))
    used = tuple({work.tool.key: work.tool for work in works}.values())
    size = (_side(box.width, around, units), _side(box.height, around, units))
    return Draft(source, found, tuple(works), tuple(left), used, units, stock.written, size, box)


def _count(lot: Lot) -> int:
    return len(lot.shapes.closed) + len(lot.shapes.open) + len(lot.shapes.points)


def _of_layer(lot: Lot) -> str:
    return f" on '{lot.layer}'" if lot.layer not in (None, "*") else ""


def _stock_for(box: Bounds, units: str) -> _Stock:
    """Return thin stock for a small part, else the usual sheet. Common practice, no source."""
    small = max(box.width, box.height) < SMALL_PART
    written = {"mm": ("6 mm", "12 mm"), "in": ("1/4 in", "1/2 in")}[units][0 if small else 1]
    return _Stock(written, parse_length(written), units)


def _side(size: float, around: Tool, units: str) -> str:
    """Return a side of the stock: the part, the cut around it and the margin, rounded up, as written."""
    need = size + 2 * (MARGIN + 2 * around.size)
    if units == "in":
        return f"{plain_number(math.ceil(need / MM_PER_INCH * 2) / 2, 1)} in"
    return f"{math.ceil(need / 10) * 10} mm"


def _work_for(lot: Lot, stock: _Stock, tools: Sequence[Tool], names: set[str]) -> Work | None:
    """Return the likeliest operation for a lot, or None where no cutter fits."""
    seen = lot.seen_on
    label = as_title(seen) if lot.layer and any(char.isalpha() for char in seen) else ""
    if lot.shapes.points:
        tool = drill(POINT_DRILL, stock.thick + ALLOWANCE, stock.units)
        why = f"points on '{seen}': holes, of which the drawing does not say the diameter"
        return _named(names, "drill", label, "drill", tool, lot, "through", why)
    if lot.shapes.open:
        return _groove(lot, stock, tools, names, label, f"open lines on '{seen}': the groove is as wide as the cutter")
    diameters = {diameter_of(path) for path in lot.shapes.closed}
    if min(diameters) >= LEAST_DRILL and max(diameters) <= LARGEST_DRILL:
        size = round(min(diameters), 3)
        tool = drill(size, stock.thick + ALLOWANCE, stock.units)
        why = f"{len(lot.shapes.closed)} equal small circles on '{seen}'"
        return _named(names, "drill", label, "drill", tool, lot, "through", why)
    if says_lines(seen) and lot.layer:
        return _groove(lot, stock, tools, names, label, f"the name '{seen}' sounds like lines to be cut as grooves")
    return _area(lot, stock, tools, names, label)


def _groove(lot: Lot, stock: _Stock, tools: Sequence[Tool], names: set[str], label: str, why: str) -> Work:
    tool = next((one for one in tools if one.size <= 3.2), tools[-1])
    depth = "= sheet / 6" if stock.thick / 6 >= _GROOVE_DEPTH - 0.2 else "= sheet / 4"
    return _named(names, "groove", label, "groove", tool, lot, depth, why)


def _area(lot: Lot, stock: _Stock, tools: Sequence[Tool], names: set[str], label: str) -> Work | None:
    """Return a cut-out where the layer's name says so and a cutter reaches through, else a pocket."""
    paths, seen = lot.shapes.closed, lot.seen_on
    if says_through(seen):
        tool = largest_inside(paths, stock.thick + ALLOWANCE, tools)
        if tool is not None:
            why = f"the name '{seen}' sounds like openings that go through"
            return _named(names, "cut-out", label, "profile", tool, lot, "through", why)
    tool = largest_inside(paths, stock.thick / 3, tools)
    depth = "= sheet / 3"
    if tool is None:
        tool = largest_inside(paths, 0.0, tools)
        if tool is None:
            return None
        unit, factor = ("in", MM_PER_INCH) if stock.units == "in" else ("mm", 1.0)
        depth = f"{plain_number(min(tool.size, tool.reach) / factor, 3)} {unit}"
    why = f"closed lines on '{seen}': a pocket; to cut them out, write `do: profile` and remove `depth`"
    return _named(names, "pocket", label, "pocket", tool, lot, depth, why)


def _named(names: set[str], sort: str, label: str, do: str, tool: Tool, lot: Lot, depth: str, why: str) -> Work:
    title = label or _TITLES[sort]
    key = as_key(title if not label or label.lower().startswith(sort) else f"{sort} {label}", names)
    return Work(key, label or as_title(key), do, tool, lot, depth, why)


__all__ = ["Draft", "Sorted", "propose"]
