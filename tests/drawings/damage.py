"""Random good drawings, and one random damage to each: a moved layer, a gap, a double, a lost line, a wrong unit.

A drawing is a list of primitives that can be written as DXF or SVG. All sizes are invented.
"""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from dataclasses import dataclass, replace

from writing import Point, arc, box, circle, dxf, line, poly, svg

FACTORS = {4: 1.0, 1: 25.4, 5: 10.0, 6: 1000.0}
"""Values of the DXF variable $INSUNITS and the mm that each stands for."""


@dataclass(frozen=True)
class Drawn:
    """A line, an arc (centre, radius, degrees), a circle or a closed polyline on a layer."""

    kind: str
    layer: str
    points: tuple[Point, ...]
    radius: float = 0.0
    start: float = 0.0
    end: float = 0.0


@dataclass(frozen=True)
class Good:
    """A drawing: what is drawn, in which unit, and how it is written."""

    drawn: tuple[Drawn, ...]
    unit: int = 4
    scale: float = 1.0
    form: str = "dxf"

    def written(self) -> bytes:
        """The file. scale: what every coordinate is multiplied with, where the unit is told wrongly."""
        return _dxf(self) if self.form == "dxf" else _svg(self)


def _times(points: Sequence[Point], factor: float) -> list[Point]:
    return [(round(x * factor, 6), round(y * factor, 6)) for x, y in points]


def _dxf(good: Good) -> bytes:
    tags = []
    for one in good.drawn:
        points, radius = _times(one.points, good.scale), one.radius * good.scale
        if one.kind == "line":
            tags.append(line(points[0], points[1], one.layer))
        elif one.kind == "arc":
            tags.append(arc(points[0], radius, one.start, one.end, one.layer))
        elif one.kind == "circle":
            tags.append(circle(points[0], radius, one.layer))
        else:
            tags.append(poly(points, one.layer))
    return dxf(tags, units=good.unit)


def _svg(good: Good) -> bytes:
    """Write groups one after the other, as they come; an SVG's unit is that of its width and height."""
    body, group = [], None
    for one in good.drawn:
        if one.layer != group:
            body.append(f'{"</g>" if group is not None else ""}<g id="{one.layer}">')
            group = one.layer
        body.append(_element(one))
    factor = FACTORS[good.unit] * good.scale
    return svg(
        "\n".join([*body, "</g>"]), head=f'width="{900 * factor}mm" height="{700 * factor}mm" viewBox="0 0 900 700"'
    )


def _element(one: Drawn) -> str:
    (x, y), *rest = one.points
    if one.kind == "circle":
        return f'<circle cx="{x}" cy="{y}" r="{one.radius}"/>'
    if one.kind == "line":
        return f'<path d="M{x} {y} L{rest[0][0]} {rest[0][1]}"/>'
    if one.kind == "arc":
        a, b = ends_of(one)
        return f'<path d="M{a[0]} {a[1]} A{one.radius} {one.radius} 0 0 1 {b[0]} {b[1]}"/>'
    return f'<path d="M{x} {y} {" ".join(f"L{u} {v}" for u, v in rest)} Z"/>'


def ends_of(one: Drawn) -> tuple[Point, Point]:
    """Return the two ends of a line or an arc."""
    if one.kind == "line":
        return one.points[0], one.points[1]
    (x, y), turns = one.points[0], [math.radians(angle) for angle in (one.start, one.end)]
    a, b = ((x + one.radius * math.cos(t), y + one.radius * math.sin(t)) for t in turns)
    return a, b


def good_drawing(chance: random.Random) -> Good:
    """Return a random sound drawing of one to three parts."""
    form = chance.choice(("dxf", "dxf", "svg"))
    layers = chance.random() < 0.7
    copies = chance.choice((1, 1, 1, 2, 3))
    wide, tall = chance.randrange(70, 240, 5), chance.randrange(60, 200, 5)
    part = _part(chance, wide, tall, layers=layers)
    drawn = [_moved(one, k * (wide + 20)) for k in range(copies) for one in part]
    if form == "svg":
        drawn.sort(key=lambda one: one.layer)
    return Good(tuple(drawn), form=form)


