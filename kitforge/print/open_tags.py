"""Which tags are open at the end of a text."""

from __future__ import annotations

from html.parser import HTMLParser

_VOID = frozenset({"br", "col", "hr", "img", "input", "link", "meta", "wbr"})


def open_tags(html: str) -> list[tuple[str, str]]:
    """Return the tags that are open at the end of a text, by name and as they are written, in their order."""
    found = _Open()
    found.feed(html)
    return found.tags


class _Open(HTMLParser):
    """Keeps the tags that are not closed yet."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.tags: list[tuple[str, str]] = []

    def handle_starttag(self, tag: str, _attributes: object) -> None:
        if tag not in _VOID:
            self.tags.append((tag, self.get_starttag_text() or ""))

    def handle_endtag(self, tag: str) -> None:
        at = next((place for place in range(len(self.tags) - 1, -1, -1) if self.tags[place][0] == tag), None)
        if at is not None:
            del self.tags[at:]
