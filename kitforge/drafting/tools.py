"""Cutters for a first kit: the largest of a small drawer that gets everywhere it has to.

The drawer holds common sizes with common lengths (common practice, no source); who has others writes them in.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from shapely import Polygon, get_parts, union_all
from shapely.geometry.base import BaseGeometry

from kitforge.drafting.records import Tool
from kitforge.geometry.corners import Side, inside_corners
from kitforge.model.path import Path
from kitforge.model.units import MM_PER_INCH, parse_length, plain_number

_DRAWER = (
    ("1/4 in", "7/8 in", "1/4 in", "2 1/2 in"),
    ("1/8 in", "5/8 in", "1/8 in", "1 1/2 in"),
    ("1/16 in", "1/4 in", "1/8 in", "1 1/2 in"),
    ("1/32 in", "1/8 in", "1/8 in", "1 1/2 in"),
)
_SMALL_SHANK = 3.2
# What a cutter leaves in a corner of 45 degrees is 1.24 radius²; a piece larger than that is a region it cannot enter.
_CORNER_SHARE = 1.25
_SLACK = 0.02


def drawer() -> list[Tool]:
    """Return the end mills to choose from, largest first. Their shanks fit the collets of every machine class."""
    return [_end_mill(*row) for row in _DRAWER]


def _end_mill(size: str, reach: str, shank: str, overall: str) -> Tool:
    key = f"end-mill-{size.replace('/', '-').replace(' ', '')}"
    written = (
        f"{{ kind: up-cut, diameter: {size}, cutting_length: {reach}, shank: {shank}, overall_length: {overall}, "
        "flutes: 2 }"
    )
    return Tool(key, "end mill", parse_length(size), parse_length(reach), written)


def drill(diameter: float, reach: float, units: str) -> Tool:
    """Return a drill of the diameter in mm that reaches at least so deep."""
    factor, unit, places = (MM_PER_INCH, "in", 4) if units == "in" else (1.0, "mm", 3)

    def show(value: float) -> str:
        return f"{plain_number(value / factor, places)} {unit}"

    shank = "1/8 in" if diameter <= _SMALL_SHANK else "1/4 in"
    step = factor / 8 if units == "in" else 1.0
    cutting, overall = (math.ceil(value / step) * step for value in (max(reach + 4.0, 3 * diameter), 60.0))
    key = f"drill-{show(diameter).replace('.', '-').replace(' ', '')}"
    written = (
        f"{{ kind: drill, diameter: {show(diameter)}, cutting_length: {show(cutting)}, shank: {shank}, "
        f"overall_length: {show(overall)}, angle: 118, substrate: hss }}"
    )
    return Tool(key, "drill", diameter, cutting, written)


def largest_inside(paths: Sequence[Path], depth: float, tools: Iterable[Tool]) -> Tool | None:
    """Return the largest end mill that clears closed lines `depth` mm deep; failing that one that goes in at all."""
    from kitforge.geometry.region import REACH_EPSILON, offset, unreachable

    areas = _areas(paths)
    fitting = None
    for tool in tools:
        radius = tool.radius
        if tool.reach < depth or any(offset(area, REACH_EPSILON - radius).is_empty for area in areas):
            continue
        fitting = fitting or tool
        tight = any(_too_tight(path, radius, "inside") for path in paths)
        if not tight and not _leaves(radius, (piece for area in areas for piece in unreachable(area, radius))):
            return tool
    return fitting


def largest_outside(path: Path, depth: float, tools: Iterable[Tool]) -> Tool | None:
    """Return the largest end mill that follows a closed line outside `depth` mm deep, else the smallest so long."""
    from kitforge.geometry.region import offset

    last = None
    for tool in tools:
        if tool.reach < depth:
            continue
        last = tool
        area = path.to_polygon().buffer(0)
        rest = offset(offset(area, tool.radius), -tool.radius).difference(area)
        if not _too_tight(path, tool.radius, "outside") and not _leaves(tool.radius, get_parts(rest)):
            return tool
    return last


def _areas(paths: Sequence[Path]) -> list[Polygon]:
    """Return what closed lines enclose; lines that cross are a finding of the check, here their union does."""
    from kitforge.geometry.region import polygons

    try:
        return polygons(paths)
    except ValueError:
        areas = get_parts(union_all([path.to_polygon().buffer(0) for path in paths]))
        return [area for area in areas if not area.is_empty]


def _too_tight(path: Path, radius: float, side: Side) -> bool:
    """Return whether a rounded inside corner is tighter than the cutter; sharp ones are left to every cutter."""
    return any(not corner.sharp and corner.radius < radius - _SLACK for corner in inside_corners(path, side))


def _leaves(radius: float, pieces: Iterable[BaseGeometry]) -> bool:
    return any(piece.area > _CORNER_SHARE * radius**2 for piece in pieces)
