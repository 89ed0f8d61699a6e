"""Every kind of DXF entity, unit and version: closed-form length, box, area and loop count."""

import math
from collections.abc import Callable
from itertools import pairwise
from typing import Any

import ezdxf
import pytest
from circles import circle_of
from dxf_builders import HALF, ascii_bytes, bare, binary_bytes, document, drawn
from ezdxf.document import Drawing as Document
from ezdxf.layouts import BlockLayout, Modelspace
from ezdxf.math import BSpline as ReferenceSpline

from kitforge.drawings.dxf_read import is_dxf, read_dxf
from kitforge.drawings.unit import MM_PER_INSUNITS
from kitforge.model.drawing import DrawingError, ProblemKind

PI = math.pi
FLIPPED = {"extrusion": (0, 0, -1)}


def _rational_circle(space: Modelspace) -> None:
    w = math.sqrt(0.5)
    ring = [(1, 0), (1, 1), (0, 1), (-1, 1), (-1, 0), (-1, -1), (0, -1), (1, -1), (1, 0)]
    spline = space.add_spline(degree=2)
    spline.control_points = [(5 * x, 5 * y, 0) for x, y in ring]
    spline.knots = [0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 4]
    spline.weights = [1, w] * 4 + [1]
    spline.closed = True


def _four_lines(space: Modelspace) -> None:
    for a, b in [((0, 0), (10, 0)), ((10, 5), (10, 0)), ((0, 5), (10, 5)), ((0, 0), (0, 5))]:
        space.add_line(a, b)


def _slot_of_lines_and_arcs(space: Modelspace) -> None:
    space.add_line((0, -2), (10, -2))
    space.add_line((0, 2), (10, 2))
    space.add_arc((10, 0), 2, 270, 90)
    space.add_arc((0, 0), 2, 90, 270)


# what is drawn, closed loops, open chains, area, length, box
ENTITIES = {
    "line": (lambda s: s.add_line((1, 2), (4, 6)), 0, 1, 0, 5, (1, 2, 4, 6)),
    "circle": (lambda s: s.add_circle((1, 2), 5), 1, 0, 25 * PI, 10 * PI, (-4, -3, 6, 7)),
    "circle seen from below": (lambda s: s.add_circle((1, 2), 5, FLIPPED), 1, 0, 25 * PI, 10 * PI, (-6, -3, 4, 7)),
    "arc": (lambda s: s.add_arc((0, 0), 5, 300, 60), 0, 1, 0, 10 * PI / 3, (2.5, -5 * 0.75**0.5, 5, 5 * 0.75**0.5)),
    "arc over zero": (lambda s: s.add_arc((0, 0), 5, 0, 270), 0, 1, 0, 7.5 * PI, (-5, -5, 5, 5)),
    "arc seen from below": (
        lambda s: s.add_arc((0, 0), 5, 0, 90, dxfattribs=FLIPPED), 0, 1, 0, 2.5 * PI, (-5, 0, 0, 5)),
    "ellipse": (lambda s: s.add_ellipse((0, 0), (10, 0), 0.5), 1, 0, 50 * PI, 48.4422411, (-10, -5, 10, 5)),
    "turned ellipse": (lambda s: s.add_ellipse((0, 0), (0, 10), 0.5), 1, 0, 50 * PI, 48.4422411, (-5, -10, 5, 10)),
    "round ellipse": (lambda s: s.add_ellipse((0, 0), (3, 4), 1.0), 1, 0, 25 * PI, 10 * PI, (-5, -5, 5, 5)),
    "half ellipse": (lambda s: s.add_ellipse((0, 0), (10, 0), 0.5, 0, PI), 0, 1, 0, 24.22112, (-10, 0, 10, 5)),
    "light polyline": (
        lambda s: s.add_lwpolyline([(0, 0), (10, 0), (10, 5), (0, 5)], close=True), 1, 0, 50, 30, (0, 0, 10, 5)),
    "light polyline with bulges": (
        lambda s: s.add_lwpolyline([(0, 0, 0), (10, 0, 1), (10, 4, 0), (0, 4, 1)], format="xyb", close=True),
        1, 0, 40 + 4 * PI, 20 + 4 * PI, (-2, 0, 12, 4)),
    "light polyline seen from below": (
        lambda s: s.add_lwpolyline([(0, 0, 0), (10, 0, 1), (10, 4, 0)], format="xyb", dxfattribs=FLIPPED),
        0, 1, 0, 10 + 2 * PI, (-12, 0, 0, 4)),
    "polyline": (lambda s: s.add_polyline2d([(0, 0), (3, 0), (3, 4)], close=True), 1, 0, 6, 12, (0, 0, 3, 4)),
    "polyline with bulges": (
        lambda s: s.add_polyline2d([(0, 0, HALF), (10, 0, 0)], format="xyb"),
        0, 1, 0, 2.5 * PI * 2**0.5, (0, 5 - 5 * 2**0.5, 10, 0)),
    "polyline in space": (lambda s: s.add_polyline3d([(0, 0, 0), (3, 0, 0), (3, 4, 0)]), 0, 1, 0, 7, (0, 0, 3, 4)),
    "rational spline": (_rational_circle, 1, 0, 25 * PI, 10 * PI, (-5, -5, 5, 5)),
    "lines that meet": (_four_lines, 1, 0, 50, 30, (0, 0, 10, 5)),
    "lines and arcs that meet": (_slot_of_lines_and_arcs, 1, 0, 40 + 4 * PI, 20 + 4 * PI, (-2, -2, 12, 2)),
}  # fmt: skip


