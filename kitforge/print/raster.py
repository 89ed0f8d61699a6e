"""Pictures made of dots: a PNG or JPEG with what it shows in words and its size on paper."""

from __future__ import annotations

import hashlib
import io
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PIL.Image import Image as Dots

DOTS_PER_MM = 7.0
"""178 to the inch, about what a desktop printer shows of a picture in colour."""

DRAWN = "drawn/"
"""What is drawn for one document lies there, each by a name that only its text has; all else is of the theme."""
_WHITE = 252
_JPEG = b"\xff\xd8"
_QUALITY = 90
SHOP_QUALITY = 92
"""Of a JPEG for a shop page, which is shown larger than on paper and made smaller by the shop once more."""


@dataclass(frozen=True, slots=True)
class Raster:
    """A finished picture: PNG or JPEG, what it shows in words, and its size on paper in mm."""

    data: bytes
    alt: str
    width: float
    height: float

    @property
    def src(self) -> str:
        """The address under which a template shows it; depends on the content alone."""
        kind = "jpg" if self.data.startswith(_JPEG) else "png"
        return f"{DRAWN}{hashlib.sha256(self.data).hexdigest()[:20]}.{kind}"


def for_print(picture: bytes | Dots, alt: str, width: float, height: float, dots: float = DOTS_PER_MM) -> Raster:
    """Return a picture (or a PNG) for paper: empty edges cut off, at most `width` x `height` mm, `dots` a mm.

    On white it is a JPEG, which goes into a PDF as it is; a clear picture keeps its transparency as PNG.
    """
    from PIL import Image

    image = trimmed(Image.open(io.BytesIO(picture)) if isinstance(picture, bytes) else picture)
    clear = image.mode == "RGBA"
    scale = min(width / image.width, height / image.height)
    size = round(image.width * scale * dots), round(image.height * scale * dots)
    paper = image.width * scale, image.height * scale
    if size[0] < image.width:
        image = resized(image, size)
    data = encoded(image, level=1) if clear else jpeg(image)  # the typesetter packs a PNG anew
    return Raster(data, alt, *paper)


def resized(image: Dots, size: tuple[int, int]) -> Dots:
    """Return a picture at another size, smoothed; dots that are clear lend no colour to those beside them."""
    from PIL import Image

    clear = image.mode == "RGBA"
    small = image.convert("RGBa" if clear else "RGB").resize(size, Image.Resampling.LANCZOS)
    return small.convert("RGBA") if clear else small


def trimmed(image: Dots) -> Dots:
    """Return a picture without its empty edges: white ones, or clear ones where it has transparency."""
    return (image if image.mode == "RGBA" else image.convert("RGB")).crop(shown_box(image))


def shown_box(image: Dots) -> tuple[int, int, int, int]:
    """Return left, top, right, bottom of what a picture shows beside white or clear dots, all of it if it is empty."""
    if image.mode == "RGBA":
        found = image.getchannel("A").getbbox()
    else:
        found = image.convert("L").point([255] * _WHITE + [0] * (256 - _WHITE)).getbbox()
    return found or (0, 0, image.width, image.height)


def encoded(image: Dots, level: int = 4) -> bytes:
    """Return a picture as PNG, the same bytes for the same dots. level: 1 packs quickly, 9 packs small."""
    out = io.BytesIO()
    image.save(out, "PNG", compress_level=level)
    return out.getvalue()


def jpeg(image: Dots, quality: int = _QUALITY) -> bytes:
    """Return a picture as JPEG with all of its colour, the same bytes for the same dots.

    Tables made for the one picture would save 2 % of its bytes and take as long again.
    """
    out = io.BytesIO()
    image.save(out, "JPEG", quality=quality, subsampling=0)
    return out.getvalue()
