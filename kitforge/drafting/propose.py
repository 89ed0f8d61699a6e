"""What was probably meant: an operation for every lot, cutters that fit, and stock that the part fits on."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from kitforge.drafting.lots import LARGEST_DRILL
from kitforge.drafting.names import as_key, as_title, length_in, says_lines, says_through
from kitforge.drafting.records import (
    Classified,
    ClassifiedPart,
    DraftOperation,
    DrawingSource,
    KitDraft,
    LeftOut,
    PartDraft,
    ShapeGroup,
    Tool,
)
from kitforge.drafting.tools import drawer, drill, largest_inside, largest_outside
from kitforge.drawings.layer_choice import SAME_DIAMETER, diameter_of
from kitforge.model.units import MM_PER_INCH, plain_number

ALLOWANCE = 0.5
"""How far a cut goes on through the stock into the spoilboard, mm: the default of kit.yaml."""

MARGIN = 10.0
SMALL_PART = 100.0
LEAST_DRILL = 0.5
POINT_DRILL = 3.0
THICKEST = 60.0
"""A thickness that a layer's name states is believed up to this, mm. Common practice, no source."""

_GROOVE_DEPTH = 2.0
_DEEPEST_SHARE = 0.9
_THICKNESSES = {"mm": (6.0, 9.0, 12.0, 15.0, 18.0, 25.0, 40.0), "in": (6.35, 9.525, 12.7, 19.05, 25.4, 38.1)}
_TITLES = {"drill": "Holes", "groove": "Grooves", "cut-out": "Openings", "pocket": "Pockets"}
_INCH_UNITS = ("in", "ft", "US survey in", "US survey ft", "mil")


class _Stock(NamedTuple):
    """The sheet's thickness as written and in mm, the layer that says so ('' for none), and the kit's units."""

    written: str
    thick: float
    said_by: str
    units: str


def propose(source: DrawingSource, found: Classified) -> KitDraft:
    """Return a first kit for the parts of a drawing."""
    boxes = [part.path.bounds for part in found.parts]
    units = "in" if source.drawing.unit in _INCH_UNITS else "mm"
    stock = _stock_for(found, units)
    parts = tuple(_part(part, stock) for part in found.parts)
    used = {work.tool.key: work.tool for part in parts for work in part.works}
    around = max((part.works[-1].tool.size for part in parts), default=0.0)
    size = (
        _side(max(box.width for box in boxes), around, units),
        _side(max(box.height for box in boxes), around, units),
    )
    tools = tuple(used.values())
    return KitDraft(source, parts, found.left_out, tools, units, stock.written, stock.said_by, size)


def _part(part: ClassifiedPart, stock: _Stock) -> PartDraft:
    tools = drawer()
    names: set[str] = set()
    works: list[DraftOperation] = []
    left = list(part.left_out)
    for lot in part.lots:
        work = _work_for(lot, stock, tools, names)
        if work is None:
            left.append(LeftOut(lot.seen_on, lot.count, "too narrow for every cutter that reaches deep enough"))
        else:
            works.append(work)
    around = largest_outside(part.path, stock.thick + ALLOWANCE, tools) or tools[0]
    why = "the closed line of the largest area" + _of_layer(part.outline)
    works.append(DraftOperation(as_key("outline", names), "Cut the part free", "profile", around, None, None, why))
    return PartDraft(part, tuple(works), tuple(left), part.path.bounds)


def _of_layer(lot: ShapeGroup) -> str:
    return f" on '{lot.seen_on}'" if lot.layers not in ((), ("*",)) else ""


def _stock_for(found: Classified, units: str) -> _Stock:
    """Return the thickness that a layer's name states, else thin stock for small parts and the usual sheet for others.

    Common practice, no source; never thinner than a depth that a name states.
    """
    lots = [lot for part in found.parts for lot in part.lots]
    through = [part.outline for part in found.parts] + [lot for lot in lots if says_through(lot.seen_on)]
    stated = {lot.seen_on: length_in(lot.seen_on) for lot in through}
    thick = max((length or 0.0 for length in stated.values()), default=0.0)
    if 0 < thick <= THICKEST:
        said_by = next(name for name, length in stated.items() if length == thick)
        return _Stock(_written(thick, units), thick, said_by, units)
    small = all(max(part.path.bounds.width, part.path.bounds.height) < SMALL_PART for part in found.parts)
    usual = _THICKNESSES[units][0 if small else 2]
    depths = [_stated_depth(lot) or 0.0 for lot in lots]
    deepest = max(depths, default=0.0) / _DEEPEST_SHARE
    thick = next((one for one in _THICKNESSES[units] if one >= max(usual, deepest)), _THICKNESSES[units][-1])
    return _Stock(_written(thick, units), thick, "", units)


