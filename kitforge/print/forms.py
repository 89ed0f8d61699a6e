"""Two forms of a part of a document: the typesetter takes the second one where the first does not fit.

A template writes `<!--form NAME-->first<!--or NAME-->second<!--end NAME-->` and marks with `data-form="NAME"` what of
the first form must stand on one page together. Nobody has to know heights: paper, language and theme decide.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

from kitforge.print.errors import ThemeError

if TYPE_CHECKING:
    from weasyprint import Document
    from weasyprint.formatting_structure.boxes import Box

MARK = "data-form"
TRIES = 3
"""So often a document is laid out with some first forms; then all that is left is set in its second form."""
_NAME = r"([\w-]+)"
_BOTH = re.compile(rf"<!--form {_NAME}-->(.*?)<!--or \1-->(.*?)<!--end \1-->", re.DOTALL)
_MARKER = re.compile(rf"<!--(?:form|or|end) {_NAME}-->")
_FIRST = re.compile(rf"<!--form {_NAME}-->")


def names_of(html: str) -> frozenset[str]:
    """Return the names of all parts that have two forms."""
    return frozenset(_FIRST.findall(html))


def with_forms(html: str, second: frozenset[str] = frozenset()) -> str:
    """Return the document with one form of each part: the second one of those named, the first of the others.

    Forms may hold parts that have forms of their own. Raises ThemeError for a mark without its partners.
    """
    while (one := _BOTH.search(html)) is not None:
        html = html[: one.start()] + one[3 if one[1] in second else 2] + html[one.end() :]
    if (left := _MARKER.search(html)) is not None:
        raise ThemeError(f"The two forms of “{left[1]}” need the marks form, or, end, once each and in this order.")
    return html


def fitted(html: str, lay_out: Callable[[str], Document]) -> Document:
    """Return the document laid out with the first form of every part that fits on a page in it."""
    names, second = names_of(html), frozenset[str]()
    for _ in range(TRIES if names else 0):
        document = lay_out(with_forms(html, second))
        divided = _divided(document) & names
        if not divided:
            return document
        second |= divided
    return lay_out(with_forms(html, names))


def _divided(document: Document) -> frozenset[str]:
    """Return the names whose marked elements lie on more than one page."""
    pages: dict[str, set[int]] = {}
    for number, page in enumerate(document.pages):
        for name in _marked(page._page_box):
            pages.setdefault(name, set()).add(number)
    return frozenset(name for name, on in pages.items() if len(on) > 1)


def _marked(box: Box) -> Iterator[str]:
    for child in getattr(box, "children", ()):
        if child.element is not None and not isinstance(child.element, str):
            name = child.element.get(MARK)
            if name:
                yield str(name)
        yield from _marked(child)
