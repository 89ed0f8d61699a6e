"""Shapes of kit.yaml and layers of drawings become paths and points in mm; what cannot be drawn is said where."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sample_kits import SAMPLE, NoPlugins, changed, place, refusals, resolved

from kitforge.geometry.shapes import circle, polyline, rectangle
from kitforge.model.drawing import Drawing, DrawingError, DrawingProblem, LayerShapes, ProblemKind
from kitforge.model.errors import UnreadableKitError
from kitforge.model.kit import Operation, Side
from kitforge.model.messages import msg
from kitforge.model.path import Path as Line

CIRCLE = "{circle: {centre: [= width / 2, = height - 60], diameter: hole}}"


def drawn(folder: Path, shape: str, side: str = "on", plugins: object = None, **files: str) -> Operation:
    """The sample's entrance with another shape."""
    text = changed((CIRCLE + "]", f"{shape}]\n        side: {side}"))
    return resolved(folder, text, plugins, **files).parts[0].operations[2]


@pytest.mark.parametrize(
    ("shape", "count", "area"),
    [
        ("{rectangle: {size: [20, 10], centre: [50, 50], angle: 30}}", 1, 200),
        ("{rectangle: {size: [20, 10], corner_radius: 5}}", 1, 100 + math.pi * 25),
        ("{slot: {start: [0, 0], end: [30, 40], width: 10}}", 1, 500 + math.pi * 25),
        ("{polygon: {centre: [0, 0], sides: 6, across_flats: 10}}", 1, 86.60254),
        ("{polygon: {centre: [0, 0], sides: 4, diameter: 10}}", 1, 50),
        ("{path: M 0 0 H 10 V 10 H 0 Z}", 1, 100),
        ("{polyline: {closed: true, points: [[0, 0], [10, 0], [10, 10]]}}", 1, 50),
        ("{polyline: {closed: true, points: [[0, 0], {to: [10, 0], through: [5, -5]}]}}", 1, math.pi * 12.5),
        ("{array: {of: {circle: {centre: [0, 0], diameter: 2}}, columns: 3, rows: 2, spacing: [5, 5]}}", 6, math.pi),
        ("{ring: {of: {circle: {centre: [9, 0], diameter: 2}}, count: 5, centre: [0, 0]}}", 5, math.pi),
        ("{mirror: {of: {rectangle: {size: [3, 4]}}, across: x, at: 50}}", 2, 12),
        ("{mirror: {of: {rectangle: {size: [3, 4]}}, across: y, keep: false}}", 1, 12),
    ],
)
def test_each_kind_of_shape(tmp_path: Path, shape: str, count: int, area: float) -> None:
    """Areas of plane figures, elementary geometry."""
    paths = drawn(tmp_path, shape).shapes
    assert len(paths) == count
    assert [path.area for path in paths] == pytest.approx([area] * count)


def test_arrays_rings_mirrors_and_moves_put_shapes_in_their_place(tmp_path: Path) -> None:
    shape = "{ring: {of: {mirror: {of: {rectangle: {size: [2, 2]}}, across: x, at: 10, keep: false}}, count: 3, "
    shape += "centre: [0, 0], angle: 180}, move: [100, 1]}"
    boxes = [path.bounds for path in drawn(tmp_path, shape).shapes]
    assert boxes[0] == pytest.approx((118, 1, 120, 3))
    assert boxes[1] == pytest.approx((98, 19, 100, 21))
    assert boxes[2] == pytest.approx((80, -1, 82, 1))


def test_a_count_may_be_a_parameter(tmp_path: Path) -> None:
    text = changed(("hole: 32 mm", "hole: 32 mm\n  rows: 3"), ("rows: 2", "rows: rows"))
    assert len(resolved(tmp_path, text).parts[0].operations[0].points) == 6


DRAWING = Drawing(
    layers={
        "Cut": LayerShapes(closed=(rectangle((150, 225)),)),
        "Holes": LayerShapes(closed=(circle((20, 20), 4), circle((40, 20), 4)), points=((60.0, 20.0),)),
        "Lines": LayerShapes(open=(polyline([(0, 0), (10, 0)]),)),
        "Nothing": LayerShapes(),
    },
    unit="mm",
    problems=(
        DrawingProblem(ProblemKind.GAP, msg("two ends are 0.2 mm apart"), (1.0, 2.0), 0.2, "Lines"),
        DrawingProblem(ProblemKind.TEXT, msg("Text was left out: 3 x TEXT.")),
    ),
)
LAYERS = (
    ("outline: {rectangle: {size: [width, height], corner_radius: 5 mm}}", "outline: {layer: Cut}\n    drawing: a.dxf"),
    (
        "{array: {of: {points: [[10, 10]]}, columns: 2, rows: 2, spacing: [= width - 20, = height - 20]}}",
        "{layer: Holes}",
    ),
)


