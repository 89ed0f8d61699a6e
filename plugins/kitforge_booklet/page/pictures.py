"""Pictures of the page: each once, inside the page, however many languages show it.

A picture becomes a symbol of one hidden drawing and is shown by its number, which takes neither a script nor a file.
"""

from __future__ import annotations

import base64
import io
import re
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from typing import NamedTuple

from kitforge.files.artefacts import kept_bytes
from kitforge.print.raster import Raster
from kitforge.print.svg import Picture, num


class DotQuality(NamedTuple):
    """Dots across the largest picture, and how finely it is kept (libwebp's quality)."""

    widest: int
    quality: int


FEW, MANY = DotQuality(900, 62), DotQuality(640, 55)
"""Chosen by eye at a whole screen's width: a page of many pictures stays small enough to be sent."""
_MANY = 24
"""With more pictures of dots than that they are kept coarser."""
_DOTS_PER_MM = 7.0
_ROOT = re.compile(r"<svg\b[^>]*>(?:\s*<title>.*?</title>)?(.*)</svg>\s*\Z", re.DOTALL)
_INNER = re.compile(r'href="/(drawn/[0-9a-f]+\.(?:png|jpg))"')
_IMAGE = re.compile(r'<image ([^>]*?) ?href="/(drawn/[0-9a-f]+\.(?:png|jpg))"/>')
_PATH = re.compile(r"<path\b[^>]*/>")
_LONG = 60
"""Signs of an element from which on a use is shorter by more than it costs to read."""


def pictures_of(value: object) -> Iterator[Picture | Raster]:
    """Yield every picture in a record of records."""
    if isinstance(value, Picture | Raster):
        yield value
    elif is_dataclass(value) and not isinstance(value, type):
        for field in fields(value):
            yield from pictures_of(getattr(value, field.name))
    elif isinstance(value, tuple | list):
        for item in value:
            yield from pictures_of(item)


def symbols(pictures: Mapping[str, Picture | Raster], shown: Mapping[str, int]) -> str:
    """Return the hidden drawing that holds the pictures. shown: the number of each by its address.

    What stands in several of them stands there once: pictures of dots within drawings, and elements of drawings.
    """
    inner = {src: numbers for numbers, src in enumerate(_inner(pictures, shown), max(shown.values(), default=0) + 1)}
    numbers = {**shown, **inner}
    dots = sum(isinstance(pictures[src], Raster) for src in numbers)
    grain = FEW if dots <= _MANY else MANY
    whole = "".join(_symbol(pictures[src], numbers, number, grain) for src, number in numbers.items())
    return f'<svg class="store" aria-hidden="true" width="0" height="0">{_shared(whole)}</svg>'


def _inner(pictures: Mapping[str, Picture | Raster], shown: Mapping[str, int]) -> tuple[str, ...]:
    """Return the addresses of pictures of dots that only drawings show."""
    drawings = (picture for src in shown if isinstance(picture := pictures[src], Picture))
    found = dict.fromkeys(src for drawing in drawings for src in _INNER.findall(drawing.svg))
    return tuple(src for src in found if src not in shown)


def _symbol(picture: Picture | Raster, numbers: Mapping[str, int], number: int, grain: DotQuality) -> str:
    width, height = num(picture.width), num(picture.height)
    if isinstance(picture, Raster):
        body = f'<image width="{width}" height="{height}" href="{_address(picture, grain)}"/>'
    else:
        body = _inside(picture, numbers)
    return f'<symbol id="p{number}" viewBox="0 0 {width} {height}">{body}</symbol>'


def _inside(picture: Picture, numbers: Mapping[str, int]) -> str:
    """Return a drawing without its root, the pictures of dots in it as uses of their own symbols."""
    found = _ROOT.search(picture.svg)
    if found is None:
        raise ValueError("a picture is no drawing")
    body = _IMAGE.sub(lambda match: f'<use {match[1]} href="#p{numbers[match[2]]}"/>', found[1])
    return re.sub(r"\s*\n\s*", "", body)


def _shared(drawings: str) -> str:
    """Return drawings with each long element that stands in them more than once at their head, and used."""
    counts = Counter(_PATH.findall(drawings))
    often = [path for path, count in counts.items() if count > 1 and len(path) >= _LONG]
    places = {path: number for number, path in enumerate(often, 1)}
    heads = "".join(f'<path id="d{number}"{path.removeprefix("<path")}' for path, number in places.items())

    def used(match: re.Match[str]) -> str:
        place = places.get(match[0])
        return match[0] if place is None else f'<use href="#d{place}"/>'

    return f"<defs>{heads}</defs>{_PATH.sub(used, drawings)}"


def _address(picture: Raster, grain: DotQuality) -> str:
    return f"data:image/webp;base64,{base64.b64encode(_small(picture, grain)).decode('ascii')}"


def _small(picture: Raster, grain: DotQuality) -> bytes:
    """Return a picture as WebP, no larger than a screen shows it, kept or made anew."""
    return kept_bytes("page-webp", lambda: _encoded(picture, grain), picture.data, picture.width, *grain)


def _encoded(picture: Raster, grain: DotQuality) -> bytes:
    from PIL import Image

    opened = Image.open(io.BytesIO(picture.data))
    image = opened.convert("RGBA" if "A" in opened.mode or "transparency" in opened.info else "RGB")
    most = min(grain.widest, round(picture.width * _DOTS_PER_MM * 2))
    if image.width > most:
        image = image.resize((most, max(1, round(image.height * most / image.width))), Image.Resampling.LANCZOS)
    out = io.BytesIO()
    image.save(out, "WEBP", quality=grain.quality, method=4, exact=False)
    return out.getvalue()
