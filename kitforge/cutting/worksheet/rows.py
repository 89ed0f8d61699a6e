"""The records of a worksheet as it was read: rows with their cases, blocks, and what is told about them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from kitforge.cutting.worksheet.expression import Node


@dataclass(frozen=True, slots=True)
class At:
    """Where a row stands: file and line."""

    file: str
    line: int

    def __str__(self) -> str:
        return f"{self.file}:{self.line}"


@dataclass(frozen=True, slots=True)
class Case:
    """One formula of a row. number: counted through the sheet; when: None holds always; source: may hold @places."""

    number: int
    at: At
    text: str
    formula: Node
    when: Node | None
    source: str


@dataclass(frozen=True, slots=True)
class Row:
    """A value: the first case that holds gives it, else none. unit: or text, yes, table, or the name of a block."""

    at: At
    symbol: str
    unit: str
    words: str
    cases: tuple[Case, ...]


@dataclass(frozen=True, slots=True)
class LimitRow:
    """What bounds a value from above (side '<=') or below ('>='); not there where none of its cases holds.

    marks: hard (never to be passed), load (from a load of the cut), check (only for the check that limits cross).
    """

    at: At
    symbol: str
    side: str
    unit: str
    words: str
    cases: tuple[Case, ...]
    marks: frozenset[str]


@dataclass(frozen=True, slots=True)
class WindowRow:
    """Closes the window of a value: it is an error when its limits cross by more than `slack`, relative."""

    at: At
    symbol: str
    unit: str
    words: str
    slack: float


@dataclass(frozen=True, slots=True)
class ToldRow:
    """What is told when its condition holds. kind: stop (no settings), note, crossed (no value of a window is left).

    subject: the key of what is told, or the window; message: with {symbols}; helps: what would help.
    """

    at: At
    kind: str
    subject: str
    when: Node
    message: str
    helps: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Block:
    """Rows that are met at several places. parameters: (symbol, unit, words)."""

    at: At
    name: str
    parameters: tuple[tuple[str, str, str], ...]
    words: str
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading between rows."""

    at: At
    words: str


Entry = Row | LimitRow | WindowRow | ToldRow | Block | Heading


@dataclass(frozen=True, slots=True)
class Worksheet:
    """A worksheet. crossing: the message for limits that cross; helps: what helps against a limit, by its words.

    sources: sources by the short names that rows use. shows: the symbols that a calculation is printed for.
    """

    entries: tuple[Entry, ...]
    crossing: str = ""
    helps: dict[str, tuple[str, ...]] = field(default_factory=dict)
    sources: dict[str, str] = field(default_factory=dict)
    shows: tuple[str, ...] = ()

    def rows(self) -> Iterator[tuple[Block | None, Row | LimitRow]]:
        """Yield every row with cases, with the block that it stands in."""
        for entry in self.entries:
            if isinstance(entry, Row | LimitRow):
                yield None, entry
            elif isinstance(entry, Block):
                for row in entry.rows:
                    yield entry, row


class SheetError(ValueError):
    """Everything that is wrong with a worksheet, one line each: file, line, what."""

    def __init__(self, problems: list[tuple[At, str]]) -> None:
        super().__init__("\n".join(f"{at}: {what}" for at, what in problems))
        self.problems = tuple(problems)
