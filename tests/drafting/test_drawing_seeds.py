"""Drawings that the fuzzer found or starts from: each is read, or refused with a DrawingError, in little time."""

from __future__ import annotations

import pathlib
import time

import pytest

import kitforge_dxf
import kitforge_svg
from kitforge.model.drawing import Drawing, DrawingError

SEEDS = sorted((pathlib.Path(__file__).parent / "seeds").iterdir())


def read(path: pathlib.Path) -> Drawing | None:
    """The drawing, or None where it is refused in plain words."""
    reader = (kitforge_dxf if path.suffix == ".dxf" else kitforge_svg).kitforge_read_drawing
    try:
        found: Drawing | None = reader(path.name, path.read_bytes(), None, 0.0)
        return found
    except DrawingError as error:
        assert str(error)
        return None


@pytest.mark.parametrize("path", SEEDS, ids=lambda path: path.name)
def test_a_seed_is_read_or_refused(path: pathlib.Path) -> None:
    started = time.process_time()
    drawing = read(path)
    assert time.process_time() - started < 10
    if path.name == "arc-backwards.svg":
        assert drawing is not None
        assert len(drawing.whole.open[0].vertices) < 100
