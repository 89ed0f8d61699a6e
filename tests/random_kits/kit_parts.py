"""The parts of a random kit: an outline, features in its cells, and the cut that frees it. Invented data."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kit_cutters import Rack
from kit_draw import Lots, at, mm
from kit_features import FEATURES, Cell, skin, tabs

Entry = dict[str, object]
OUTLINES = ("rectangle", "rounded", "circle", "hexagon", "slot", "arched", "notched")
FREED = ("computed tabs", "tabs", "skin", "counted tabs", "placed tabs", "two passes")
_CELL = 23.0  # half the side of a cell, mm
_EDGE = 12.0  # from the cells to the outline, mm


@dataclass(frozen=True)
class DrawnPart:
    """A part as written, and the box of its outline: left, bottom, right, top, mm."""

    entry: Entry
    box: tuple[float, float, float, float]


def drawn_part(lots: Lots, rack: Rack, stock: str, thick: float, features: Sequence[str]) -> DrawnPart:
    """Return a part with the named features in it; its outline, what frees it and the rest are drawn by lot."""
    columns = min(2, len(features))
    rows = max(1, -(-len(features) // columns)) if columns else 1
    width, height = 2 * _CELL * max(columns, 1) + 2 * _EDGE, 2 * _CELL * rows + 2 * _EDGE
    outline, box = _outline(lots, lots.turn(OUTLINES), width, height)
    operations: list[Entry] = []
    for index, feature in enumerate(features):
        x = (index % max(columns, 1) - (columns - 1) / 2) * 2 * _CELL if columns else 0.0
        y = (index // max(columns, 1) - (rows - 1) / 2) * 2 * _CELL
        name = f"{feature.replace(' ', '-')}-{index + 1}"
        operations += FEATURES[feature](Cell(lots, rack, name, x, y, _CELL - 3, thick))
    if lots.chance(0.2):
        key, _angle = rack.vee()
        operations.append({"name": "edge", "do": "chamfer", "cutter": key, "width": "1 mm"})
    if lots.number % 11 == 4:  # a saw cut across the whole part: one part becomes two pieces
        key, _diameter = rack.mill(thick)
        cut: Entry = {"polyline": {"points": [at(box[0] - 5, box[1] + 5), at(box[2] + 5, box[1] + 5)]}}
        operations.append({"name": "across", "do": "profile", "cutter": key, "side": "on", "shapes": [cut]})
    elif lots.number % 13 == 9:  # a cut along the whole of one side, a little way in: the part comes out narrower
        key, _diameter = rack.mill(thick)
        side: Entry = {"polyline": {"points": [at(box[0] - 9, box[1] + 1), at(box[2] + 9, box[1] + 1)]}}
        operations.append({"name": "trim", "do": "profile", "cutter": key, "side": "on", "shapes": [side]})
    operations.append(_freeing(lots, rack, thick, box))
    return DrawnPart({"stock": stock, "outline": outline, "operations": operations}, box)


def _freeing(lots: Lots, rack: Rack, thick: float, box: tuple[float, float, float, float]) -> Entry:
    key, _diameter = rack.mill(thick, 8.0)
    found: Entry = {"name": "outline", "do": "profile", "cutter": key}
    how = lots.turn(FREED)
    cell = Cell(lots, rack, "outline", 0, 0, 20, thick)
    if how == "tabs":
        found["hold"] = tabs(cell)
    elif how == "skin":
        found["hold"] = skin(cell)
    elif how == "counted tabs":
        found["hold"] = {"tabs": {**tabs(cell)["tabs"], "count": lots.whole(2, 8)}}  # type: ignore[dict-item]
    elif how == "placed tabs":
        places = [at(0, box[1]), at(0, box[3])]
        found["hold"] = {"tabs": {**tabs(cell)["tabs"], "at": places}}  # type: ignore[dict-item]
    elif how == "two passes":
        found["roughing"] = {"leave_walls": "0.5 mm"}
    return found


def _outline(lots: Lots, kind: str, width: float, height: float) -> tuple[Entry, tuple[float, float, float, float]]:
    """Return an outline about (0, 0) that leaves a field of width x height free, and its box."""
    half_x, half_y = width / 2, height / 2
    box = (-half_x, -half_y, half_x, half_y)
    if kind == "circle":
        radius = round((half_x**2 + half_y**2) ** 0.5, 1)
        return {"circle": {"centre": at(0, 0), "diameter": mm(2 * radius)}}, (-radius, -radius, radius, radius)
    if kind == "hexagon":
        flat = round((half_x**2 + half_y**2) ** 0.5, 1)
        reach = flat / 0.8660
        shape: Entry = {"polygon": {"centre": at(0, 0), "sides": 6, "across_flats": mm(2 * flat)}}
        return shape, (-reach, -reach, reach, reach)
    if kind == "slot":
        start, end = at(-half_x, 0), at(half_x, 0)
        shape = {"slot": {"start": start, "end": end, "width": mm(height)}}
        return shape, (-half_x - half_y, -half_y, half_x + half_y, half_y)
    if kind == "arched":
        rise = lots.size(8, 20, 1)
        points: list[object] = [at(-half_x, -half_y), at(half_x, -half_y), at(half_x, half_y)]
        points.append({"to": at(-half_x, half_y), "through": at(0, half_y + rise)})
        return {"polyline": {"closed": True, "points": points}}, (-half_x, -half_y, half_x, half_y + rise)
    if kind == "notched":
        deep, wide = 9.0, lots.size(10, 16, 1)
        points = [at(-half_x, -half_y), at(half_x, -half_y), at(half_x, -wide / 2), at(half_x - deep, -wide / 2)]
        points += [at(half_x - deep, wide / 2), at(half_x, wide / 2), at(half_x, half_y), at(-half_x, half_y)]
        return {"polyline": {"closed": True, "points": points}}, box
    radius = {"corner_radius": mm(lots.size(3, 10, 1))} if kind == "rounded" else {}
    return {"rectangle": {"centre": at(0, 0), "size": at(width, height), **radius}}, box