def _part(chance: random.Random, wide: float, tall: float, *, layers: bool) -> list[Drawn]:
    def on(layer: str) -> str:
        return layer if layers else "ALL"

    drawn = _edge(chance, wide, tall, on("EDGE"))
    cells = [(x, y) for x in range(15, int(wide) - 14, 25) for y in range(15, int(tall) - 14, 25)]
    chance.shuffle(cells)
    radius = chance.choice((1.5, 2.0, 2.5, 4.0))
    for x, y in cells[: chance.randrange(1, 6)]:
        drawn.append(Drawn("circle", on("HOLES"), ((x, y),), radius))
    for x, y in cells[6 : 6 + chance.randrange(3)]:
        drawn += _sides(box(14, 12, x - 7, y - 6), on("POCKETS"), loose=chance.random() < 0.5)
    for x, y in cells[9 : 9 + chance.randrange(3)]:
        drawn.append(Drawn("line", on("MARKS"), ((x - 6, y - 5), (x + 6, y + 5))))
    return drawn


def _edge(chance: random.Random, wide: float, tall: float, layer: str) -> list[Drawn]:
    if chance.random() < 0.6:
        return _sides(box(wide, tall), layer, loose=chance.random() < 0.6)
    r = chance.choice((4.0, 6.0, 10.0))
    middles = [(r, r, 180.0), (wide - r, r, 270.0), (wide - r, tall - r, 0.0), (r, tall - r, 90.0)]
    arcs = [Drawn("arc", layer, ((x, y),), r, start, start + 90) for x, y, start in middles]
    lines = [
        Drawn("line", layer, pair)
        for pair in (
            ((r, 0.0), (wide - r, 0.0)),
            ((wide, r), (wide, tall - r)),
            ((wide - r, tall), (r, tall)),
            ((0.0, tall - r), (0.0, r)),
        )
    ]
    drawn = [*arcs, *lines]
    chance.shuffle(drawn)
    return drawn


def _sides(corners: Sequence[Point], layer: str, *, loose: bool) -> list[Drawn]:
    if not loose:
        return [Drawn("poly", layer, tuple(corners))]
    return [Drawn("line", layer, pair) for pair in zip(corners, [*corners[1:], corners[0]], strict=True)]


def _moved(one: Drawn, by: float) -> Drawn:
    return replace(one, points=tuple((x + by, y) for x, y in one.points))


KINDS = ("moved layer", "gap", "double", "lost line", "scaled unit")


def damaged(good: Good, kind: str, chance: random.Random) -> Good | None:
    """Return the drawing with one damage of a kind, None where it has nothing that could be damaged so."""
    drawn = list(good.drawn)
    index = chance.randrange(len(drawn))
    if kind == "scaled unit":
        return _scaled(good, chance)
    if kind == "gap":
        open_ones = [k for k, one in enumerate(drawn) if one.kind in ("line", "arc") and one.layer != "MARKS"]
        edges = [k for k in open_ones if _touches(drawn, k)]
        if not edges:
            return None
        index = chance.choice(edges)
        drawn[index] = _shortened(drawn[index], chance)
    elif kind == "moved layer":
        others = [*sorted({one.layer for one in drawn} - {drawn[index].layer}), "NEW"]
        drawn[index] = replace(drawn[index], layer=chance.choice(others))
    elif kind == "double":
        copy = drawn[index]
        if copy.kind == "line" and chance.random() < 0.5:
            copy = replace(copy, points=copy.points[::-1])
        drawn.insert(chance.randrange(len(drawn) + 1), copy)
    else:
        del drawn[index]
    return replace(good, drawn=tuple(drawn))


def _touches(drawn: Sequence[Drawn], index: int) -> bool:
    """Return whether the end of a line is the end of another one."""
    end = ends_of(drawn[index])[1]
    others = (one for k, one in enumerate(drawn) if k != index and one.kind in ("line", "arc"))
    return any(math.dist(end, spot) < 1e-6 for one in others for spot in ends_of(one))


def _shortened(one: Drawn, chance: random.Random) -> Drawn:
    """Return a line or arc whose second end lies 0.03 to 5 mm before its place."""
    gap = 0.03 * (5 / 0.03) ** chance.random()
    if one.kind == "arc":
        return replace(one, end=one.end - math.degrees(gap / one.radius))
    a, b = one.points
    share = min(0.9, gap / math.dist(a, b))
    return replace(one, points=(a, (b[0] + (a[0] - b[0]) * share, b[1] + (a[1] - b[1]) * share)))


def _scaled(good: Good, chance: random.Random) -> Good:
    """Return the drawing with another unit in its head, or with all its numbers in another unit."""
    if good.form == "dxf" and chance.random() < 0.5:
        return replace(good, unit=chance.choice((1, 5, 6)))
    return replace(good, scale=chance.choice((25.4, 1 / 25.4, 10.0, 0.1, 72 / 96, 96 / 72)))
