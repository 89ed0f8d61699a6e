"""DXF and SVG that are written: read back the same, alike by other readers, and the same bytes each time."""

import io
import math
import os
import re
import subprocess
import sys
from pathlib import Path as FilePath
from typing import Any
from xml.etree import ElementTree

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from kitforge.drawings.dxf_read import read_dxf
from kitforge.drawings.svg_read import read_svg
from kitforge.drawings.write import dxf_bytes, group_ids, layer_names, svg_bytes, svg_path_data
from kitforge.geometry import shapes as draw
from kitforge.geometry.transform import rotated
from kitforge.model.path import Path, Vertex, is_circle
from kitforge.model.piece import Bounds

LAYERS = {
    "Outline": [rotated(draw.rectangle((120, 80), at=(10, 10), corner_radius=6.35), 7)],
    "pocket 3 mm": [draw.slot((30, 40), (60, 45), 12.7), draw.circle((90, 50), 20)],
    "groove": [draw.arc((60, 50), 25, 20, 330), draw.polyline([(20, 20), (50, 30), (70, 22)])],
}
POINTS = {"holes": [(15.0, 15.0), (100.0, 70.0)]}
PAGE = Bounds(0, 0, 200, 150)


def assert_same(one: Path, other: Path) -> None:
    assert one.closed == other.closed
    assert one.area == pytest.approx(other.area, abs=1e-6 * one.length)
    assert one.length == pytest.approx(other.length, abs=1e-6)
    assert tuple(one.bounds) == pytest.approx(tuple(other.bounds), abs=1e-6)
    assert one.start == pytest.approx(other.start, abs=1e-6)
    for share in (0.1, 0.37, 0.8):
        here, there = one.point_at(share * one.length), other.point_at(share * other.length)
        assert here[:2] == pytest.approx(there[:2], abs=1e-6)


def test_dxf_comes_back_the_same_with_its_arcs() -> None:
    drawing = read_dxf(dxf_bytes(LAYERS, points=POINTS))
    assert (drawing.unit, drawing.problems) == ("mm", ())
    names = layer_names([*LAYERS, *POINTS])
    for name, paths in LAYERS.items():
        shapes = drawing.layers[names[name]]
        for path, back in zip(paths, shapes.closed + shapes.open, strict=True):
            assert_same(back, path)
            assert [p.is_arc for p in back.pieces()] == [p.is_arc for p in path.pieces()]
    assert drawing.layers["HOLES"].points == tuple(POINTS["holes"])


def test_svg_comes_back_the_same_with_its_arcs() -> None:
    drawing = read_svg(svg_bytes(LAYERS, points=POINTS, page=PAGE, title="a & b"))
    assert (drawing.unit, drawing.problems) == ("mm", ())
    ids = group_ids([*LAYERS, *POINTS])
    for name, paths in LAYERS.items():
        shapes = drawing.layers[ids[name]]
        for path, back in zip(paths, shapes.closed + shapes.open, strict=True):
            assert_same(back if back.area * path.area >= 0 else back.reversed(), path)
            radii = {round(p.radius, 6) for p in path.pieces() if p.is_arc}
            assert {round(p.radius, 6) for p in back.pieces() if p.is_arc} == radii
    assert drawing.layers["holes"].points == tuple(POINTS["holes"])


@st.composite
def random_paths(draw_: st.DrawFn) -> Path:
    number = st.floats(-300, 300)
    rows = draw_(st.lists(st.tuples(number, number, st.floats(-1.5, 1.5)), min_size=3, max_size=7))
    path = Path(tuple(Vertex(*row) for row in rows), draw_(st.booleans()))
    assume(all(piece.chord > 1 for piece in path.pieces()))
    assume(math.hypot(path.vertices[0].x - path.vertices[-1].x, path.vertices[0].y - path.vertices[-1].y) > 1)
    return path


@given(random_paths())
def test_any_path_survives_both_formats(path: Path) -> None:
    from_svg = read_svg(svg_bytes({"a": [path]}, page=Bounds(0, 0, 300, 300)), check=False)
    (back,) = from_svg.whole.closed + from_svg.whole.open
    assert_same(back, path)
    from_dxf = read_dxf(dxf_bytes({"a": [path]}), check=False)
    (back,) = from_dxf.whole.closed + from_dxf.whole.open
    assert_same(back, path)


