"""The tree of a manuscript, and what its nodes say."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any, TypeAlias

from lxml import html
from sayings import Saying, lengths, of_lengths

Node: TypeAlias = Any
"""An element of a page; the library that reads it has no types."""
PLACE = "booklet"


def parsed(manuscript: str) -> Node:
    """Return a manuscript as a tree, a broken line as one line."""
    found: Node = html.fromstring(manuscript.replace("<br>", " "))
    return found


def text(node: Node) -> str:
    """Return what a node says, white space made single."""
    return " ".join(node.text_content().split())


def cells(row: Node) -> list[str]:
    """Return what the cells of a row say."""
    return [text(cell) for cell in row]


def section(page: Node, key: str) -> Node:
    """Return a section of the booklet."""
    found: Node = page.get_element_by_id(key)
    return found


def after(label: Node) -> str:
    """Return what stands beside a label."""
    return text(label.getparent()).removeprefix(text(label)).strip()


def together(names: Iterable[str]) -> str:
    """Return names as one value, in whatever order they are printed."""
    return "; ".join(sorted(set(names)))


def size_of(about: str, words: str, place: str) -> Iterator[Saying]:
    """Yield length, width and thickness of what is printed as "380 × 300 × 19 mm", or "Ø 150 × 9 mm" if it is round."""
    for found in lengths(words):
        if len(found) in (2, 3):
            sides = (found[0], *found) if f"Ø {words}".startswith("Ø Ø") and len(found) == 2 else found
            for side, one in zip(("length", "width", "thickness"), sides, strict=False):
                yield from of_lengths(f"{about}: {side}", [one], place)
