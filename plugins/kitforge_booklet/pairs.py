"""Two pictures of one piece side by side, before and after a step: slanted boards leave corners free for each other."""

from __future__ import annotations

import io
import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kitforge.print.raster import resized, trimmed

if TYPE_CHECKING:
    from typing import Any

    import numpy as np
    from numpy.typing import NDArray
    from PIL.Image import Image as Dots

    from kitforge.pictures.drawn.shots import StepShot

LEAST = 28.0
"""The smaller picture is so wide at least, mm."""
# It is so wide at most, and no higher, mm; and at most this share of the height.
_MOST, _TALLEST, _SHARE = 40.0, 28.0, 0.75
_GAP = 3.0
# Fainter dots are shadow: it may run under the other picture.
_FAINT = 215
_ROWS_PER_MM = 2
# Where an empty row begins, widths of the picture to the right.
_FAR = 9.0


@dataclass(frozen=True, slots=True, eq=False)
class Sides:
    """A trimmed picture: its height, and per row where it begins and ends (far right and 0 where it is empty), all as
    shares of its width."""

    tall: float
    left: NDArray[np.floating[Any]]
    right: NDArray[np.floating[Any]]


@dataclass(frozen=True, slots=True)
class Pair:
    """How wide the picture before a step and the one after it are, and how far down the latter lies, mm."""

    before: float
    after: float
    down: float


def side_by_side(shot: StepShot, width: float, height: float, dots: float, least: float = LEAST) -> Dots:
    """Return one picture, `width` mm wide and up to `height` mm high: before at the left edge, after at the right one.

    dots: so many a mm; least: how wide the picture before the step is at least, mm.
    """
    from PIL import Image

    before = trimmed(Image.open(io.BytesIO(shot.before)))
    after = Image.open(io.BytesIO(shot.after)).crop(shot.box)
    pair = arranged(sides(before), sides(after), width, height, least)
    small, large = _scaled(before, pair.before * dots), _scaled(after, pair.after * dots)
    down = round(pair.down * dots)
    paper = Image.new("RGB", (round(width * dots), max(down + large.height, small.height)), (255, 255, 255))
    paper.paste(large, (paper.width - large.width, down))
    paper.paste(small, (0, 0), small)
    return paper


def arranged(before: Sides, after: Sides, width: float, height: float, least: float = LEAST) -> Pair:
    """Return the pair, the picture after the step as large as fits, lower if that helps, then the other one."""
    most = min(_MOST, _TALLEST / before.tall, _SHARE * height / before.tall)
    least = min(least, most)
    large = min(width, height / after.tall)
    while large > least and not _apart(before, after, Pair(least, large, height - large * after.tall), width):
        large -= 1
    down, lowest = 0.0, height - large * after.tall
    while down + 1 < lowest and not _apart(before, after, Pair(least, large, down), width):
        down += 1
    down = down if _apart(before, after, Pair(least, large, down), width) else lowest
    small = least
    while small + 1 <= most and _apart(before, after, Pair(small + 1, large, down), width):
        small += 1
    return Pair(small, large, down)


def _apart(before: Sides, after: Sides, pair: Pair, width: float) -> bool:
    """Whether a gap is left between the two, one at each end of `width` mm."""
    import numpy as np

    high, deep = pair.before * before.tall, pair.after * after.tall
    near = round(_GAP * _ROWS_PER_MM)
    rows = math.ceil(high * _ROWS_PER_MM) + near
    y = (np.arange(-near, rows) + 0.5) / _ROWS_PER_MM
    right = _at(before.right, y / high, 0.0) * pair.before
    left = width - pair.after + _at(after.left, (y - pair.down) / deep, _FAR) * pair.after
    reach = np.max([np.roll(right, move) for move in range(-near, near + 1)], axis=0)
    return bool((left - reach >= _GAP).all())


def _at(
    values: NDArray[np.floating[Any]], share: NDArray[np.floating[Any]], beyond: float
) -> NDArray[np.floating[Any]]:
    """Return the value of the row at a share of the height, `beyond` above the first and below the last row."""
    import numpy as np

    row = np.floor(share * len(values)).astype(np.intp)
    inside = (row >= 0) & (row < len(values))
    found: NDArray[np.floating[Any]] = np.where(inside, values[np.clip(row, 0, len(values) - 1)], beyond)
    return found


def sides(image: Dots) -> Sides:
    """Return where the rows of a trimmed picture begin and end."""
    import numpy as np

    clear = image.mode == "RGBA"
    dark = np.asarray(image)[..., 3] > 255 - _FAINT if clear else np.asarray(image.convert("L")) < _FAINT
    some, columns = dark.any(axis=1), dark.shape[1]
    left = np.where(some, dark.argmax(axis=1) / columns, _FAR)
    right = np.where(some, 1 - dark[:, ::-1].argmax(axis=1) / columns, 0.0)
    return Sides(dark.shape[0] / columns, left, right)


def _scaled(image: Dots, width: float) -> Dots:
    return resized(image, (max(1, round(width)), max(1, round(width * image.height / image.width))))