def _written(length: float, units: str) -> str:
    if units == "mm":
        return f"{plain_number(length, 3)} mm"
    sixteenths = length / MM_PER_INCH * 16
    if abs(sixteenths - round(sixteenths)) > 1e-6:
        return f"{plain_number(length / MM_PER_INCH, 4)} in"
    whole, rest = divmod(round(sixteenths), 16)
    shared = math.gcd(rest, 16)
    fraction = f"{rest // shared}/{16 // shared}" if rest else ""
    return f"{' '.join(word for word in (str(whole) if whole else '', fraction) if word)} in"


def _stated_depth(lot: ShapeGroup) -> float | None:
    """Return the depth in mm that a layer's name states; of holes a length that is their diameter is none."""
    length = length_in(lot.seen_on) if lot.layers else None
    if length is None or says_through(lot.seen_on):
        return None
    diameters = [diameter_of(path) for path in lot.shapes.closed]
    if any(abs(length - diameter) <= 2 * SAME_DIAMETER for diameter in diameters if diameter):
        return None
    return length


def _side(size: float, around: float, units: str) -> str:
    """Return a side of the stock: the part, the cut around it and the margin, rounded up, as written."""
    need = size + 2 * (MARGIN + 2 * around)
    if units == "in":
        return f"{plain_number(math.ceil(need / MM_PER_INCH * 2) / 2, 1)} in"
    return f"{math.ceil(need / 10) * 10} mm"


def _work_for(lot: ShapeGroup, stock: _Stock, tools: Sequence[Tool], names: set[str]) -> DraftOperation | None:
    """Return the likeliest operation for a lot, or None where no cutter fits."""
    seen = lot.seen_on
    label = as_title(seen, "") if lot.layers and any(char.isalpha() for char in seen) else ""
    if lot.shapes.points:
        tool = drill(POINT_DRILL, stock.thick + ALLOWANCE, stock.units)
        why = f"points on '{seen}': holes, of which the drawing does not say the diameter"
        return _named(names, "drill", label, "drill", tool, lot, "through", why)
    if lot.shapes.open:
        return _groove(lot, stock, tools, names, label, f"open lines on '{seen}': the groove is as wide as the cutter")
    diameters = {diameter_of(path) for path in lot.shapes.closed}
    if min(diameters) >= LEAST_DRILL and max(diameters) <= LARGEST_DRILL:
        return _holes(lot, stock, names, label)
    if says_lines(seen) and lot.layers:
        return _groove(lot, stock, tools, names, label, f"the name '{seen}' sounds like lines to be cut as grooves")
    return _area(lot, stock, tools, names, label)


def _holes(lot: ShapeGroup, stock: _Stock, names: set[str], label: str) -> DraftOperation:
    depth = _stated_depth(lot)
    size = round(min(diameter_of(path) for path in lot.shapes.closed), 3)
    tool = drill(size, stock.thick + ALLOWANCE, stock.units)
    why = f"{len(lot.shapes.closed)} equal small circles on '{lot.seen_on}'"
    if depth is not None and depth < stock.thick:
        why += ", whose name states a depth"
        return _named(names, "drill", label, "drill", tool, lot, _written(depth, stock.units), why)
    return _named(names, "drill", label, "drill", tool, lot, "through", why)


def _groove(
    lot: ShapeGroup, stock: _Stock, tools: Sequence[Tool], names: set[str], label: str, why: str
) -> DraftOperation:
    tool = next((one for one in tools if one.size <= 3.2), tools[-1])
    stated = _stated_depth(lot)
    if stated is not None and stated < stock.thick:
        depth, why = _written(stated, stock.units), f"{why}; the name states the depth"
    else:
        depth = "= sheet / 6" if stock.thick / 6 >= _GROOVE_DEPTH - 0.2 else "= sheet / 4"
    return _named(names, "groove", label, "groove", tool, lot, depth, why)


def _area(lot: ShapeGroup, stock: _Stock, tools: Sequence[Tool], names: set[str], label: str) -> DraftOperation | None:
    """Return a cut-out where the layer's name says so and a cutter reaches through, else a pocket."""
    paths, seen = lot.shapes.closed, lot.seen_on
    if says_through(seen):
        tool = largest_inside(paths, stock.thick + ALLOWANCE, tools)
        if tool is not None:
            why = f"the name '{seen}' sounds like openings that go through"
            return _named(names, "cut-out", label, "profile", tool, lot, "through", why)
    stated = _stated_depth(lot)
    if stated is not None and stated < stock.thick:
        tool = largest_inside(paths, stated, tools) or largest_inside(paths, 0.0, tools)
        why = f"closed lines on '{seen}', whose name states a depth: a pocket"
        return (
            None
            if tool is None
            else _named(names, "pocket", label, "pocket", tool, lot, _written(stated, stock.units), why)
        )
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


def _named(
    names: set[str], sort: str, label: str, do: str, tool: Tool, lot: ShapeGroup, depth: str, why: str
) -> DraftOperation:
    title = label or _TITLES[sort]
    key = as_key(title if not label or label.lower().startswith(sort) else f"{sort} {label}", names)
    return DraftOperation(key, label or as_title(key), do, tool, lot, depth, why)