@pytest.mark.parametrize("name", ENTITIES)
def test_entity_has_its_closed_form_measures(name: str) -> None:
    draw, loops, chains, area, length, box = ENTITIES[name]
    shapes = read_dxf(drawn(draw)).layers["0"]
    paths = shapes.closed + shapes.open
    assert (len(shapes.closed), len(shapes.open)) == (loops, chains)
    assert sum(abs(path.area) for path in shapes.closed) == pytest.approx(area, rel=2e-5)
    assert sum(path.length for path in paths) == pytest.approx(length, rel=1e-5)
    assert paths[0].bounds == pytest.approx(box, abs=0.0011)


def test_full_circles_stay_circles() -> None:
    for name in ("circle", "round ellipse", "rational spline"):
        path = read_dxf(drawn(ENTITIES[name][0])).layers["0"].closed[0]
        assert circle_of(path, 1e-6)[2] == pytest.approx(5, abs=1e-9)


def test_point_is_a_point() -> None:
    assert read_dxf(drawn(lambda s: s.add_point((3, 4)))).layers["0"].points == ((3, 4),)


def test_spline_agrees_with_a_reference_evaluation() -> None:
    control = [(0, 0), (10, 20), (30, 20), (40, 0), (50, -20), (70, 10)]
    reference = ReferenceSpline([(x, y, 0) for x, y in control], order=4)
    points = [p.vec2 for p in reference.approximate(20000)]
    length = sum(a.distance(b) for a, b in pairwise(points))
    path = read_dxf(drawn(lambda s: s.add_open_spline([(x, y, 0) for x, y in control]))).layers["0"].open[0]
    assert path.length == pytest.approx(length, abs=1e-3)
    assert path.start == pytest.approx((0, 0))
    assert path.end == pytest.approx((70, 10))


def test_spline_through_fit_points_passes_them() -> None:
    from kitforge.geometry.biarc import distance_to_piece

    fit = [(0, 0), (10, 8), (20, -3), (35, 5)]
    path = read_dxf(drawn(lambda s: s.add_spline(fit))).layers["0"].open[0]
    for x, y in fit:
        assert min(distance_to_piece(piece, x, y) for piece in path.pieces()) < 0.001


def test_closed_spline_is_a_loop() -> None:
    ring = [(0, 0, 0), (10, 0, 0), (10, 10, 0), (0, 10, 0)]
    shapes = read_dxf(drawn(lambda s: s.add_spline().set_closed(ring))).layers["0"]
    assert (len(shapes.closed), len(shapes.open)) == (1, 0)
    assert abs(shapes.closed[0].area) == pytest.approx(67.7833, abs=0.01)


