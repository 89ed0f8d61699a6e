"""The pictures before and after a step share their room without touching."""

from __future__ import annotations

import io

import numpy as np
import pytest
from PIL import Image, ImageDraw

from kitforge.pictures.drawn.shots import StepShot
from kitforge.print.raster import shown_box
from kitforge_booklet.pairs import arranged, side_by_side, sides

Corners = tuple[tuple[int, int], ...]
SLANTED: Corners = ((0, 200), (330, 0), (600, 250), (270, 450))
TALL: Corners = ((0, 60), (90, 0), (200, 600), (110, 660))
LONG: Corners = ((0, 220), (560, 0), (600, 60), (40, 280))


def drawn(corners: Corners, *, clear: bool) -> bytes:
    """Return a dark shape as PNG, clear or on white."""
    size = max(x for x, _ in corners) + 20, max(y for _, y in corners) + 20
    image = Image.new("RGBA", size, (255, 255, 255, 0 if clear else 255))
    ImageDraw.Draw(image).polygon(
        [(x + 10, y + 10) for x, y in corners], fill=(30, 90, 30, 255) if clear else (90, 30, 30, 255)
    )
    out = io.BytesIO()
    (image if clear else image.convert("RGB")).save(out, "PNG")
    return out.getvalue()


@pytest.mark.parametrize("height", [43.0, 60.0, 85.0])
@pytest.mark.parametrize("corners", [SLANTED, TALL, LONG], ids=["slanted", "tall", "long"])
def test_both_are_whole_inside_the_room_and_apart(corners: Corners, height: float) -> None:
    """No dot of one lies within 2 mm of the other, neither is cut off, and the later one is the larger."""
    from scipy.ndimage import distance_transform_edt

    after = drawn(corners, clear=False)
    shot = StepShot(after, drawn(corners, clear=True), shown_box(Image.open(io.BytesIO(after))), 1.0)
    dots = np.asarray(side_by_side(shot, 114.0, height, 4.0)).astype(int)
    assert dots.shape[1] == 456
    assert dots.shape[0] <= height * 4 + 2
    before, after = dots[..., 1] - dots[..., 0] > 30, dots[..., 0] - dots[..., 1] > 30
    assert before.sum() < after.sum()
    assert distance_transform_edt(~before)[after].min() >= 2 * 4
    share = {name: mask.any(axis=1).sum() / mask.any(axis=0).sum() for name, mask in (("b", before), ("a", after))}
    assert share["b"] == pytest.approx(share["a"], rel=0.06)


def test_a_slanted_board_is_larger_than_side_by_side() -> None:
    """With room above, the later picture reaches under the earlier one: more than what lies beside it."""
    outline = sides(Image.open(io.BytesIO(drawn(SLANTED, clear=False))).crop((10, 10, 610, 460)))
    pair = arranged(outline, outline, 100.0, 80.0)
    assert pair.after > 100.0 - pair.before
    assert pair.down > 0
