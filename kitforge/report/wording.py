"""Text that comes from a kit, made safe to show: nothing in it steers a program or the direction of reading."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable

from kitforge.language import capital, decimal, later, say, say_as, say_many
from kitforge.model.findings import Finding, Severity
from kitforge.model.units import plain_number

LONGEST = 1500
_HIDDEN = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})
_NONE = {"error": later("no errors"), "warning": later("no warnings"), "note": later("no notes")}
_NAMES = {Severity.ERROR: later("error"), Severity.WARNING: later("warning"), Severity.NOTE: later("note")}


def plain(text: str, longest: int = LONGEST) -> str:
    """Return the text on one line, cut to `longest` signs; a sign that is not seen is written out, as ‹U+202E›."""
    cut = text if len(text) <= longest else text[: longest - 1] + "…"
    return " ".join("".join(_seen(sign) for sign in cut).split())


def written_line(text: str, longest: int = 130) -> str:
    """Return a line of a file with its indentation, cut to `longest` signs."""
    cut = text if len(text) <= longest else text[: longest - 1] + "…"
    return "".join(" " if sign in "\t\u00a0" else _seen(sign) for sign in cut)


def only(text: str, known: frozenset[int]) -> str:
    """Return the text with every sign that a typeface does not have written out."""
    return "".join(sign if ord(sign) in known or sign == "\n" else _named(sign) for sign in text)


def _seen(sign: str) -> str:
    if sign in "\n\r\t":
        return " "
    return _named(sign) if unicodedata.category(sign) in _HIDDEN else sign


def _named(sign: str) -> str:
    return f"‹U+{ord(sign):04X}›"


def counted(counts: Iterable[tuple[str, int]]) -> str:
    """Return how many there are of each severity, in words: '2 errors, 1 note'."""
    return ", ".join(severity_count(word, count) for word, count in counts if count) or say("nothing found")


def severity_count(severity: str, count: int) -> str:
    """Return how many there are of one severity, in words: '2 errors', 'no notes'."""
    if not count:
        return say_as(_NONE[severity])
    if severity == Severity.ERROR:
        return say_many("{count} error", "{count} errors", count)
    if severity == Severity.WARNING:
        return say_many("{count} warning", "{count} warnings", count)
    return say_many("{count} note", "{count} notes", count)


def severity_name(severity: Severity) -> str:
    """Return a severity in one word, as it stands within a sentence."""
    return say_as(_NAMES[severity])


def severity_word(severity: Severity) -> str:
    """Return a severity in one word, as it begins a line."""
    return capital(severity_name(severity))


def place_in_words(at: tuple[float, float] | None) -> str:
    """Return a place as '(12.5, 3) mm', or nothing."""
    if at is None:
        return ""
    return say("({x}, {y}) mm", x=decimal(plain_number(at[0], 2)), y=decimal(plain_number(at[1], 2)))


def source_in_words(finding: Finding) -> str:
    """Return where the finding comes from: 'kit.yaml, line 12, column 5'."""
    source = finding.source
    file = plain(source.file, 120)
    if not source.line:
        return file
    return say("{file}, line {line}, column {column}", file=file, line=str(source.line), column=str(source.column))