@pytest.mark.parametrize("bulge", [1e-12, 1e-9, 1e-6, 1e-4])
@pytest.mark.parametrize("chord", [1, 300, 3000])
def test_nearly_straight_arcs_survive_svg(bulge: float, chord: float) -> None:
    path = Path((Vertex(0, 2, bulge), Vertex(chord, 0)), closed=False)
    (back,) = read_svg(svg_bytes({"a": [path]}, page=PAGE), check=False).whole.open
    assert back.point_at(chord / 2)[:2] == pytest.approx(path.point_at(chord / 2)[:2], abs=1e-6)
    assert back.end == pytest.approx(path.end, abs=1e-6)


def test_dxf_is_plain_r2000_in_mm() -> None:
    import ezdxf

    data = dxf_bytes(LAYERS, points=POINTS)
    data.decode("ascii")
    document = ezdxf.read(io.StringIO(data.decode().replace("\r\n", "\n")))
    auditor = document.audit()
    assert (document.dxfversion, document.units) == ("AC1015", 4)
    assert (auditor.errors, auditor.fixes) == ([], [])
    kinds = sorted(entity.dxftype() for entity in document.modelspace())
    assert kinds == ["CIRCLE"] + ["LWPOLYLINE"] * 4 + ["POINT"] * 2
    assert all(entity.dxf.color == 256 for entity in document.modelspace())
    assert len({document.layers.get(n).dxf.color for n in ("OUTLINE", "POCKET_3_MM", "GROOVE", "HOLES")}) == 4
    every: Any = document.modelspace().query("LWPOLYLINE")
    closed = [entity for entity in every if entity.closed]
    assert all(tuple(entity[0]) != tuple(entity[-1]) for entity in closed)


def test_other_program_reads_the_same_shapes(tmp_path: FilePath) -> None:
    """GDAL's DXF driver: same number of shapes, boxes and lengths as ours (it cuts arcs into chords)."""
    import pyogrio
    from shapely import from_wkb

    file = tmp_path / "kit.dxf"
    file.write_bytes(dxf_bytes(LAYERS, points=POINTS))
    _, _, geometry, fields = pyogrio.raw.read(file, columns=["Layer"])
    shapes = [(str(layer), from_wkb(wkb)) for wkb, layer in zip(geometry, fields[0], strict=True)]
    names = layer_names([*LAYERS, *POINTS])
    for name, paths in LAYERS.items():
        theirs = [shape for layer, shape in shapes if layer == names[name]]
        for path, shape in zip(paths, theirs, strict=True):
            assert tuple(path.bounds) == pytest.approx(shape.bounds, abs=0.05)
            assert path.length == pytest.approx(shape.length, rel=2e-3)
    assert sorted((s.x, s.y) for layer, s in shapes if layer == "HOLES") == sorted(POINTS["holes"])


def test_other_program_agrees_on_files_of_others(tmp_path: FilePath) -> None:
    """GDAL against our reader on blocks, ellipses, splines and old polylines."""
    import pyogrio
    from dxf_builders import ascii_bytes, document
    from shapely import from_wkb

    doc = document()
    space = doc.modelspace()
    doc.blocks.new("B", base_point=(1, 2)).add_lwpolyline(
        [(0, 0, 0.5), (10, 0, 0), (10, 5, 0)], format="xyb", close=True
    )
    space.add_blockref("B", (50, 20), {"rotation": 30, "xscale": 2, "yscale": -2})
    space.add_ellipse((100, 50), (20, 10), 0.4)
    space.add_open_spline([(0, 100, 0), (20, 140, 0), (50, 60, 0), (80, 120, 0), (90, 100, 0)])
    space.add_polyline2d([(0, 200, 1), (30, 200, 0), (30, 240, 0)], format="xyb", close=True)
    data = ascii_bytes(doc)
    file = tmp_path / "other.dxf"
    file.write_bytes(data)
    _, _, geometry, _ = pyogrio.raw.read(file)
    theirs = sorted((from_wkb(wkb) for wkb in geometry), key=lambda shape: shape.bounds[1])
    shapes = read_dxf(data).whole
    ours = sorted(shapes.closed + shapes.open, key=lambda path: path.bounds.bottom)
    for path, shape in zip(ours, theirs, strict=True):
        assert tuple(path.bounds) == pytest.approx(shape.bounds, abs=0.1)
        assert path.length == pytest.approx(shape.length, rel=3e-3)


