"""Frames for the shop: the same photograph on a warm floor or on pure white, wide, square and upright."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from kitforge.model.identity import IdentityKey
from kitforge.pictures.studio.colours import printed
from kitforge.pictures.studio.photograph import GROUND_DOTS, Photo

if TYPE_CHECKING:
    from typing import Any

    from PIL.Image import Image as Dots

    Values = NDArray[np.floating[Any]]

FILL = 0.85
"""Share of the frame that the side takes up which limits the object."""
# Of light that is reflected: red, green, blue of the floor at the back of the picture and at its front.
_BACK, _FRONT = (0.86, 0.835, 0.795), (0.66, 0.63, 0.585)
# A white frame is white up to the first share of its side, and as the light fell from the second on.
_WHITE_EDGE = (0.022, 0.08)
# So little is not worth a loss of sharpness.
_AS_IT_IS = 0.005
# Steps of a colour's last bit are hidden by a fixed pattern: the thresholds of an 8 x 8 ordered dither.
_PATTERN = 8
_STRIP = 32


@dataclass(frozen=True, slots=True)
class Frame:
    """A picture of the shop page. white: on pure white, else on a warm floor."""

    name: str
    width: int
    height: int
    white: bool = False


FRAMES = tuple(
    Frame(f"cover{on}{form}", *size, white)
    for white, on in ((False, ""), (True, "-white"))
    for form, size in (("", (2000, 1500)), ("-square", (2000, 2000)), ("-upright", (1500, 2000)))
)


def full(photo: Photo) -> Dots:
    """Return a photograph as it was taken, up to its edges, on the floor."""
    rows, columns = photo.share.shape
    frame = Frame("full", columns, rows)
    image = _resized(IdentityKey(photo), 1.0)
    paper = _paper(frame, _ground_in(IdentityKey(photo), (columns, rows), (0, 0), 1.0))
    paper.paste(image, (0, 0), image)
    return paper


def framed(photo: Photo, frame: Frame) -> Dots:
    """Return a photograph in a frame, the object in its middle."""
    image, place = _scaled(photo, frame)
    paper = _paper(
        frame,
        _ground_in(IdentityKey(photo), (frame.width, frame.height), place, scale_in(photo, frame.width, frame.height)),
    )
    paper.paste(image, place, image)
    return paper


def scale_in(photo: Photo, width: int, height: int) -> float:
    """Return by how much a photograph is made smaller, so that its object takes up its share of a frame."""
    left, top, right, bottom = photo.box
    return min(FILL * width / (right - left), FILL * height / (bottom - top))


def _scaled(photo: Photo, frame: Frame) -> tuple[Dots, tuple[int, int]]:
    """Return the object (RGBA), and where its corner lies in the frame."""
    left, top, right, bottom = photo.box
    scale = scale_in(photo, frame.width, frame.height)
    image = _resized(IdentityKey(photo), scale)
    x = round(frame.width / 2 - (left + right) / 2 * scale)
    y = round(frame.height / 2 - (top + bottom) / 2 * scale)
    return image, (x, y)


@lru_cache(maxsize=4)
def _resized(same: IdentityKey[Photo], scale: float) -> Dots:
    """Return the object at a scale; frames of one size share it."""
    from PIL import Image

    if abs(scale - 1) <= _AS_IT_IS:
        return Image.fromarray(same.one.clear)
    image = _ready(same)
    size = round(image.width * scale), round(image.height * scale)
    return image.resize(size, Image.Resampling.LANCZOS).convert("RGBA")


@lru_cache(maxsize=1)
def _ready(same: IdentityKey[Photo]) -> Dots:
    """Return the object ready to be made smaller: colours by how much of the dot it takes."""
    from PIL import Image

    return Image.fromarray(same.one.clear).convert("RGBa")


@lru_cache(maxsize=3)
def _ground_in(
    same: IdentityKey[Photo], size: tuple[int, int], place: tuple[int, int], scale: float
) -> NDArray[np.float32]:
    """Return the light on the ground of a whole frame: that of the photograph where it lies in it, else open."""
    photo = same.one
    per, rows = GROUND_DOTS * scale, photo.ground.shape[0]
    # Rows of large dots were counted from below, so that they end at the paper's lower edge.
    low = place[1] + (photo.share.shape[0] + photo.rim) * scale
    left, top = (place[0] - photo.rim * scale) / per, (low - rows * per) / per
    padded = np.pad(photo.ground, 1, constant_values=1)
    (column, across), (row, down) = (
        _between(count, per, first, cells)
        for count, first, cells in zip(size, (left, top), reversed(padded.shape), strict=True)
    )
    wide = padded[:, column] * (1 - across) + padded[:, column + 1] * across
    found = np.empty((size[1], size[0]), dtype=np.float32)
    for first in range(0, size[1], _STRIP):  # whose arrays stay in the cache
        rows = slice(first, first + _STRIP)
        found[rows] = wide[row[rows]] * (1 - down[rows, None])
        found[rows] += wide[row[rows] + 1] * down[rows, None]
    return found


def _between(count: int, per: float, first: float, cells: int) -> tuple[NDArray[np.intp], NDArray[np.float32]]:
    """Return for `count` dots the large dot, of `cells` with a rim of one, before each, and how far on it lies.

    per: dots to a large one; first: where the first large one begins, in large ones.
    """
    at = np.clip((np.arange(count) + 0.5) / per + 0.5 - first, 0, cells - 1)
    before = np.minimum(at.astype(np.intp), cells - 2)
    return before, (at - before).astype(np.float32)


def _paper(frame: Frame, whole: NDArray[np.float32]) -> Dots:
    """Return the ground of a frame with the light on it."""
    from PIL import Image

    if frame.white:
        whole = _ending_inside(whole)
        return Image.merge("RGB", [Image.fromarray(_exact(whole))] * 3)
    dither = _dither(frame.width)
    down = (np.arange(frame.height, dtype=np.float32) / frame.height)[:, None]
    bands = [np.empty(whole.shape, dtype=np.uint8) for _ in _BACK]
    for first in range(0, frame.height, _STRIP):  # whose arrays stay in the cache
        rows = slice(first, first + _STRIP)
        for band, back, front in zip(bands, _BACK, _FRONT, strict=True):
            ground = whole[rows] * (np.float32(back) + np.float32(front - back) * down[rows])
            ground += dither[: len(ground)]
            band[rows] = printed(ground)
    return Image.merge("RGB", [Image.fromarray(band) for band in bands])


def _ending_inside(whole: Values) -> Values:
    """Return the light on a ground whose shade ends before the edges of the picture do."""
    rows, columns = whole.shape
    return 1 - (1 - whole) * _inward(rows)[:, None] * _inward(columns)[None, :]


def _inward(count: int) -> NDArray[np.float32]:
    """Return how much of a shade is left from one edge of a white frame to the other: none at both, smoothly.

    Soft light darkens the ground far beyond an object; a picture on a white page must end in white.
    """
    near, far = _WHITE_EDGE
    place = (np.arange(count, dtype=np.float32) + np.float32(0.5)) / np.float32(count)
    share = np.clip((np.minimum(place, 1 - place) - np.float32(near)) / np.float32(far - near), 0, 1)
    found: NDArray[np.float32] = share * share * (3 - 2 * share)
    return found


def _exact(light: Values) -> NDArray[np.uint8]:
    """Return light on white, where open ground is 255."""
    found = np.empty(light.shape, dtype=np.uint8)
    for first in range(0, light.shape[0], _STRIP):
        rows = slice(first, first + _STRIP)
        found[rows] = _on_white().take(printed(np.float32(0.995) * light[rows]))
    return found


@lru_cache(maxsize=1)
def _on_white() -> NDArray[np.uint8]:
    """Return for each byte of a print what it is on a ground whose own byte becomes 255."""
    top = int(printed(np.array([0.995], dtype=np.float32))[0])
    return np.minimum(np.arange(256, dtype=np.int32) * 255 // top, 255).astype(np.uint8)


@lru_cache(maxsize=3)
def _dither(columns: int) -> NDArray[np.float32]:
    """Return half a step of the last bit up or down, in a fixed pattern, for a strip of rows."""
    pattern = np.zeros((1, 1))
    while pattern.shape[0] < _PATTERN:
        pattern = np.block([[4 * pattern, 4 * pattern + 2], [4 * pattern + 3, 4 * pattern + 1]])
    small = ((pattern + 0.5) / _PATTERN**2 - 0.5) / 160
    return np.tile(small.astype(np.float32), (_STRIP // _PATTERN, -(-columns // _PATTERN)))[:, :columns]


def clear(photo: Photo, width: int, height: int) -> Dots:
    """Return the object with its shadow on clear ground, filling its share of `width` x `height` dots."""
    from PIL import Image

    frame = Frame("clear", width, height)
    image, place = _scaled(photo, frame)
    # A shadow on paper of any colour: black that lets through what light there is, as a print shows it.
    ground = _ground_in(IdentityKey(photo), (width, height), place, scale_in(photo, width, height))
    dark = 255 - _exact(_ending_inside(ground))  # else the page shows where the picture ends
    tinted = np.zeros((*dark.shape, 4), dtype=np.uint8)
    tinted[..., :3], tinted[..., 3] = (20, 16, 12), dark
    laid = Image.new("RGBA", (width, height), (0, 0, 0, 0))
    laid.paste(image, place)
    return Image.alpha_composite(Image.fromarray(tinted), laid)
