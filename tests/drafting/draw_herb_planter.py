"""Draws kits/herb-planter/planter.dxf, in inches, with what drawing programs write: arcs, splines, blocks with copies.

Run `python tests/drafting/draw_herb_planter.py` to draw it anew. All sizes are invented.
"""

from __future__ import annotations

import io
import pathlib

import ezdxf
from ezdxf.document import Drawing
from ezdxf.layouts import BaseLayout, Modelspace

FILE = pathlib.Path(__file__).parents[2] / "kits" / "herb-planter" / "planter.dxf"
INCHES = 1
LONG, DEEP, ROUND = 15.0, 5.0, 0.5
PLY = 0.472  # 12 mm
PLAY = 0.008
POTS = (2.5, 7.5, 12.5)
MORTISES = (5.0, 10.0)
TENONS = (1.1, 3.3)
LEG = 4.4
LEG_AT = 20.0
HEIGHT = 4.5
TENON_AT = 0.3  # from the tray's back edge to the leg's


def herb_planter_dxf() -> bytes:
    """Return the drawing, the same bytes every time."""
    options = ezdxf.options
    before, options.write_fixed_meta_data_for_testing = options.write_fixed_meta_data_for_testing, True
    try:
        stream = io.StringIO(newline="\r\n")
        _drawing().write(stream)
    finally:
        options.write_fixed_meta_data_for_testing = before
    return stream.getvalue().encode("ascii")


def _drawing() -> Drawing:
    document = ezdxf.new("R2010", units=INCHES)
    document.header["$MEASUREMENT"] = 0
    for number, name in enumerate(("TRAY", "POTS", "MORTISES", "LEG", "LEAF"), 1):
        document.layers.add(name, color=number)
    space = document.modelspace()
    _tray(space)
    _pots(document)
    _mortises(document)
    _leg(space)
    _leaf(space)
    return document


def _tray(space: Modelspace) -> None:
    """The outline: straight back and sides, round corners, and a front edge that waves."""
    edge = {"layer": "TRAY"}
    space.add_line((LONG, ROUND), (LONG, DEEP - ROUND), dxfattribs=edge)
    space.add_arc((LONG - ROUND, DEEP - ROUND), ROUND, 0, 90, dxfattribs=edge)
    space.add_line((LONG - ROUND, DEEP), (ROUND, DEEP), dxfattribs=edge)
    space.add_arc((ROUND, DEEP - ROUND), ROUND, 90, 180, dxfattribs=edge)
    space.add_line((0, DEEP - ROUND), (0, ROUND), dxfattribs=edge)
    space.add_arc((ROUND, ROUND), ROUND, 180, 270, dxfattribs=edge)
    wave = [(ROUND, 0), (2, 0), (3, 0.35), (5, 0.35), (7.5, -0.2), (10, 0.35), (12, 0.35), (13, 0), (LONG - ROUND, 0)]
    space.add_open_spline(wave, degree=3, dxfattribs=edge)
    space.add_arc((LONG - ROUND, ROUND), ROUND, 270, 360, dxfattribs=edge)


def _pots(document: Drawing) -> None:
    """Three openings: one block that holds a unit circle, scaled where it is used."""
    block = document.blocks.new("POT")
    block.add_circle((0, 0), 1.0, dxfattribs={"layer": "0"})
    for x in POTS:
        document.modelspace().add_blockref("POT", (x, 2.6), dxfattribs={"layer": "POTS", "xscale": 1.6, "yscale": 1.6})


def _mortises(document: Drawing) -> None:
    """Four mortises: a block drawn lying down, turned, and repeated in a row and column."""
    block = document.blocks.new("MORTISE")
    half = (1.0 + PLAY) / 2, (PLY + PLAY) / 2
    _box(block, -half[0], -half[1], half[0], half[1])
    attributes = {"layer": "MORTISES", "rotation": 90, "column_count": 2, "row_count": 2}
    attributes |= {"column_spacing": TENONS[1] - TENONS[0], "row_spacing": -(MORTISES[1] - MORTISES[0])}
    document.modelspace().add_blockref("MORTISE", (MORTISES[0], TENON_AT + TENONS[0]), dxfattribs=attributes)


def _box(block: BaseLayout, left: float, bottom: float, right: float, top: float) -> None:
    corners = [(left, bottom), (right, bottom), (right, top), (left, top)]
    block.add_lwpolyline(corners, close=True, dxfattribs={"layer": "0"})


def _leg(space: Modelspace) -> None:
    """A leg with two tenons and a round arch between its feet, one polyline with a bulge."""
    left, right, top = LEG_AT, LEG_AT + LEG, HEIGHT + PLY
    rows: list[tuple[float, float, float]] = [(left, 0, 0), (left + 1, 0, -0.5), (right - 1, 0, 0), (right, 0, 0)]
    rows.append((right, HEIGHT, 0))
    for middle in reversed(TENONS):
        x = left + middle
        rows += [(x + 0.5, HEIGHT, 0), (x + 0.5, top, 0), (x - 0.5, top, 0), (x - 0.5, HEIGHT, 0)]
    rows.append((left, HEIGHT, 0))
    space.add_lwpolyline(rows, format="xyb", close=True, dxfattribs={"layer": "LEG"})


def _leaf(space: Modelspace) -> None:
    """A leaf to engrave on the leg: two splines and a vein."""
    x, leaf = LEG_AT + LEG / 2, {"layer": "LEAF"}
    for side in (-1, 1):
        points = [(x, 1.7), (x + side * 0.9, 2.1), (x + side * 0.7, 3.0), (x, 3.8)]
        space.add_open_spline(points, degree=3, dxfattribs=leaf)
    space.add_line((x, 1.3), (x, 3.3), dxfattribs=leaf)


if __name__ == "__main__":
    FILE.write_bytes(herb_planter_dxf())
