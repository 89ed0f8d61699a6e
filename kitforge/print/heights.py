"""How tall pieces of a document are: each is laid out alone on pages of the document, all that are new at once.

A piece that was measured is known by its text, the elements that it stands in and all that it shows. It is kept, in
this process and where artefacts are kept, so that after an edit only what has changed is measured again.
"""

from __future__ import annotations

import hashlib
import json
import threading
from collections.abc import Callable, Sequence
from dataclasses import astuple, dataclass
from math import ceil
from typing import TYPE_CHECKING

from kitforge.files.artefacts import current
from kitforge.print.flow import MARK, Height, lower_edge, marked, space_below

if TYPE_CHECKING:
    from weasyprint import Document
    from weasyprint.formatting_structure.boxes import Box

SLACK = 0.05
"""Blocks that end so much, px, below the page still fit: sums are rounded. The typesetter allows nothing."""
_ABOVE = '<div style="height: 0.1px"></div>'
"""Below this a block keeps the space above it, which it loses at the head of a page."""
_MOST_KEPT = 4096
"""So many measured pieces stay in memory: some ten booklets, of which each height takes some hundred bytes."""


@dataclass(frozen=True, slots=True)
class Fragment:
    """A piece of a document, with the tags of the elements that it stands in, opened above it and closed below."""

    opened: str
    html: str
    closed: str


@dataclass(frozen=True, slots=True)
class PageSize:
    """Width of a page with its margins, and height of what stands on it, px."""

    width: float
    room: float


@dataclass(frozen=True, slots=True)
class _Measured:
    """The heights of the blocks of a fragment, and the page that it ends on."""

    heights: tuple[Height, ...]
    page: PageSize


_kept: dict[bytes, _Measured] = {}
_lock = threading.Lock()


def measured(
    head: str,
    fragments: Sequence[Fragment],
    look: Callable[[str], Document],
    shown: Callable[[str], bytes] | None = None,
) -> tuple[list[list[Height]], PageSize]:
    """Return the heights of the blocks of each fragment, set alone, and the page that the last of them stands on.

    head: the document up to its body; look: lays out a document; shown: says all that a text is laid out with beside
    the text itself, in bytes that differ wherever any of it does. Without that, nothing is kept.
    """
    keys = [_key(head, one, shown) for one in fragments]
    known = {key: one for key in keys if (one := _found(key)) is not None} if shown is not None else {}
    missing = {key: one for key, one in zip(keys, fragments, strict=True) if key not in known}
    if missing:
        fresh = dict(zip(missing, _laid_out(head, list(missing.values()), look), strict=True))
        if shown is not None:
            _keep(fresh)
        known |= fresh
    return [list(known[key].heights) for key in keys], known[keys[-1]].page


def _key(head: str, one: Fragment, shown: Callable[[str], bytes] | None) -> bytes:
    found = hashlib.sha256()
    for part in (head, one.opened, one.html, one.closed):
        data = part.encode("utf-8", "surrogatepass")
        found.update(f"{len(data)} ".encode() + data)
    if shown is not None:
        found.update(shown(head + one.opened + one.html))
    return found.digest()


def _found(key: bytes) -> _Measured | None:
    with _lock:
        found = _kept.get(key)
    store = current()
    if found is not None or store is None:
        return found
    data = store.cache.get(store.key("heights", key))
    if data is None:
        return None
    heights, page = json.loads(data)
    return _Measured(tuple(Height(*one) for one in heights), PageSize(*page))


def _keep(fresh: dict[bytes, _Measured]) -> None:
    store = current()
    if store is not None:
        for key, one in fresh.items():
            said = [[astuple(height) for height in one.heights], astuple(one.page)]
            store.cache.put(store.key("heights", key), json.dumps(said).encode())
    with _lock:
        _kept.update(fresh)
        for key in list(_kept)[: max(0, len(_kept) - _MOST_KEPT)]:  # those first that were measured first
            del _kept[key]


def _laid_out(head: str, fragments: Sequence[Fragment], look: Callable[[str], Document]) -> list[_Measured]:
    """Return the heights of fragments, all laid out at once, each from the head of a page on."""
    blocks = [
        f'{one.opened}<div {MARK}="{number}" style="display: flow-root; break-before: page">{_ABOVE}{one.html}</div>'
        f"{one.closed}"
        for number, one in enumerate(fragments)
    ]
    parts: dict[int, list[tuple[Box, Box]]] = {}
    document = look(head + "".join(blocks))
    for page, box in marked(document):
        parts.setdefault(int(box.element.get(MARK)), []).append((page, box))
    last = document.pages[-1]._page_box
    return [
        _Measured(tuple(_blocks(found)), _size(found[-1][0] if found else last))
        for found in (parts.get(number, []) for number in range(len(fragments)))
    ]


def _size(page: Box) -> PageSize:
    return PageSize(float(page.margin_width()), float(page.height))


def _blocks(parts: Sequence[tuple[Box, Box]]) -> list[Height]:
    """Return the heights of the blocks of a piece, of which each has a part on every page that it is on."""
    found: dict[int, list[tuple[Box, Box, float, float]]] = {}
    for number, (page, box) in enumerate(parts):
        children = [child for child in box.children if child.element is not box.element]
        before = float(box.content_box_y())
        if number == 0:
            before = lower_edge(children.pop(0))
        if not children:
            continue
        starts = [before, *(lower_edge(child) for child in children[:-1])]
        ends = [float(child.border_box_y()) for child in children[1:]]
        if number < len(parts) - 1:  # the box reaches down to the foot of the page
            ends.append(lower_edge(children[-1]) + space_below(children[-1]))
        else:
            ends.append(float(box.position_y + box.border_height()))
        for child, start, end in zip(children, starts, ends, strict=True):
            found.setdefault(id(child.element), []).append((page, child, start, end))
    return [_height(block) for block in found.values()]


def _height(parts: Sequence[tuple[Box, Box, float, float]]) -> Height:
    """Return the height of a block from its parts, each with its page, the end of what is above and where that below it
    begins, px."""
    (page, first, above, _), (_, last, _, below) = parts[0], parts[-1]
    ink = sum(float(box.border_height()) for _, box, _, _ in parts)
    pages = max(len(parts), ceil((ink - SLACK) / page.height))
    return Height(max(0.0, float(first.border_box_y()) - above), ink, max(0.0, below - lower_edge(last)), pages)
