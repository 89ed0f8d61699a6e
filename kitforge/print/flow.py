"""A document as the blocks that its pages are filled with: between them it may be parted, or is kept together.

They are read from a document that was laid out on one page without end, where nothing is parted yet.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from weasyprint import Document
    from weasyprint.formatting_structure.boxes import Box

MARK = "data-course"
_WIDOWS = 2
"""So many lines of a paragraph, rows of a table and lines of a list stay together at least."""


@dataclass(frozen=True, slots=True)
class Height:
    """How tall a block is, px, the space above and below it, and on how many pages it stands alone.

    lead: below nothing where it stands beside what is above it; keeps: it is not parted from the next one; opens: it
    begins a page; again: what stands above it once more where it begins a page, the head of a table.
    """

    lead: float
    ink: float
    gap: float
    pages: int
    keeps: bool = False
    opens: bool = False
    again: float = 0.0


_OPENED = Height(0.0, 0.0, 0.0, 1, keeps=True, opens=True)


@dataclass(frozen=True, slots=True)
class _Part:
    """A block from its upper to its lower edge, px, the margin below it; or a mark without height."""

    top: float
    low: float
    below: float = 0.0
    keeps: bool = False
    again: float = 0.0
    mark: str | None = None


def stretches(document: Document) -> dict[str, list[Height]]:
    """Return the blocks before each mark of a document, by the mark, and by "" those below the last one."""
    found: dict[str, list[Height]] = {}
    blocks: list[Height] = []
    for number, page in enumerate(document.pages):
        low, opens = 0.0, True
        for part in _parts(page._page_box):
            if part.mark is not None:
                found[part.mark] = [*blocks, *([_OPENED] if opens and number else [])]
                blocks, opens = [], False
                continue
            lead = 0.0 if opens else part.top - low
            blocks.append(Height(lead, part.low - part.top, part.below, 1, part.keeps, opens, part.again))
            low, opens = part.low, False
    return {**found, "": blocks}


def _parts(box: Box) -> list[_Part]:
    """Return the blocks in a box, those that its style keeps together joined."""
    mark = _mark(box)
    if mark is not None:
        return [_Part(float(box.position_y), float(box.position_y), mark=mark)]
    children = [child for child in getattr(box, "children", ()) if child.is_in_normal_flow()]
    style = box.style
    whole = style["break_inside"] in ("avoid", "avoid-page") or not children
    if whole or (_is(box, "BlockContainerBox") and not _is(children[0], "LineBox", "BlockLevelBox")):
        return [_whole(box)]
    if _is(box, "TableBox"):
        return _rows(box)
    if style["column_count"] != "auto" or style["column_width"] != "auto":
        found = _few(_joined(children[0]))
        return [*found[:-1], replace(found[-1], low=_whole(box).low)] if found[-1].mark is None else found
    if _is(children[0], "LineBox"):
        return _few([_whole(line) for line in children], below=float(box.margin_bottom))
    if _is(box, "BlockBox", "PageBox", "MarginBox", "TableCellBox") or box.element_tag in ("html", "body"):
        return _joined(box)
    return [_whole(box)]


def _joined(box: Box) -> list[_Part]:
    """Return the blocks of all children of a box, and which of them keep the next one."""
    found: list[_Part] = []
    last: Box | None = None
    for child in box.children:
        if not child.is_in_normal_flow() or _is(child, "MarginBox"):
            continue
        parts = _parts(child)
        if found and last is not None and found[-1].mark is None and (_holds(last) or _clings(child)):
            found[-1] = replace(found[-1], keeps=True)
        found += parts
        last = child
    if found and found[-1].mark is None and not _is(box, "PageBox"):
        found[-1] = replace(found[-1], below=max(found[-1].below, float(box.margin_bottom)))
    return found


def _rows(table: Box) -> list[_Part]:
    """Return the rows of a table; below its head the first one, and each one that begins a page, stands again.

    The first and the last one reach as far as the table, of whose rule at either edge half stands outside of its rows.
    """
    heads = [group for group in table.children if getattr(group, "is_header", False)]
    bodies = [group for group in table.children if group not in heads]
    again = sum(float(group.height) for group in heads)
    rows: list[tuple[Box, Box]] = [(group, row) for group in bodies for row in group.children]
    found = [
        _Part(
            float(row.position_y) if number else float(table.border_box_y()),
            float(row.position_y + row.height) if number < len(rows) - 1 else lower_edge(table),
            keeps=number < len(rows) - 1
            and (_holds(row) or _clings(rows[number + 1][1]) or (group is not rows[number + 1][0] and _holds(group))),
            again=again if number else 0.0,
        )
        for number, (group, row) in enumerate(rows)
    ]
    return found or [_whole(table)]


def _few(parts: Sequence[_Part], below: float = 0.0) -> list[_Part]:
    """Return blocks of which the first ones and the last ones stay together."""
    count = len(parts)
    return [
        replace(
            part,
            keeps=part.keeps or (number < count - 1 and (number < _WIDOWS - 1 or number >= count - _WIDOWS)),
            below=below if number == count - 1 else part.below,
        )
        for number, part in enumerate(parts)
    ]


def lower_edge(box: Box) -> float:
    """Return how far down the ink of a box reaches, px."""
    return float(box.border_box_y() + box.border_height())


def space_below(box: Box) -> float:
    """Return the margin below a box, px, into which those of what ends it have collapsed."""
    own = 0.0 if box.margin_bottom in (None, "auto") else float(box.margin_bottom)
    children = [child for child in getattr(box, "children", ()) if child.is_in_normal_flow()]
    closed = box.padding_bottom or box.border_bottom_width
    if closed or not children or not _is(box, "BlockBox") or not _is(children[-1], "BlockBox"):
        return own
    return max(own, space_below(children[-1]))


def _whole(box: Box) -> _Part:
    top = float(box.border_box_y()) if not _is(box, "LineBox") else float(box.position_y)
    tall = float(box.border_height()) if not _is(box, "LineBox") else float(box.height)
    margin = box.margin_bottom if not _is(box, "LineBox") else 0.0
    return _Part(top, top + tall, float(margin) if margin not in (None, "auto") else 0.0)


def _holds(box: Box) -> bool:
    """Whether nothing parts a box from what comes after it."""
    return _at_edge(box, "break_after", -1)


def _clings(box: Box) -> bool:
    """Whether nothing parts a box from what comes before it."""
    return _at_edge(box, "break_before", 0)


def _at_edge(box: Box, name: str, edge: int) -> bool:
    if box.style[name] in ("avoid", "avoid-page"):
        return True
    children = [child for child in getattr(box, "children", ()) if child.is_in_normal_flow()]
    if not children or not _is(box, "BlockBox") or not _is(children[edge], "BlockLevelBox"):
        return False
    return _at_edge(children[edge], name, edge)


def _mark(box: Box) -> str | None:
    element = box.element
    if element is None or isinstance(element, str):
        return None
    return element.get(MARK) or None


def _is(box: Box, *names: str) -> bool:
    """Whether a box is of one of some classes of the typesetter."""
    from weasyprint.formatting_structure import boxes

    return isinstance(box, tuple(getattr(boxes, name) for name in names))


def marked(document: Document) -> Iterator[tuple[Box, Box]]:
    """Yield the boxes of the elements that are marked, each with the box of its page."""
    for page in document.pages:
        yield from ((page._page_box, box) for box in _within(page._page_box))


def _within(box: Box) -> Iterator[Box]:
    for child in getattr(box, "children", ()):
        if _mark(child) is not None:
            yield child
        else:
            yield from _within(child)
