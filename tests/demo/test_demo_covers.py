"""Covers of the demo kits, measured: how much of the frame they fill, their ground, and what is darkest."""

from __future__ import annotations

import io

import numpy as np
import pytest
from demo_kits import DEMOS, demo
from PIL import Image

from kitforge.pictures.studio.frames import FRAMES, clear


def cover(kit: str, name: str) -> np.ndarray:
    """The dots of a cover, shape (rows, columns, 3)."""
    return np.asarray(Image.open(io.BytesIO(demo(kit).files[f"pictures/{name}.jpg"])).convert("RGB"))


@pytest.mark.parametrize("kit", DEMOS)
def test_the_limiting_side_of_the_object_fills_80_to_88_percent_of_every_frame(kit: str) -> None:
    photo = demo(kit).photo
    for frame in FRAMES:
        wide, tall = frame.width // 2, frame.height // 2  # as the photographs of the tests
        alone = np.asarray(clear(photo, wide, tall).getchannel("A")) > 250
        rows, columns = np.flatnonzero(alone.any(axis=1)), np.flatnonzero(alone.any(axis=0))
        fills = np.ptp(columns) / wide, np.ptp(rows) / tall
        assert 0.80 <= max(fills) <= 0.88, (frame.name, fills)


@pytest.mark.parametrize("kit", DEMOS)
def test_a_cover_has_a_ground_with_a_gradient_or_pure_white_and_no_black_or_burnt_wood(kit: str) -> None:
    floor = cover(kit, "cover").astype(int)
    top, low = floor[:8].mean(axis=(0, 1)), floor[-8:].mean(axis=(0, 1))
    assert (top > low + 8).all()
    assert low[0] > low[2], "the floor is warm"
    assert (floor == 255).mean() < 1e-5, "no burnt wood"
    assert np.percentile(floor.min(axis=2), 0.05) > 8, "shadows are not clipped"
    white = cover(kit, "cover-white-square")
    rim = len(white) // 50
    assert (white[:rim, :rim] == 255).all()
    assert (white[-rim:, :rim] == 255).all()