@pytest.mark.parametrize("number", MM_PER_INSUNITS)
def test_every_unit_of_the_header(number: int) -> None:
    """Each $INSUNITS against exact definitions: inch 25.4 mm, foot 12 in, survey foot 1200/3937 m."""
    name, size = MM_PER_INSUNITS[number]
    extent = 100 / size
    drawing = read_dxf(drawn(lambda s: s.add_circle((extent / 2, 0), extent / 2), units=number))
    assert drawing.unit == name
    assert drawing.layers["0"].closed[0].bounds.width == pytest.approx(100, rel=1e-9)
    assert drawing.problems == ()


def test_unit_sizes_follow_their_definitions() -> None:
    sizes = dict(MM_PER_INSUNITS.values())
    assert sizes["ft"] == pytest.approx(12 * sizes["in"])
    assert sizes["mile"] == pytest.approx(5280 * sizes["ft"])
    assert sizes["US survey ft"] == pytest.approx(sizes["ft"] * (1 + 2e-6), rel=1e-9)
    assert sizes["US survey mile"] == pytest.approx(5280 * sizes["US survey ft"])


@pytest.mark.parametrize(("side", "unit"), [(300, "mm"), (12, "in"), (1.5, "in"), (0.4, "m")])
def test_drawing_without_a_unit_gets_a_proposal(side: float, unit: str) -> None:
    drawing = read_dxf(drawn(lambda s: s.add_line((0, 0), (side, 0)), units=0))
    problem = next(p for p in drawing.problems if p.kind is ProblemKind.UNIT_MISSING)
    if side == 1.5:
        assert drawing.unit == "cm" or "probably" in str(problem.message)
    else:
        assert drawing.unit == unit


def test_the_authors_unit_counts_before_the_files() -> None:
    data = drawn(lambda s: s.add_line((0, 0), (10, 0)), units=1)
    assert read_dxf(data, "mm").layers["0"].open[0].length == pytest.approx(10)
    assert read_dxf(data, "cm").layers["0"].open[0].length == pytest.approx(100)
    assert read_dxf(data).layers["0"].open[0].length == pytest.approx(254)
    with pytest.raises(ValueError, match="unit"):
        read_dxf(data, "furlong")


def test_inch_header_on_a_drawing_in_mm_is_doubted() -> None:
    drawing = read_dxf(drawn(lambda s: s.add_lwpolyline([(0, 0), (600, 0), (600, 400)], close=True), units=1))
    problem = next(p for p in drawing.problems if p.kind is ProblemKind.UNIT_DOUBTFUL)
    assert (problem.better, "if its unit is mm, it is 600 mm" in str(problem.message)) == ("mm", True)
    assert problem.size == pytest.approx(15240)


def test_chaining_tolerance_is_in_mm_whatever_the_unit() -> None:
    """0.1 mm apart in an inch file is 0.004 units; that must not join."""
    data = drawn(lambda s: (s.add_line((0, 0), (1, 0)), s.add_line((1 + 0.1 / 25.4, 0), (2, 0))), units=1)
    drawing = read_dxf(data)
    assert len(drawing.layers["0"].open) == 2
    assert [p.kind for p in drawing.problems] == [ProblemKind.GAP]
    assert drawing.problems[0].size == pytest.approx(0.1)


@pytest.mark.parametrize("version", ["R12", "R2000", "R2004", "R2007", "R2010", "R2013", "R2018"])
@pytest.mark.parametrize("encode", [ascii_bytes, binary_bytes])
def test_every_version_reads_alike(version: str, encode: Callable[[Any], bytes]) -> None:
    doc = document(version)
    space = doc.modelspace()
    space.add_circle((0, 0), 5, {"layer": "Löcher"})
    space.add_polyline2d([(0, 0, 1), (10, 0, 0)], format="xyb", close=True)
    data = encode(doc)
    assert is_dxf(data)
    drawing = read_dxf(data, "mm")
    assert set(drawing.layers) == {"0", "Löcher"}
    assert abs(drawing.layers["0"].closed[0].area) == pytest.approx(12.5 * PI)


@pytest.mark.parametrize("newline", [b"\r\n", b"\n", b"\r"])
def test_line_ends_make_no_difference(newline: bytes) -> None:
    data = bare(0, "LINE", 8, "A", 10, 0, 20, 0, 11, 30, 21, 40).replace(b"\n", newline)
    assert read_dxf(data, "mm").layers["A"].open[0].length == pytest.approx(50)


