"""Kits around dense drawings, by kind: outlines of many points, teeth, holes, pockets, loose lines. All invented."""

from __future__ import annotations

import math
import pathlib
from collections.abc import Callable

from writing import Point, Tags, box, circle, dxf, line, path_of, poly, ring, svg

WIDE, TALL = 440.0, 260.0
_KIT = """\
kitforge: 1
units: mm
kit: {{title: Dense, slug: dense, version: 1.0.0, author: Test, licence: CC-BY-4.0, summary: Invented.}}
stock: {{board: {{material: birch_plywood, thickness: 12 mm, length: 520 mm, width: 340 mm}}}}
cutters:
  mill: {{kind: up-cut, diameter: {mill}, cutting_length: 20 mm, shank: 6 mm, overall_length: 50 mm, flutes: 2}}
  bit: {{kind: drill, diameter: 3 mm, cutting_length: 30 mm, shank: 3 mm, overall_length: 60 mm, angle: 118}}
hold_down: [double_sided_tape]
parts:
  dense:
    stock: board
    drawing: {drawing}
    outline: {{layer: EDGE}}
    operations:
{work}      - {{name: free, do: profile, cutter: mill, hold: {{tabs: {{count: 6, width: 8 mm, height: 2 mm}}}}}}
"""
_POCKET = "      - {name: hollow, do: pocket, cutter: mill, shapes: [{layer: WORK}], depth: 4 mm}\n"
_DRILL = "      - {name: holes, do: drill, cutter: bit, shapes: [{layer: WORK}], depth: through}\n"
_GROOVE = "      - {name: lines, do: groove, cutter: mill, shapes: [{layer: WORK}], depth: 2 mm}\n"

Written = tuple[str, bytes, str, str]


def toothed(count: int, depth: float) -> list[Point]:
    """Return a round outline of so many points whose edge goes in and out by `depth` mm at every one."""
    spots = ((125 + depth * (k % 2), 2 * math.pi * k / count) for k in range(count))
    return [(round(220 + r * math.cos(a), 4), round(130 + r * math.sin(a), 4)) for r, a in spots]


def comb(count: int, depth: float) -> list[Point]:
    """Return a rectangle whose long upper edge is a comb of so many points."""
    teeth = [(WIDE - WIDE * k / count, 200 + depth * (k % 2)) for k in range(count)]
    return [(0, 0), (WIDE, 0), *((round(x, 4), y) for x, y in teeth)]


def wavy(count: int) -> list[Point]:
    """Return a smooth outline of many points."""
    spots = ((110 + 12 * math.sin(9 * a), a) for a in (2 * math.pi * k / count for k in range(count)))
    return [(round(220 + r * math.cos(a), 5), round(130 + r * math.sin(a), 5)) for r, a in spots]


def _grid(count: int, gap: float) -> list[Point]:
    columns = int((WIDE - 30) / gap)
    return [(15 + gap * (k % columns), 15 + gap * (k // columns)) for k in range(count)]


def _loose(count: int) -> Written:
    side = 6.0
    squares = _grid(count // 4, 8.0)
    edges = [
        line(*pair, "WORK")
        for x, y in squares
        for pair in zip(box(side, side, x, y), [*box(side, side, x, y)[1:], (x, y)], strict=True)
    ]
    return "a.dxf", dxf(poly(box(WIDE, TALL), "EDGE"), edges), _POCKET, "3 mm"


def _work(entities: list[Tags], work: str, mill: str = "3 mm") -> Written:
    return "a.dxf", dxf(poly(box(WIDE, TALL), "EDGE"), entities), work, mill


def _pockets(count: int) -> Written:
    return _work([poly(ring(at, 4.5, 24, 0.3), "WORK") for at in _grid(count, 10.0)], _POCKET)


KINDS: dict[str, Callable[[], Written]] = {
    "smooth outline, 10 000 points, DXF": lambda: ("a.dxf", dxf(poly(wavy(10_000), "EDGE")), "", "6 mm"),
    "smooth outline, 100 000 points, SVG": lambda: (
        "a.svg", svg(f'<path id="EDGE" d="{path_of(wavy(100_000))}"/>', (WIDE, TALL)), "", "6 mm"),
    "toothed outline, 10 000 points, 1.5 mm deep": lambda: (
        "a.dxf", dxf(poly(toothed(10_000, 1.5), "EDGE")), "", "6 mm"),
    "toothed outline, 10 000 points, 10 mm deep": lambda: ("a.dxf", dxf(poly(toothed(10_000, 10), "EDGE")), "", "3 mm"),
    "comb, 10 000 points, 20 mm deep": lambda: ("a.dxf", dxf(poly(comb(10_000, 20), "EDGE")), "", "6 mm"),
    "toothed outline, 60 000 points": lambda: ("a.dxf", dxf(poly(toothed(60_000, 1.0), "EDGE")), "", "6 mm"),
    "toothed pocket, 10 000 points": lambda: _work([poly(toothed(10_000, 3), "WORK")], _POCKET),
    "toothed groove, 10 000 points": lambda: _work([poly(toothed(10_000, 3), "WORK", closed=False)], _GROOVE),
    "1000 pockets of 24 points": lambda: _pockets(1000),
    "250 pockets of 24 points": lambda: _pockets(250),
    "3000 drilled holes": lambda: _work([circle(at, 1.5, "WORK") for at in _grid(3000, 5.0)], _DRILL),
    "450 grooves": lambda: _work([line(at, (at[0] + 6, at[1] + 3), "WORK") for at in _grid(450, 12.0)], _GROOVE),
    "4000 loose lines": lambda: _loose(4000),
}  # fmt: skip
"""For each kind the drawing's name and bytes, the work inside the outline, and the cutter's diameter."""

IN_EVERY_TEST = {"250 pockets of 24 points": 1 / 4}
"""The kinds that are tried every time, and which part of the bound they may take; the others take their turn in the
longer run."""


def write_kit(kind: str, folder: pathlib.Path) -> None:
    """Write the kit of a kind into a folder."""
    name, data, work, mill = KINDS[kind]()
    folder.mkdir(parents=True, exist_ok=True)
    (folder / name).write_bytes(data)
    (folder / "kit.yaml").write_text(_KIT.format(drawing=name, work=work, mill=mill))