def test_layer_names_are_plain_and_different() -> None:
    names = layer_names(["Top: 3 mm", "top 3 MM", "Ü", "x" * 50, "X" * 50, ""])
    assert names["Top: 3 mm"] == "TOP_3_MM"
    assert names["top 3 MM"] == "TOP_3_MM_2"
    assert len(set(names.values())) == 6
    assert all(re.fullmatch(r"[A-Z0-9_-]{1,31}", name) for name in names.values())
    ids = group_ids(["Top: 3 mm", "top 3 MM", "3", "Ü"])
    assert len(set(ids.values())) == 4
    assert all(re.fullmatch(r"[a-z][a-z0-9-]*", key) for key in ids.values())


def test_svg_has_true_size_titles_and_plain_numbers() -> None:
    data = svg_bytes(LAYERS, points=POINTS, page=PAGE, title="Nest <box>")
    root = ElementTree.fromstring(data)
    assert (root.get("width"), root.get("height"), root.get("viewBox")) == ("200mm", "150mm", "0 0 200 150")
    space = {"s": "http://www.w3.org/2000/svg"}
    assert [t.text for t in root.findall("s:g/s:title", space)] == [*LAYERS, *POINTS]
    assert root.findtext("s:title", namespaces=space) == "Nest <box>"
    assert len(root.findall(".//s:circle", space)) == 1
    assert not re.search(rb"-0[ \"AL]|[0-9]e[-+]?[0-9]|nan|inf", re.sub(rb'stroke="#[0-9a-f]*"', b"", data))


def test_no_minus_zero_in_path_data() -> None:
    path = Path((Vertex(-1e-12, 0.0), Vertex(5, -1e-13), Vertex(0, 5)))
    assert svg_path_data(path) == "M0 0L5 0L0 -5Z"


def test_numbers_that_are_none_are_refused() -> None:
    broken = Path((Vertex(0, 0), Vertex(math.nan, 1)))
    for write in (dxf_bytes, svg_bytes):
        with pytest.raises(ValueError, match="finite"):
            write({"a": [broken]})
        with pytest.raises(ValueError, match="finite"):
            write({"a": []}, points={"a": [(math.inf, 0)]})


def test_circle_is_written_as_a_circle_and_comes_back_as_one() -> None:
    for back in (read_dxf(dxf_bytes(LAYERS)), read_svg(svg_bytes(LAYERS, page=PAGE))):
        circles = [found for path in back.whole.closed if (found := is_circle(path))]
        assert circles == [pytest.approx((90, 50, 10), abs=1e-9)]


SCRIPT = """
import sys, hashlib
sys.path.insert(0, sys.argv[1])
from kitforge.geometry import shapes as s
from kitforge.drawings.write import dxf_bytes, svg_bytes
layers = {"a": [s.rectangle((50, 40), corner_radius=5)], "b": [s.circle((20, 20), 6.35)]}
print(hashlib.sha256(dxf_bytes(layers)).hexdigest(), hashlib.sha256(svg_bytes(layers)).hexdigest())
"""


def test_same_bytes_in_other_processes_and_folders(tmp_path: FilePath) -> None:
    root = str(FilePath(__file__).parents[2])
    answers = set()
    for seed, folder in (("0", root), ("1", str(tmp_path))):
        environment = {**os.environ, "PYTHONHASHSEED": seed}
        run = [sys.executable, "-c", SCRIPT, root]
        answers.add(subprocess.run(run, cwd=folder, env=environment, capture_output=True, text=True, check=True).stdout)
    assert len(answers) == 1


def test_the_head_of_a_dxf_tells_how_far_the_drawing_reaches() -> None:
    """$EXTMIN and $EXTMAX (DXF reference, HEADER) are the box of what is drawn, arcs and points counted in."""
    data = dxf_bytes({"A": [draw.rectangle((30, 20), at=(5, 6)), draw.circle((60, 10), 8)]}, points={"B": [(1.5, 40)]})
    rows = data.decode().split("\r\n")
    corners = [[float(rows[rows.index(name) + k]) for k in (2, 4, 6)] for name in ("$EXTMIN", "$EXTMAX")]
    assert corners == [[1.5, 6, 0], [64, 40, 0]]
