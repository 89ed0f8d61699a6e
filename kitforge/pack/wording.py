"""Plain text for READ-ME-FIRST.txt and LICENSE.txt: wrapped, and readable in the plainest editor of each system."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable

from kitforge.model.characters import clean

WIDTH = 76


def paragraph(text: str, *, indent: str = "", first: str | None = None) -> str:
    """Return `text` wrapped at 76 columns; `first` opens the first line, `indent` the others."""
    opening = indent if first is None else first
    words = " ".join(printable(text).split())
    return textwrap.fill(
        words, WIDTH, initial_indent=opening, subsequent_indent=indent, break_long_words=False, break_on_hyphens=False
    )


def heading(text: str) -> str:
    """Return a heading, underlined over the length of its text."""
    line = printable(text)
    return f"{line}\n{'-' * len(line)}"


def numbered(items: Iterable[str]) -> str:
    """Return the items as a numbered list, wrapped with a hanging indent."""
    return "\n".join(paragraph(item, indent="   ", first=f"{n}. ") for n, item in enumerate(items, 1))


def printable(text: str) -> str:
    """Return `text` without control and direction signs, which could hide or rewrite what a reader sees."""
    return clean(text, keep="\n\t", instead=" ")


def encode(text: str) -> bytes:
    """Return the text as UTF-8 with CRLF line ends, with a byte order mark when it is not plain ASCII.

    Editors of every system read CRLF; the plain editor of Windows showed LF files as one line until 2018, and
    takes UTF-8 for an 8-bit code page where no mark says otherwise.
    """
    lines = text.replace("\r\n", "\n").replace("\r", "\n").rstrip("\n") + "\n"
    return lines.replace("\n", "\r\n").encode("ascii" if lines.isascii() else "utf-8-sig")
