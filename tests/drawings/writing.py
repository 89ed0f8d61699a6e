"""Writes small DXF and SVG files tag by tag, so that a test can write what a well-behaved library would not."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import pairwise

Point = tuple[float, float]
Tags = list[tuple[int, object]]


def line(a: Point, b: Point, layer: str = "0") -> Tags:
    """Return a LINE."""
    return [(0, "LINE"), (8, layer), (10, a[0]), (20, a[1]), (11, b[0]), (21, b[1])]


def lines(points: Sequence[Point], layer: str = "0", *, closed: bool = True) -> list[Tags]:
    """Return the sides of a polygon as loose LINEs."""
    ring = [*points, points[0]] if closed else list(points)
    return [line(a, b, layer) for a, b in pairwise(ring)]


def poly(
    points: Sequence[Point],
    layer: str = "0",
    *,
    closed: bool = True,
    bulges: Sequence[float] = (),
    more: Iterable[tuple[int, object]] = (),
) -> Tags:
    """Return a LWPOLYLINE."""
    tags: Tags = [(0, "LWPOLYLINE"), (8, layer), (90, len(points)), (70, int(closed)), *more]
    for index, (x, y) in enumerate(points):
        tags += [(10, x), (20, y)]
        if index < len(bulges) and bulges[index]:
            tags.append((42, bulges[index]))
    return tags


def circle(centre: Point, radius: float, layer: str = "0") -> Tags:
    """Return a CIRCLE."""
    return [(0, "CIRCLE"), (8, layer), (10, centre[0]), (20, centre[1]), (40, radius)]


def arc(centre: Point, radius: float, start: float, end: float, layer: str = "0") -> Tags:
    """Return an ARC, angles in degrees."""
    tags = circle(centre, radius, layer)
    return [(0, "ARC"), *tags[1:], (50, start), (51, end)]


def text(at: Point, said: str, layer: str = "0", height: float = 4.0) -> Tags:
    """Return a TEXT."""
    return [(0, "TEXT"), (8, layer), (10, at[0]), (20, at[1]), (40, height), (1, said)]


def insert(name: str, at: Point, layer: str = "0", *more: tuple[int, object]) -> Tags:
    """Return an INSERT of a block."""
    return [(0, "INSERT"), (8, layer), (2, name), (10, at[0]), (20, at[1]), *more]


def block(name: str, *entities: Tags) -> list[Tags]:
    """Return a BLOCK with its entities."""
    head: Tags = [(0, "BLOCK"), (8, "0"), (2, name), (70, 0), (10, 0.0), (20, 0.0), (3, name)]
    return [head, *entities, [(0, "ENDBLK"), (8, "0")]]


def layer_entry(name: str, flags: int = 0, colour: int = 7, *more: tuple[int, object]) -> Tags:
    """Return an entry of the table of layers: flag 1 is frozen, a colour below 0 is off."""
    return [(0, "LAYER"), (2, name), (70, flags), (62, colour), (6, "CONTINUOUS"), *more]


def dxf(
    *entities: Tags | list[Tags],
    units: int | None = 4,
    layers: Sequence[Tags] = (),
    blocks: Sequence[list[Tags]] = (),
    version: str | None = "AC1015",
    handles: bool = False,
) -> bytes:
    """Return a DXF file. units: value of $INSUNITS, None for a header without it."""
    header: Tags = [(9, "$ACADVER"), (1, version)] if version else []
    header += [(9, "$INSUNITS"), (70, units)] if units is not None else []
    tags: Tags = [(0, "SECTION"), (2, "HEADER"), *header, (0, "ENDSEC")] if header else []
    if layers:
        table: Tags = [(0, "TABLE"), (2, "LAYER"), (70, len(layers)), *flat(layers), (0, "ENDTAB")]
        tags += [(0, "SECTION"), (2, "TABLES"), *table, (0, "ENDSEC")]
    if blocks:
        tags += [(0, "SECTION"), (2, "BLOCKS"), *(tag for one in blocks for tag in flat(one)), (0, "ENDSEC")]
    drawn = [one for entity in entities for one in ([entity] if entity and isinstance(entity[0], tuple) else entity)]
    if handles:
        drawn = [[one[0], (5, f"{0x100 + number:X}"), *one[1:]] for number, one in enumerate(drawn)]  # type: ignore[list-item]
    tags += [(0, "SECTION"), (2, "ENTITIES"), *flat(drawn), (0, "ENDSEC"), (0, "EOF")]  # type: ignore[arg-type]
    return written(tags)


def flat(records: Iterable[Tags]) -> Tags:
    """Return the tags of several records one after the other."""
    return [tag for record in records for tag in record]


def written(tags: Iterable[tuple[int, object]]) -> bytes:
    """Return tags as the text of a DXF file."""
    return "".join(f"{code:>3}\n{value}\n" for code, value in tags).encode("utf-8", "surrogateescape")


def box(width: float, height: float, x: float = 0.0, y: float = 0.0) -> list[Point]:
    """Return the corners of a rectangle, counter-clockwise from its lower left one."""
    return [(x, y), (x + width, y), (x + width, y + height), (x, y + height)]


def ring(centre: Point, radius: float, sides: int, turn: float = 0.0) -> list[Point]:
    """Return the corners of a regular polygon whose corners lie on a circle."""
    steps = (2 * math.pi * (k + turn) / sides for k in range(sides))
    return [(round(centre[0] + radius * math.cos(a), 6), round(centre[1] + radius * math.sin(a), 6)) for a in steps]


def svg(body: str, size: tuple[float, float] = (220, 140), head: str | None = None) -> bytes:
    """Return an SVG file in mm with the body, or with other attributes of the root."""
    wide, tall = size
    head = head if head is not None else f'width="{wide}mm" height="{tall}mm" viewBox="0 0 {wide} {tall}"'
    space = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
    return f'<svg {space} {head}><g fill="none" stroke="#000">{body}</g></svg>\n'.encode()


def path_of(points: Sequence[Point], *, closed: bool = True) -> str:
    """Return the path data of a polygon."""
    return "M" + " L".join(f"{x:g},{y:g}" for x, y in points) + ("Z" if closed else "")
