"""What a build makes at great cost and may find again: documents and pictures, by what they really read.

The cache is that of the process while a build lasts; threads that draw use it too. Without one, everything is made.
"""

from __future__ import annotations

import contextlib
import json
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, fields, is_dataclass
from enum import Enum
from typing import TYPE_CHECKING, Any

from kitforge.files.cache import FileCache, key_of

if TYPE_CHECKING:
    from PIL.Image import Image as Dots


@dataclass(frozen=True, slots=True)
class Artefacts:
    """A cache, the builder's sum that goes into every key, and what is told when something has to be made."""

    cache: FileCache
    builder: str
    missed: Callable[[], None] = lambda: None

    def key(self, kind: str, *parts: object) -> str:
        """Return the key of an artefact made from `parts`: records, numbers, texts, bytes, arrays, rows of these."""
        return key_of(kind, self.builder.encode(), *(piece for part in parts for piece in pieces(part)))

    def keys(self, kinds: Sequence[str], *parts: object) -> list[str]:
        """Return the keys of artefacts of several kinds that are made from the same parts, which are read once."""
        whole = self.key("parts", *parts)
        return [self.key(kind, whole) for kind in kinds]


_current: Artefacts | None = None


def current() -> Artefacts | None:
    """Return where artefacts are kept, or None."""
    return _current


@contextlib.contextmanager
def kept_in(artefacts: Artefacts | None) -> Iterator[None]:
    """Keep artefacts there until the block ends; None keeps nothing."""
    global _current  # noqa: PLW0603 - one build at a time in a process, seen by its threads
    before, _current = _current, artefacts
    try:
        yield
    finally:
        _current = before


def kept_bytes(kind: str, make: Callable[[], bytes], *parts: object) -> bytes:
    """Return what is quickly made from other artefacts, kept or made anew: a finished picture, a typeface."""
    store = _current
    if store is None:
        return make()
    key = store.key(kind, *parts)
    found = store.cache.get(key)
    if found is None:
        found = make()
        store.cache.put(key, found)
    return found


def kept_with(kind: str, make: Callable[[], tuple[bytes, Any]], *parts: object) -> tuple[bytes, Any]:
    """Return the bytes of `kept_bytes` and what JSON can hold beside them, kept or made anew."""
    store = _current
    if store is None:
        return make()
    key, beside = store.keys((kind, f"{kind}-json"), *parts)
    found, said = store.cache.get(key), store.cache.get(beside)
    if found is not None and said is not None:
        return found, json.loads(said)
    made, more = make()
    store.cache.put(key, made)
    store.cache.put(beside, json.dumps(more).encode())
    return made, more


def kept_image(kind: str, make: Callable[[], tuple[Dots, Any]], *parts: object) -> tuple[Dots, Any]:
    """Return a picture and what JSON can hold beside it, kept without loss or made anew."""
    store = _current
    if store is None:
        return make()
    key, beside = store.keys((f"{kind}-png", f"{kind}-json"), *parts)
    dots, said = store.cache.get(key), store.cache.get(beside)
    if dots is not None and said is not None and (found := _opened(dots)) is not None:
        return found, json.loads(said)
    store.missed()
    image, more = make()
    store.cache.put(key, _png(image))
    store.cache.put(beside, json.dumps(more).encode())
    return image, more


def pieces(part: object) -> Iterator[bytes]:
    """Yield bytes that differ wherever two records do: every field, every element with how many there are.

    Raises TypeError for what has no such form, so that nothing is left out in silence.
    """
    if isinstance(part, tuple | list):
        yield f"t{len(part)}".encode()
        for one in part:
            yield from pieces(one)
    elif is_dataclass(part) and not isinstance(part, type):
        yield f"r{type(part).__qualname__}".encode()
        for field in fields(part):
            yield from pieces(getattr(part, field.name))
    else:
        yield from _simple(part)


def _simple(part: Any) -> Iterator[bytes]:  # noqa: ANN401 - arrays and areas are told by what they can
    if isinstance(part, bytes):
        yield b"b" + part
    elif isinstance(part, Enum):
        yield f"e{type(part).__qualname__}.{part.name}".encode()
    elif isinstance(part, str):
        yield b"s" + part.encode("utf-8", "surrogatepass")
    elif part is None or isinstance(part, bool | int | float):
        yield f"{type(part).__name__} {part!r}".encode()
    elif hasattr(part, "wkb"):  # an area: well-known binary, OGC Simple Features
        yield b"w" + bytes(part.wkb)
    elif hasattr(part, "dtype") and hasattr(part, "tobytes"):
        yield f"a{part.dtype.str}{part.shape}".encode()
        yield part.tobytes()
    else:
        raise TypeError(f"{type(part).__name__} cannot be part of a key")


def _opened(png: bytes) -> Dots | None:
    import io

    from PIL import Image, UnidentifiedImageError

    try:
        image = Image.open(io.BytesIO(png), formats=("PNG",))
        image.load()
    except (UnidentifiedImageError, OSError, ValueError):
        return None
    return image


def _png(image: Dots) -> bytes:
    import io

    out = io.BytesIO()
    image.save(out, "PNG", compress_level=1)
    return out.getvalue()
