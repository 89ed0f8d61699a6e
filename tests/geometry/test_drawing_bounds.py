"""Drawings beyond the bounds of the two readers: refused at once, with the count or the bound and what to do."""

from __future__ import annotations

import math
import time
from collections.abc import Callable, Sequence

import pytest

import kitforge_dxf
import kitforge_svg
from kitforge.model.drawing import Drawing, DrawingError

LINE = "0\nLINE\n8\n0\n10\n0\n20\n0\n11\n9\n21\n9\n"


def _spots(count: int) -> list[tuple[str, str]]:
    turns = [2 * math.pi * index / count for index in range(count)]
    return [(f"{50 + 40 * math.cos(turn):.4f}", f"{50 + 40 * math.sin(turn):.4f}") for turn in turns]


def _dxf(text: str) -> bytes:
    return f"0\nSECTION\n2\nENTITIES\n{text}0\nENDSEC\n0\nEOF\n".encode()


def _polyline(spots: Sequence[tuple[str, str]]) -> bytes:
    rows, count = "".join(f"10\n{x}\n20\n{y}\n" for x, y in spots), len(spots)
    head = "0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1015\n0\nENDSEC\n"
    line = f"0\nLWPOLYLINE\n5\nFF\n100\nAcDbEntity\n8\n0\n100\nAcDbPolyline\n90\n{count}\n70\n1\n{rows}"
    return head.encode() + _dxf(line)


def _svg(text: str) -> bytes:
    return f'<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm">{text}</svg>'.encode()


def _path(spots: Sequence[tuple[str, str]]) -> str:
    return '<path id="a" d="M' + "L".join(map(",".join, spots)) + 'Z"/>'


def _refused(name: str, data: bytes) -> DrawingError:
    plugin = kitforge_dxf if name.endswith(".dxf") else kitforge_svg
    with pytest.raises(DrawingError) as caught:
        plugin.kitforge_read_drawing(name, data, "mm", 0.0)
    return caught.value


MANY = _spots(1000) * 1000
"""A million points: a thousand times round the same circle."""
OFTEN = f'<defs><path id="a" d="{"m0 0" * 20_000}"/></defs>' + '<use href="#a"/>' * 101
LONG = "c10000 90000 30000 -90000 50000 0c-10000 90000 -30000 -90000 -50000 0" * 2000
HOSTILE: dict[str, tuple[Callable[[], bytes], str]] = {
    "outline of a million points.dxf": (lambda: _polyline(MANY), "codes with their values; 1300000 are read"),
    "outline of a million points.svg": (lambda: _svg(_path(MANY)), "16 MB"),
    "many lines.dxf": (lambda: _dxf(LINE * 108_000), "entities, vertices and table entries; 80000 are read"),
    "many elements.svg": (lambda: _svg("<g/>" * 100_001), "more than 100000 elements"),
    "points shown often.svg": (lambda: _svg(OFTEN), "8 million characters"),
    "curves of a kilometre.svg": (lambda: _svg(f'<path d="M0 0{LONG}"/>'), "come to more than"),
}
"""Each drawing, made when it is asked for, and what is said of it."""


@pytest.mark.parametrize("name", [name for name in HOSTILE if name != "points shown often.svg"])
def test_a_drawing_beyond_the_bounds_is_refused_with_what_to_do(name: str) -> None:
    """The bound is in the message, and the advice is to simplify, for exporting again would not help."""
    data, said = HOSTILE[name]
    drawing = data()
    started = time.process_time()
    error = _refused(name, drawing)
    assert said in str(error.message)
    assert str(error.advice).startswith("Simplify it")
    assert time.process_time() - started < 30


def test_path_data_shown_often_are_counted_out(monkeypatch: pytest.MonkeyPatch) -> None:
    """Path data that draw nothing cost time for every `use`, so their characters count."""
    monkeypatch.setattr(kitforge_svg, "MOST_TEXT", 400_000)
    assert "0.4 million characters" in str(_refused("a.svg", HOSTILE["points shown often.svg"][0]()).message)


def test_a_block_of_uses_is_stopped_by_the_count(monkeypatch: pytest.MonkeyPatch) -> None:
    """Ten uses of ten uses and so on come to ten million elements out of a kilobyte."""
    monkeypatch.setattr(kitforge_svg, "MOST_ELEMENTS", 10_000)
    levels = "".join(f'<g id="u{k}">' + f'<use href="#u{k - 1}"/>' * 10 + "</g>" for k in range(1, 8))
    bomb = _svg(f'<defs><g id="u0"><path d="M0 0L1 1"/></g>{levels}</defs><use href="#u7"/>')
    assert "more than 10000 entities or elements" in str(_refused("a.svg", bomb).message)


def test_a_hundred_thousand_lines_are_read() -> None:
    """The bound for plain lines is above what an honest, finely drawn outline has."""
    drawing = kitforge_dxf.kitforge_read_drawing("a.dxf", _polyline(_spots(100_000)), "mm", 0.0)
    assert isinstance(drawing, Drawing)
    assert len(drawing.whole.closed) == 1


def test_a_loose_line_counts_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """A line has two ends but is one piece: as many loose lines are read as the bound says, and not one more."""
    monkeypatch.setattr(kitforge_dxf, "MOST_PIECES", 500)
    rows = [f"0\nLINE\n8\n0\n10\n{k}\n20\n0\n11\n{k}\n21\n9\n" for k in range(501)]
    whole = kitforge_dxf.kitforge_read_drawing("a.dxf", _dxf("".join(rows[:500])), "mm", 0.0)
    assert whole is not None
    assert len(whole.whole.open) == 500
    assert "more than 500 lines and arcs" in str(_refused("a.dxf", _dxf("".join(rows))).message)
