"""Pictures of the page: each once, inside the page, however many languages show it.

A picture becomes a symbol of one hidden drawing and is shown by its number, which takes neither a script nor a file.
"""

from __future__ import annotations

import base64
import io
import re
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass

from kitforge.files.artefacts import current
from kitforge.print.raster import Raster
from kitforge.print.svg import Picture, num

WIDEST, NARROWER, QUALITY = 900, 640, 62
"""Dots across the largest picture, and how finely it is kept: chosen by eye at a whole screen's width."""
_MANY = 24
"""With more pictures of dots than that they are kept narrower, so that the page stays small enough to be sent."""
_DOTS_PER_MM = 7.0
_ROOT = re.compile(r"<svg\b[^>]*>(?:\s*<title>.*?</title>)?(.*)</svg>\s*\Z", re.DOTALL)
_INNER = re.compile(r'href="/(drawn/[0-9a-f]+\.(?:png|jpg))"')


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
    """Return the hidden drawing that holds the pictures. shown: the number of each by its address."""
    dots = sum(isinstance(pictures[src], Raster) for src in shown)
    widest = WIDEST if dots <= _MANY else NARROWER
    parts = [_symbol(number, pictures[src], pictures, widest) for src, number in shown.items()]
    return f'<svg class="store" aria-hidden="true" width="0" height="0">{"".join(parts)}</svg>'


def _symbol(number: int, picture: Picture | Raster, pictures: Mapping[str, Picture | Raster], widest: int) -> str:
    width, height = num(picture.width), num(picture.height)
    if isinstance(picture, Raster):
        body = f'<image width="{width}" height="{height}" href="{_address(picture, widest)}"/>'
        return f'<symbol id="p{number}" viewBox="0 0 {width} {height}">{body}</symbol>'
    return f'<symbol id="p{number}" viewBox="0 0 {width} {height}">{_inside(picture, pictures, widest)}</symbol>'


def _inside(picture: Picture, pictures: Mapping[str, Picture | Raster], widest: int) -> str:
    """Return a drawing without its root, the pictures of dots in it as addresses that hold their data."""
    found = _ROOT.search(picture.svg)
    if found is None:
        raise ValueError("a picture is no drawing")

    def held(match: re.Match[str]) -> str:
        dots = pictures[match[1]]
        assert isinstance(dots, Raster)
        return f'href="{_address(dots, widest)}"'

    return re.sub(r"\s*\n\s*", "", _INNER.sub(held, found[1]))


def _address(picture: Raster, widest: int) -> str:
    return f"data:image/webp;base64,{base64.b64encode(_small(picture, widest)).decode('ascii')}"


def _small(picture: Raster, widest: int) -> bytes:
    """Return a picture as WebP, no larger than a screen shows it, kept or made anew."""
    store = current()
    key = store.key("page-webp", picture.data, picture.width, widest, QUALITY) if store else ""
    found = store.cache.get(key) if store else None
    if found is None:
        found = _encoded(picture, widest)
        if store:
            store.cache.put(key, found)
    return found


def _encoded(picture: Raster, widest: int) -> bytes:
    from PIL import Image

    opened = Image.open(io.BytesIO(picture.data))
    image = opened.convert("RGBA" if "A" in opened.mode or "transparency" in opened.info else "RGB")
    most = min(widest, round(picture.width * _DOTS_PER_MM * 2))
    if image.width > most:
        image = image.resize((most, max(1, round(image.height * most / image.width))), Image.Resampling.LANCZOS)
    out = io.BytesIO()
    image.save(out, "WEBP", quality=QUALITY, method=4, exact=False)
    return out.getvalue()
