"""Drawings that the fuzzer found or starts from: each is read, or refused with a DrawingError, in little time."""

from __future__ import annotations

import pathlib
import time

import pytest

import kitforge_dxf
import kitforge_svg
from kitforge.geometry.drawing import Drawing, DrawingError

SEEDS = sorted((pathlib.Path(__file__).parent / "seeds").iterdir())
# Faults of the readers that are known and not mended yet; strict, so that a mended one is taken off this list.
KNOWN = {
    "arc-backwards.svg": "an arc of an ellipse against the sense of its angle takes thousands of pieces, or is refused",
    "aspect-ratio.svg": "ValueError for a preserveAspectRatio of the root that is not understood",
    "encoding.svg": "LookupError for an encoding that does not exist",
    "insert-without-place.dxf": "AttributeError for an INSERT without a place",
    "layouts-unnamed.dxf": "AssertionError inside the library's audit",
    "table-without-head.dxf": "StopIteration inside the library for a table without its first tag",
    "unknown-kind.dxf": "DXFAttributeError for a kind of entity that the library does not know",
    "vertex-without-place.dxf": "AttributeError for a VERTEX without a place",
}


def read(path: pathlib.Path) -> Drawing | None:
    """The drawing, or None where it is refused in plain words."""
    plugin = kitforge_dxf if path.suffix == ".dxf" else kitforge_svg
    try:
        return plugin.kitforge_read_drawing(path.name, path.read_bytes(), None, 0.0)
    except DrawingError as error:
        assert str(error)
        return None


@pytest.mark.parametrize("path", SEEDS, ids=lambda path: path.name)
def test_a_seed_is_read_or_refused(path: pathlib.Path, request: pytest.FixtureRequest) -> None:
    if path.name in KNOWN:
        request.applymarker(pytest.mark.xfail(strict=True, reason=KNOWN[path.name]))
    started = time.monotonic()
    drawing = read(path)
    assert time.monotonic() - started < 10
    if path.name == "arc-backwards.svg":
        assert drawing is not None
        assert len(drawing.whole.open[0].vertices) < 100
