"""DXF files that are damaged, endless or made to hurt: refused quickly, with a plain message and a line."""

import time

import pytest
from dxf_builders import ascii_bytes, bare, binary_bytes, document, drawn
from ezdxf.layouts import Modelspace
from hypothesis import given
from hypothesis import strategies as st

from kitforge.drawings.dxf_read import read_dxf
from kitforge.drawings.limits import ReadingLimits
from kitforge.model.drawing import Drawing, DrawingError

GOOD = drawn(lambda s: (s.add_circle((0, 0), 2.125), s.add_line((0, 0), (3.25, 4.5))))


def _refused(data: bytes, limits: ReadingLimits | None = None) -> DrawingError:
    with pytest.raises(DrawingError) as caught:
        read_dxf(data, limits=limits)
    return caught.value


@pytest.mark.parametrize("data", [b"", b"  \n", b"%PDF-1.7 nothing", b"\x00\x01\x02", b"<svg/>", b"0\nSECTION", bare()])
def test_what_is_no_drawing_is_refused(data: bytes) -> None:
    assert str(_refused(data).message)


@pytest.mark.parametrize("share", [0.3, 0.6, 0.9, 0.999])
def test_truncated_file_is_refused_and_not_read_as_empty(share: float) -> None:
    error = _refused(GOOD[: int(len(GOOD) * share)])
    assert "breaks off" in str(error.message)
    assert error.line > 100


@pytest.mark.parametrize("number", [b"nan", b"inf", b"-inf", b"1e308", b"1e999", b"2000001"])
def test_number_that_is_no_size_names_line_and_entity(number: bytes) -> None:
    data = GOOD.replace(b"\n2.125\n", b"\n" + number + b"\n")
    error = _refused(data)
    assert "CIRCLE" in str(error.message)
    assert data.splitlines()[error.line - 1].strip() in (b"CIRCLE", number)


@pytest.mark.parametrize("number", [b"2,125", b"two", b"0x1F", b"1.2.3"])
def test_text_in_place_of_a_number_names_its_line(number: bytes) -> None:
    data = GOOD.replace(b"\n2.125\n", b"\n" + number + b"\n")
    error = _refused(data)
    assert "which is no number" in str(error.message)
    assert data.splitlines()[error.line - 1] == number


def _nested(depth: int, per_level: int = 1) -> bytes:
    doc = document()
    doc.blocks.new("L0").add_circle((0, 0), 1)
    for level in range(1, depth):
        block = doc.blocks.new(f"L{level}")
        for _ in range(per_level):
            block.add_blockref(f"L{level - 1}", (1, 1))
    doc.modelspace().add_blockref(f"L{depth - 1}", (0, 0))
    return ascii_bytes(doc)


def test_blocks_eight_deep_are_read_and_nine_refused() -> None:
    assert len(read_dxf(_nested(8)).whole.closed) == 1
    assert "nested" in str(_refused(_nested(9)).message)


def test_block_bomb_is_stopped_by_the_count() -> None:
    start = time.process_time()
    assert "more than" in str(_refused(_nested(8, 10), ReadingLimits(entities=50_000)).message)
    assert time.process_time() - start < 30


def test_array_bomb_is_stopped_before_it_is_counted_out() -> None:
    doc = document()
    doc.blocks.new("B")
    doc.modelspace().add_blockref("B", (0, 0), {"row_count": 32767, "column_count": 32767})
    assert "more than" in str(_refused(ascii_bytes(doc)).message)


def test_block_that_contains_itself_is_refused() -> None:
    doc = document()
    doc.blocks.new("A").add_blockref("B", (0, 0))
    doc.blocks.new("B").add_blockref("A", (0, 0))
    doc.modelspace().add_blockref("A", (0, 0))
    message = str(_refused(ascii_bytes(doc)).message)
    assert "itself" in message or "recursive" in message.lower() or "damaged" in message


@pytest.mark.parametrize("weights", [[1, float("nan"), 1, 1], [1, 0, 1, 1], [1, -1, 1, 1], [1, 1]])
def test_spline_with_impossible_weights_is_refused(weights: list[float]) -> None:
    def draw(space: Modelspace) -> None:
        spline = space.add_open_spline([(0, 0), (1, 1), (2, 0), (3, 1)])
        spline.weights = weights

    assert "SPLINE" in str(_refused(drawn(draw)).message)


def test_spline_with_falling_knots_is_refused() -> None:
    def draw(space: Modelspace) -> None:
        space.add_open_spline([(0, 0), (1, 1), (2, 0), (3, 1)]).knots = [0, 0, 0, 0, -1, -1, -1, -1]

    assert "knots" in str(_refused(drawn(draw)).message)


@pytest.mark.parametrize("radius", [0, -3])
def test_circle_without_size_is_refused(radius: float) -> None:
    assert str(_refused(drawn(lambda s: s.add_circle((0, 0), radius))).message)


def test_file_and_entity_counts_are_capped() -> None:
    assert "MB" in str(_refused(GOOD, ReadingLimits(size=1000)).message)
    assert "entities" in str(_refused(GOOD, ReadingLimits(entities=1)).message)
    assert "lines and arcs" in str(_refused(GOOD, ReadingLimits(pieces=2)).message)


def test_hidden_everything_says_so() -> None:
    doc = document()
    doc.layers.add("dark").off()
    doc.modelspace().add_circle((0, 0), 5, {"layer": "dark"})
    assert "hidden" in str(_refused(ascii_bytes(doc)).message)


def test_only_text_says_so() -> None:
    assert "TEXT" in str(_refused(drawn(lambda s: s.add_text("x"))).message)


@given(st.integers(0, len(GOOD) - 1), st.binary(min_size=1, max_size=12))
def test_random_damage_is_read_or_refused_but_never_crashes(at: int, junk: bytes) -> None:
    _read_or_refuse(GOOD[:at] + junk + GOOD[at + len(junk) :])


BINARY = binary_bytes(document())


@given(st.integers(22, len(BINARY) - 1), st.binary(min_size=1, max_size=6))
def test_random_damage_of_a_binary_file_never_crashes(at: int, junk: bytes) -> None:
    _read_or_refuse(BINARY[:at] + junk + BINARY[at + len(junk) :])


def _read_or_refuse(data: bytes) -> None:
    try:
        assert isinstance(read_dxf(data), Drawing)
    except DrawingError as error:
        assert str(error.message)
