"""The mark of texts that are said later; in a module of its own so that tables of texts can use it."""

from __future__ import annotations


def later(text: str, /) -> str:
    """Mark a text of the code that is said later, with `say_as`, when it is printed."""
    return text