def test_layers_of_a_drawing(tmp_path: Path) -> None:
    plugins = NoPlugins({"a.dxf": DRAWING})
    text = changed(*LAYERS, ("    drawing: a.dxf", "    drawing: a.dxf\n    units: in"))
    kit = resolved(tmp_path, text, plugins, a__dxf="bytes of a drawing")
    assert plugins.asked == [("a.dxf", b"bytes of a drawing", "in")]
    assert kit.parts[0].outline == DRAWING.layers["Cut"].closed[0]
    assert kit.parts[0].operations[0].points == ((60.0, 20.0), (20.0, 20.0), (40.0, 20.0))
    assert [(one.code, one.source.file, one.at) for one in kit.problems] == [
        ("drawing-text", "a.dxf", None),
        ("drawing-layers-unused", "a.dxf", None),
    ]


@pytest.mark.parametrize(
    ("layer", "code", "said"),
    [
        ("Hols", "layer-missing", "Did you mean 'Holes'?"),
        ("Nothing", "layer-missing", "is empty"),
        ("Cut", "shape-unfit", "is no circle"),
    ],
)
def test_layers_that_do_not_fit(tmp_path: Path, layer: str, code: str, said: str) -> None:
    text = changed(*LAYERS, ("{layer: Holes}", f"{{layer: {layer}}}"))
    found = [
        one for one in refusals(tmp_path, text, NoPlugins({"a.dxf": DRAWING}), a__dxf="x") if one.severity == "error"
    ]
    assert [one.code for one in found] == [code]
    assert found[0].source.line == place(text, f"[{{layer: {layer}}}")[0]
    assert said in f"{found[0].message!s} {found[0].advice!s}"


def test_drawings_that_cannot_be_read(tmp_path: Path) -> None:
    text = changed(*LAYERS)
    (found,) = refusals(tmp_path, text, NoPlugins({"a.dxf": DrawingError(msg("it is cut off"), line=7)}), a__dxf="x")
    assert (found.code, str(found.source)) == ("drawing-unreadable", "a.dxf:7:1")
    (found,) = refusals(tmp_path, text, NoPlugins(), a__dxf="x")
    assert (found.code, found.source.line) == ("drawing-unreadable", place(text, "Cut}")[0])
    (found,) = refusals(tmp_path, changed(LAYERS[0], LAYERS[1], ("\n    drawing: a.dxf", "")))[:1]
    assert (found.code, str(found.advice)) == ("missing-key", "Add `drawing:` to the part.")


def test_an_open_outline_is_handed_on_for_the_checks_to_judge(tmp_path: Path) -> None:
    text = changed(("{rectangle: {size: [width, height], corner_radius: 5 mm}}", "{path: M 0 0 H 150 V 225 H 0}"))
    assert resolved(tmp_path, text).parts[0].outline.closed is False


def test_an_open_line_is_cut_on_the_line(tmp_path: Path) -> None:
    text = changed((CIRCLE, "{polyline: {points: [[0, 0], [50, 50]]}}"))
    assert resolved(tmp_path, text).parts[0].operations[2].side is Side.ON


def test_the_same_path_twice_in_an_outline_is_refused(tmp_path: Path) -> None:
    text = changed(
        ("{rectangle: {size: [width, height], corner_radius: 5 mm}}", "{path: M 0 0 H 9 V 9 Z M 20 20 H 30 V 30 Z}")
    )
    (found,) = refusals(tmp_path, text)
    assert (found.code, found.source.line, found.source.column) == ("shape-unfit", *place(text, "{path: M 0 0"))


def test_lines_are_paths(tmp_path: Path) -> None:
    assert isinstance(drawn(tmp_path, "{path: M 0 0 L 9 9}").shapes[0], Line)


PIECES = [
    "0",
    "-1",
    "1e5",
    "''",
    "[]",
    "{}",
    "null",
    "true",
    "x",
    "= width",
    "= 1/0",
    "through",
    "[1, 2]",
    "1 in",
    "40 %",
]


@settings(max_examples=120, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.data())
def test_whatever_replaces_a_value_is_a_kit_or_a_list_of_findings(tmp_path: Path, data: st.DataObject) -> None:
    """No value at any place makes the program fail; every finding has a line."""
    lines = SAMPLE.splitlines()
    for _ in range(data.draw(st.integers(1, 3))):
        index = data.draw(st.integers(1, len(lines) - 1))
        words = lines[index].split(" ")
        word = data.draw(st.integers(0, len(words) - 1))
        tail = "".join(char for char in words[word] if char in ",}]")
        words[word] = data.draw(st.sampled_from(PIECES)) + tail
        lines[index] = " ".join(words)
    try:
        resolved(tmp_path, "\n".join(lines))
    except UnreadableKitError as error:
        assert [one for one in error.problems if not one.source.line] == []
        assert any(one.severity == "error" for one in error.problems)
