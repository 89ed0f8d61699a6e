"""From the text of a worksheet to its rows. How a worksheet is written: README.md of this room."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from kitforge.cutting.worksheet.expression import ExpressionError, Node, Text, parse, walk
from kitforge.cutting.worksheet.rows import (
    At,
    Block,
    Case,
    Entry,
    Heading,
    LimitRow,
    Row,
    SheetError,
    ToldRow,
    WindowRow,
    Worksheet,
)

_ROW = re.compile(r"(\w+)(?: (<=|>=))? \[([^\]]*)\] (.+?)(?: \{((?:hard|load|check| )+)\})?")
_WINDOW = re.compile(r"window (\w+) \[([^\]]*)\] (.+?)(?: slack (\S+))?")
_TOLD = re.compile(r"(stop|note|crossed) (\w+)")
_BLOCK = re.compile(r"block (\w+) (.+)")
_TAKES = re.compile(r"takes (\w+) \[([^\]]*)\] (.+)")
_SOURCE = re.compile(r"source (\w+) = (.+)")
_HELP = re.compile(r"help ([^:]+): (.+)")
_CROSSING = re.compile(r"crossing = (.+)")
_SHOWS = re.compile(r"shows (.+)")
_WHEN = re.compile(r"""^((?:[^'"]|'[^']*'|"[^"]*")*?)(?:(?:^|\s)when\s(.*))?$""")


@dataclass
class _Group:
    """A line at the margin, with the indented lines below it."""

    at: At
    head: str
    lines: list[tuple[At, str]]


def read_sheet(files: Sequence[tuple[str, str]], after: int = 0) -> Worksheet:
    """Return the worksheet in some files (name, text), in their order; cases are counted from `after`.

    Raises SheetError with everything wrong.
    """
    return _Reader(after).read([group for name, text in files for group in _groups(name, text)])


def _groups(name: str, text: str) -> list[_Group]:
    groups: list[_Group] = []
    for number, line in enumerate(text.splitlines(), 1):
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        if line[0] != " ":
            groups.append(_Group(At(name, number), line.rstrip(), []))
        elif groups:
            groups[-1].lines.append((At(name, number), line.strip()))
    return groups


class _Reader:
    def __init__(self, after: int) -> None:
        self._problems: list[tuple[At, str]] = []
        self._entries: list[Entry] = []
        self._block: Block | None = None
        self._cases = after
        self._crossing = ""
        self._shows: tuple[str, ...] = ()
        self._helps: dict[str, tuple[str, ...]] = {}
        self._sources: dict[str, str] = {}

    def read(self, groups: Iterable[_Group]) -> Worksheet:
        for group in groups:
            if not self._setting(group) and not self._block_line(group):
                self._entry(group)
        if self._block is not None:
            self._wrong(self._block.at, f"block '{self._block.name}' has no end")
        if self._problems:
            raise SheetError(self._problems)
        return Worksheet(tuple(self._entries), self._crossing, self._helps, self._sources, self._shows)

    def _wrong(self, at: At, what: str) -> None:
        self._problems.append((at, what))

    def _setting(self, group: _Group) -> bool:
        """Read what is said once for the sheet: sources by short names, helps, what is shown."""
        text = " ".join([group.head, *(line for _, line in group.lines)])
        if found := _SOURCE.fullmatch(text):
            self._sources[found[1]] = found[2]
        elif found := _HELP.fullmatch(text):
            self._helps[found[1]] = _list(found[2])
        elif found := _CROSSING.fullmatch(text):
            self._crossing = found[1]
        elif found := _SHOWS.fullmatch(text):
            self._shows = tuple(found[1].split())
        else:
            return False
        return True

    def _block_line(self, group: _Group) -> bool:
        if found := _BLOCK.fullmatch(group.head):
            parameters = []
            for at, line in group.lines:
                taken = _TAKES.fullmatch(line)
                if taken:
                    parameters.append((taken[1], taken[2], taken[3]))
                else:
                    self._wrong(at, f"'{line}' is not 'takes SYMBOL [UNIT] WORDS'")
            self._block = Block(group.at, found[1], tuple(parameters), found[2], ())
            return True
        if group.head == "end" and self._block is not None:
            self._entries.append(self._block)
            self._block = None
            return True
        return False

    def _entry(self, group: _Group) -> None:
        entry = self._heading(group) or self._window(group) or self._told(group) or self._row(group)
        if entry is None:
            self._wrong(group.at, f"'{group.head}' is no row: SYMBOL [UNIT] WORDS")
        elif self._block is None:
            self._entries.append(entry)
        elif isinstance(entry, Row):
            self._block = replace(self._block, rows=(*self._block.rows, entry))
        else:
            self._wrong(group.at, f"block '{self._block.name}' holds only rows of values")

    def _heading(self, group: _Group) -> Heading | None:
        return Heading(group.at, group.head[2:].strip()) if group.head.startswith("==") else None

    def _window(self, group: _Group) -> WindowRow | None:
        found = _WINDOW.fullmatch(group.head)
        return WindowRow(group.at, found[1], found[2], found[3], float(found[4] or 0)) if found else None

    def _told(self, group: _Group) -> ToldRow | None:
        found = _TOLD.fullmatch(group.head)
        if found is None:
            return None
        parts = {"when": "", ":": "", "help": ""}
        current = ""
        for _at, line in group.lines:
            first, _, rest = line.partition(" ")
            current, text = (first, rest) if first in parts else (current, line)
            if current:
                parts[current] = f"{parts[current]} {text}".strip()
        when = self._parsed(group.at, parts["when"] or "yes")
        if not parts[":"]:
            self._wrong(group.at, f"'{group.head}' has no message: a line that starts with ':'")
        return ToldRow(group.at, found[1], found[2], when, parts[":"], _list(parts["help"]))

    def _row(self, group: _Group) -> Row | LimitRow | None:
        found = _ROW.fullmatch(group.head)
        if found is None:
            return None
        symbol, side, unit, words, marks = found.groups()
        cases = tuple(self._case(at, line) for at, line in _joined(group.lines))
        if not cases:
            self._wrong(group.at, f"'{symbol}' has no formula")
        marked = frozenset((marks or "").split())
        if marked and not side:
            self._wrong(group.at, f"'{symbol}' is no limit and has no marks")
        if side:
            return LimitRow(group.at, symbol, side, unit, words, cases, marked)
        return Row(group.at, symbol, unit, words, cases)

    def _case(self, at: At, line: str) -> Case:
        text, _, source = line.partition(" -- ")
        if not line.startswith("= "):
            self._wrong(at, f"'{line}' is not '= FORMULA when CONDITION -- SOURCE'")
        split = _WHEN.match(text[2:].strip())
        formula, when = (split[1], split[2]) if split else (text, None)
        self._cases += 1
        number = self._cases
        tree = self._parsed(at, formula)
        return Case(number, at, formula.strip(), tree, self._parsed(at, when) if when else None, source.strip())

    def _parsed(self, at: At, text: str) -> Node:
        try:
            return parse(text)
        except ExpressionError as error:
            self._wrong(at, str(error))
            return Text("")


def _joined(lines: Iterable[tuple[At, str]]) -> list[tuple[At, str]]:
    """Return the lines of cases; what does not start with '=' goes on with the line before."""
    joined: list[tuple[At, str]] = []
    for at, line in lines:
        if joined and not line.startswith("= "):
            joined[-1] = (joined[-1][0], f"{joined[-1][1]} {line}")
        else:
            joined.append((at, line))
    return joined


def _list(text: str) -> tuple[str, ...]:
    return tuple(item.strip() for item in text.split(";") if item.strip())


def templates(row: Row | LimitRow) -> tuple[str, ...]:
    """Return the texts of a row that may hold {symbols}: its words and its text constants."""
    texts = (node.text for case in row.cases for node in walk(case.formula) if isinstance(node, Text))
    return (row.words, *texts)
