"""DXF records by our own reader: what makers' programs write beyond the letter, and agreement with another reader."""

from __future__ import annotations

import io
import math
import random
from collections.abc import Callable
from functools import partial
from typing import Any

import ezdxf
import pytest
from dxf_builders import ascii_bytes, bare, binary_bytes, document

from kitforge.drawings.dxf_read import read_dxf
from kitforge.drawings.dxf_records import records_of
from kitforge.drawings.dxf_tags import tags_of
from kitforge.drawings.limits import ReadingLimits
from kitforge.model.drawing import DrawingError, ProblemKind

LINE = (0, "LINE", 8, "A")


def _random_document(chance: random.Random, version: str) -> ezdxf.document.Drawing:
    doc = document(version)
    space = doc.modelspace()
    for _ in range(30):
        x, y, r = (round(chance.uniform(-500, 500), 6) for _ in range(3))
        layer = {"layer": chance.choice(["0", "Äste", "CUT 6mm"])}
        ways: list[Callable[[], object]] = [
            partial(space.add_line, (x, y, r), (r, x, y), layer),
            partial(space.add_circle, (x, y), abs(r) + 1, layer),
            partial(space.add_arc, (x, y), abs(r) + 1, x, y, dxfattribs=layer),
            partial(space.add_point, (x, y), layer),
            partial(space.add_polyline2d, [(x, y), (y, x), (0, 0)], dxfattribs=layer),
        ]
        chance.choice(ways)()
    return doc


@pytest.mark.parametrize("version", ["R12", "R2000", "R2018"])
@pytest.mark.parametrize("encode", [ascii_bytes, binary_bytes])
def test_records_agree_with_another_reader(version: str, encode: Callable[[Any], bytes]) -> None:
    """Kinds, layers, handles and every coordinate, compared with ezdxf on random documents."""
    doc = _random_document(random.Random(version), version)
    ours = records_of(tags_of(encode(doc), ReadingLimits()), ReadingLimits()).entities
    theirs: list[Any] = list(doc.modelspace())
    assert [one.kind for one in ours] == [one.dxftype() for one in theirs]
    assert [one.layer for one in ours] == [one.dxf.layer for one in theirs]
    assert [one.handle for one in ours] == [one.dxf.handle for one in theirs]
    for one, other in zip(ours, theirs, strict=True):
        names = {"LINE": ((10, "start"), (11, "end")), "CIRCLE": ((10, "center"),), "ARC": ((10, "center"),)}
        for code, name in names.get(one.kind, ()):
            assert one.point(code) == pytest.approx(tuple(other.dxf.get(name))[:2])
        if one.kind == "ARC":
            assert (one.number(50), one.number(51)) == pytest.approx((other.dxf.start_angle, other.dxf.end_angle))
        if one.kind == "POLYLINE":
            places = [tuple(vertex.dxf.location)[:2] for vertex in other.vertices]
            assert [vertex.point() for vertex in one.vertices] == [pytest.approx(place) for place in places]


@pytest.mark.parametrize("order", [(8, 10, 20, 11, 21), (10, 11, 20, 21, 8), (21, 11, 20, 10, 8), (8, 20, 10, 21, 11)])
def test_codes_of_an_entity_come_in_any_order(order: tuple[int, ...]) -> None:
    values = {8: "A", 10: 1, 20: 2, 11: 4, 21: 6}
    path = read_dxf(bare(0, "LINE", *(part for code in order for part in (code, values[code]))), "mm").whole.open[0]
    assert (path.start, path.end) == ((1, 2), (4, 6))


def test_a_handle_used_twice_loses_nothing() -> None:
    rows = [part for k in range(3) for part in (0, "CIRCLE", 5, "2F", 8, "A", 10, 10 * k, 20, 0, 40, 2)]
    assert len(read_dxf(bare(*rows), "mm").layers["A"].closed) == 3


def test_marks_of_sub_classes_may_be_missing() -> None:
    header = "2\nHEADER\n9\n$ACADVER\n1\nAC1015\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n"
    corners = (10, 0, 20, 0, 10, 9, 20, 0, 10, 9, 20, 5)
    drawing = read_dxf(bare(0, "LWPOLYLINE", 8, "A", 90, 3, 70, 1, *corners, header=header))
    assert abs(drawing.layers["A"].closed[0].area) == pytest.approx(22.5)


