"""Characters of a text that steer a terminal, turn the direction of reading or cannot be encoded."""

from __future__ import annotations

import re
import unicodedata

# Control, format (which turn the direction of reading), lone surrogates, line and paragraph separators: the general
# categories of the Unicode Standard, chapter 4.5.
_STEERING = frozenset({"Cc", "Cf", "Cs", "Zl", "Zp"})
_FORMULA = re.compile(r"(^|[;\t\r\n])([ \"]*)(?=[=+\-@\t\r])")
REPLACEMENT = "\ufffd"


def steers(character: str) -> bool:
    """Return whether a character does something to the text around it, or is none that can be encoded."""
    return unicodedata.category(character) in _STEERING


def clean(text: str, keep: str = "", instead: str = REPLACEMENT) -> str:
    """Return a text in which every character that steers is replaced, but for those to `keep`. It can be encoded."""
    if text.isprintable():
        return text
    return "".join(instead if steers(character) and character not in keep else character for character in text)


def spreadsheet_safe(text: str) -> str:
    """Return a text that no spreadsheet reads as a formula, also where semicolons or tabs end a cell.

    An apostrophe is put before what would begin a formula (=, +, -, @); common practice of exports, no source.
    """
    return _FORMULA.sub(r"\1\2'", text)
