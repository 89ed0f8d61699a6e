"""Pictures of the page: each once, inside the page, however many languages show it.

A picture becomes a symbol of one hidden drawing and is shown by its number, which takes neither a script nor a file.
"""

from __future__ import annotations

import base64
import io
import re
from collections import Counter
from collections.abc import Container, Iterator, Mapping, Sequence
from dataclasses import fields, is_dataclass
from typing import NamedTuple

from kitforge.files.artefacts import kept_bytes
from kitforge.print.raster import Raster
from kitforge.print.svg import Picture, num


class DotQuality(NamedTuple):
    """Dots across the largest picture, and how finely it is kept (libwebp's quality)."""

    widest: int
    quality: int


FINENESS = ((24, DotQuality(900, 62)), (32, DotQuality(640, 55)), (10**9, DotQuality(560, 50)))
"""How finely pictures of dots are kept, up to how many: by eye at a screen's width, so that a page can be sent."""
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
    grain = next(quality for most, quality in FINENESS if dots <= most)
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
    """Return drawings with each long element that stands in them more than once at their head, and used.

    Elements that always follow each other, as those of one part do, stand there as one group.
    """
    counts = Counter(_PATH.findall(drawings))
    often = {path for path, count in counts.items() if count > 1 and len(path) >= _LONG}
    runs = _runs(drawings, often)
    places = {run[0]: number for number, run in enumerate(runs, 1)}
    followers = {path for run in runs for path in run[1:]}
    heads = "".join(_head(number, run) for number, run in enumerate(runs, 1))

    def used(match: re.Match[str]) -> str:
        if match[0] in followers:
            return ""
        place = places.get(match[0])
        return match[0] if place is None else f'<use href="#d{place}"/>'

    return f"<defs>{heads}</defs>{_PATH.sub(used, drawings)}"


def _head(number: int, run: Sequence[str]) -> str:
    """Return elements under a number: one bears it itself, several in a group."""
    if len(run) == 1:
        return f'<path id="d{number}"{run[0].removeprefix("<path")}'
    return f'<g id="d{number}">{"".join(run)}</g>'


def _runs(drawings: str, often: Container[str]) -> list[list[str]]:
    """Return the elements in the order they first stand in, those together that have the same neighbours everywhere."""
    before: dict[str, set[str]] = {}
    after: dict[str, set[str]] = {}
    first: dict[str, None] = {}
    last, end = "", -1
    for match in _PATH.finditer(drawings):
        path = match[0]
        neighbour = last if match.start() == end else ""
        if path in often:
            before.setdefault(path, set()).add(neighbour)
            first.setdefault(path)
        after.setdefault(last, set()).add(path if neighbour else "")
        last, end = path, match.end()
    after.setdefault(last, set()).add("")
    runs: list[list[str]] = []
    for path in first:
        ahead, *others = before[path]
        if runs and not others and ahead == runs[-1][-1] and after[ahead] == {path}:
            runs[-1].append(path)
        else:
            runs.append([path])
    return runs


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