def test_oldest_files_hold_only_entities() -> None:
    """An R10 file may be one ENTITIES section with POLYLINE, VERTEX and SEQEND."""
    data = bare(
        0, "POLYLINE", 8, "OLD", 66, 1, 70, 1,
        0, "VERTEX", 8, "OLD", 10, 0, 20, 0, 42, 1,
        0, "VERTEX", 8, "OLD", 10, 10, 20, 0, 42, 1,
        0, "SEQEND",
        header="2\nHEADER\n9\n$ACADVER\n1\nAC1006\n0\nENDSEC\n0\nSECTION\n",
    )  # fmt: skip
    assert abs(read_dxf(data, "mm").layers["OLD"].closed[0].area) == pytest.approx(25 * PI)


def _block(doc: Document, draw: Callable[[BlockLayout], object]) -> Modelspace:
    draw(doc.blocks.new("B", base_point=(1, 0)))
    return doc.modelspace()


def test_block_is_placed_by_base_point_scale_and_rotation() -> None:
    doc = document()
    space = _block(doc, lambda b: b.add_lwpolyline([(1, 0), (3, 0), (3, 1)], close=True))
    space.add_blockref("B", (10, 10), {"rotation": 90, "xscale": 2, "yscale": 2})
    path = read_dxf(ascii_bytes(doc)).layers["0"].closed[0]
    assert path.bounds == pytest.approx((8, 10, 10, 14), abs=1e-9)
    assert path.area == pytest.approx(4)


def test_mirrored_block_keeps_its_arcs_and_turns_them() -> None:
    doc = document()
    space = _block(doc, lambda b: b.add_lwpolyline([(0, 0, 1), (10, 0, 0)], format="xyb", close=True))
    space.add_blockref("B", (0, 0), {"yscale": -1})
    path = read_dxf(ascii_bytes(doc)).layers["0"].closed[0]
    assert path.area == pytest.approx(-12.5 * PI)
    assert path.bounds == pytest.approx((-1, 0, 9, 5), abs=1e-9)


def test_stretched_block_turns_circles_into_ellipses() -> None:
    doc = document()
    space = _block(doc, lambda b: b.add_circle((1, 0), 5))
    space.add_blockref("B", (0, 0), {"xscale": 2, "yscale": 1})
    path = read_dxf(ascii_bytes(doc)).layers["0"].closed[0]
    assert path.area == pytest.approx(50 * PI, rel=2e-5)
    assert path.bounds == pytest.approx((-10, -5, 10, 5), abs=0.001)


def test_block_array_and_nesting() -> None:
    doc = document()
    inner = doc.blocks.new("INNER")
    inner.add_circle((0, 0), 1)
    outer = doc.blocks.new("OUTER")
    outer.add_blockref("INNER", (5, 0), {"rotation": 45})
    grid = {"row_count": 2, "column_count": 3, "row_spacing": 10, "column_spacing": 20, "rotation": 90}
    doc.modelspace().add_blockref("OUTER", (100, 0), grid)
    centres = sorted(
        tuple(round(v, 6) for v in circle_of(p)[:2]) for p in read_dxf(ascii_bytes(doc)).layers["0"].closed
    )
    assert centres == [(90, 5), (90, 25), (90, 45), (100, 5), (100, 25), (100, 45)]


def test_block_seen_from_below_is_mirrored() -> None:
    doc = document()
    doc.blocks.new("B").add_circle((5, 1), 1)
    doc.modelspace().add_blockref("B", (10, 0), FLIPPED)
    assert circle_of(read_dxf(ascii_bytes(doc)).layers["0"].closed[0])[:2] == pytest.approx((-15, 1))


def test_block_parts_on_layer_0_take_the_layer_of_the_reference() -> None:
    doc = document()
    block = doc.blocks.new("B")
    block.add_circle((0, 0), 1)
    block.add_circle((0, 0), 2, {"layer": "own"})
    doc.modelspace().add_blockref("B", (0, 0), {"layer": "outer"})
    assert set(read_dxf(ascii_bytes(doc)).layers) == {"outer", "own"}