def test_bulges_belong_to_the_vertex_before_them_or_the_file_is_refused() -> None:
    good = bare(0, "LWPOLYLINE", 70, 1, 20, 0, 10, 0, 42, 1, 10, 10, 20, 0, 42, 1)
    assert abs(read_dxf(good, "mm").whole.closed[0].area) == pytest.approx(25 * math.pi)
    with pytest.raises(DrawingError, match="bulge") as caught:
        read_dxf(bare(0, "LWPOLYLINE", 70, 1, 10, 0, 10, 10, 20, 0, 20, 0, 42, 1), "mm")
    assert caught.value.line > 0


@pytest.mark.parametrize(
    ("tags", "said", "line"),
    [
        ((*LINE, 10, 0, 20, 0, 11, 5), "code 21 is missing", 6),
        ((*LINE, 10, 0, 20, "1,5", 11, 5, 21, 5), "'1,5', which is no number", 12),
        ((*LINE, 10, 0, 20, "1_5", 11, 5, 21, 5), "'1_5', which is no number", 12),
        ((*LINE, 10, 0, 20, "nan", 11, 5, 21, 5), "no number", 12),
        ((*LINE, 10, 0, 20, "inf", 11, 5, 21, 5), "not finite", 12),
        ((*LINE, 10, 0, "2o", 0, 11, 5, 21, 5), "'2o' stands where a whole number", 11),
        ((*LINE, 10, 0, 2000, 0, 11, 5, 21, 5), "'2000' stands where", 11),
        ((0, "SECTION", 2, "ENTITIES"), "begins inside another one", 6),
        ((0, "LWPOLYLINE", 10, 0, 20, 0, 10, 5), "2 x and 1 y", 6),
    ],
)
def test_damage_is_told_in_our_words_with_its_line(tags: tuple[object, ...], said: str, line: int) -> None:
    with pytest.raises(DrawingError) as caught:
        read_dxf(bare(*tags), "mm")
    assert said in str(caught.value.message)
    assert caught.value.line == line


def test_a_name_that_is_no_text_can_be_printed() -> None:
    data = bare(0, "CIRCLE", 8, "L?", 10, 0, 20, 0, 40, 2).replace(b"L?", b"L\x8f")
    (name,) = read_dxf(data, "mm").layers
    assert name.encode("utf-8")
    assert read_dxf(bare(0, "CIRCLE", 8, r"\U+00C4ste", 10, 0, 20, 0, 40, 2), "mm").layers.keys() == {"Äste"}


def test_what_is_not_in_the_plot_is_counted_by_layer() -> None:
    doc = document()
    doc.layers.add("help").dxf.plot = 0
    doc.modelspace().add_circle((0, 0), 5)
    doc.modelspace().add_line((0, 0), (5, 5), {"layer": "HELP"})
    doc.modelspace().add_point((0, 0), {"layer": "Defpoints"})
    doc.layout("Layout1").add_line((0, 0), (5, 5), {"layer": "frame"})
    doc.modelspace().add_3dface([(0, 0), (1, 0), (1, 1)], {"layer": "old"})
    problems = {(p.kind, p.layer) for p in read_dxf(ascii_bytes(doc), "mm").problems}
    assert problems == {
        (ProblemKind.NOT_PLOTTED, "help"),
        (ProblemKind.NOT_PLOTTED, "Defpoints"),
        (ProblemKind.PAPER, "frame"),
        (ProblemKind.SKIPPED, "old"),
    }


def test_a_problem_names_the_entity_and_its_line() -> None:
    rows = (0, "LINE", 5, "A1", 8, "A", 10, 0, 20, 0, 11, 50, 21, 0, 0, "LINE", 5, "A2", 8, "A", 10, 50, 20, 0.3)
    data = bare(*rows, 11, 90, 21, 40)
    (gap,) = read_dxf(data, "mm").problems
    assert gap.entity in ("A1", "A2")
    assert data.splitlines()[gap.line - 1 : gap.line + 2] == [b"LINE", b"5", gap.entity.encode()]


def test_reading_a_drawing_logs_nothing(caplog: pytest.LogCaptureFixture) -> None:
    stream = io.StringIO()
    ezdxf.new("R2000", units=4).write(stream)
    with caplog.at_level("DEBUG"), pytest.raises(DrawingError):
        read_dxf(stream.getvalue().encode().replace(b"$INSUNITS", b"$INSUNITZ"))
    assert caplog.records == []