def test_layers_that_are_off_or_frozen_are_left_out_and_said() -> None:
    doc = document()
    doc.layers.add("dark").off()
    doc.layers.add("cold").freeze()
    space = doc.modelspace()
    for name in ("dark", "COLD", "shown"):
        space.add_circle((0, 0), 5, {"layer": name})
    space.add_circle((0, 0), 3, {"layer": "shown", "invisible": 1})
    drawing = read_dxf(ascii_bytes(doc), "mm")
    assert set(drawing.layers) == {"shown"}
    assert len(drawing.layers["shown"].closed) == 1
    hidden = [(p.layer, p.kind) for p in drawing.problems]
    assert hidden == [(name, ProblemKind.HIDDEN) for name in ("cold", "dark", "shown")]


def test_what_is_no_line_is_counted() -> None:
    def draw(space: Modelspace) -> None:
        space.add_circle((0, 0), 5)
        space.add_text("hello")
        space.add_mtext("hello")
        space.add_hatch()

    drawing = read_dxf(drawn(draw), "mm")
    assert [(p.kind, str(p.message)) for p in drawing.problems] == [
        (ProblemKind.SKIPPED, "Left out on layer '0', because it is no line: 1 x HATCH."),
        (ProblemKind.TEXT, "Text on layer '0' was left out: 1 x MTEXT and 1 x TEXT."),
    ]


def test_lines_inside_dimensions_are_no_geometry() -> None:
    doc = ezdxf.new("R2000", setup=True, units=4)
    space = doc.modelspace()
    space.add_line((0, 0), (100, 0))
    space.add_linear_dim(base=(0, 10), p1=(0, 0), p2=(100, 0)).render()
    drawing = read_dxf(ascii_bytes(doc))
    assert len(drawing.whole.open) == 1
    assert ["1 x DIMENSION" in str(p.message) for p in drawing.problems] == [True]


def test_paper_space_is_not_read() -> None:
    doc = document()
    doc.modelspace().add_circle((0, 0), 5)
    doc.layout("Layout1").add_circle((0, 0), 7)
    assert len(read_dxf(ascii_bytes(doc)).whole.closed) == 1


def test_tilted_and_rising_entities_are_said() -> None:
    def draw(space: Modelspace) -> None:
        space.add_circle((0, 0), 5, {"extrusion": (0, 1, 0)})
        space.add_line((0, 0, 0), (10, 0, 3))

    drawing = read_dxf(drawn(draw), "mm")
    assert [p.kind for p in drawing.problems if p.kind is not ProblemKind.SKIPPED] == [ProblemKind.NOT_FLAT] * 2
    assert len(drawing.whole.closed) == 0
    assert drawing.whole.open[0].length == pytest.approx(10)


def test_line_of_no_length_is_said_and_left_out() -> None:
    drawing = read_dxf(drawn(lambda s: (s.add_line((5, 5), (5, 5)), s.add_circle((0, 0), 2))), "mm")
    assert [(p.kind, p.at) for p in drawing.problems] == [(ProblemKind.ZERO_LENGTH, (5, 5))]
    assert drawing.whole.open == ()


def test_missing_block_is_refused() -> None:
    data = drawn(lambda s: (s.add_circle((0, 0), 2), s.add_blockref("NOWHERE", (0, 0))))
    with pytest.raises(DrawingError, match="NOWHERE"):
        read_dxf(data)


def test_block_in_another_file_is_said() -> None:
    doc = document()
    doc.add_xref_def("elsewhere.dxf", "OTHER")
    doc.modelspace().add_blockref("OTHER", (0, 0))
    doc.modelspace().add_circle((0, 0), 2)
    drawing = read_dxf(ascii_bytes(doc), "mm")
    assert [p.kind for p in drawing.problems] == [ProblemKind.UNRESOLVED]
    assert len(drawing.whole.closed) == 1


def test_layer_is_found_whatever_its_case() -> None:
    drawing = read_dxf(drawn(lambda s: s.add_circle((0, 0), 2, {"layer": "Pocket"})))
    assert drawing.layer("POCKET") is drawing.layers["Pocket"]
    assert len(drawing.layer("*").closed) == 1
    with pytest.raises(KeyError, match="Pockets"):
        drawing.layer("Pockets")
