"""A calculation as it is written on paper: formula, numbers, result, where each number comes from, sources at the end.

Numbers are printed with five figures. A number that comes from the calculation itself names its line.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from kitforge.cutting.sources import AUTHOR, HERE, HOLDING, THE_PASS
from kitforge.model.settings import CalculationLine, Given, Trail, Window

SHORT = 52
"""Sources of up to so many signs stand in the text; longer ones get a number and stand in the list."""

PLAIN = (THE_PASS, HOLDING, HERE)
_WORDS = {"author": AUTHOR}

_NAME = re.compile(r"[A-Za-z_][A-Za-z_0-9]*(?:\.[A-Za-z_][A-Za-z_0-9]*)*")


@dataclass(frozen=True, slots=True)
class Written:
    """One line with its number on the paper, the formula with its numbers put in, and what its inputs refer to."""

    number: int
    line: CalculationLine
    numbers: str
    marks: tuple[str, ...]
    source_mark: str


class CalculationFormatter:
    """Numbers lines and sources as they are written."""

    def __init__(self) -> None:
        self.sources: list[str] = []
        self.written: list[Written] = []

    def write(self, lines: Iterable[CalculationLine]) -> list[Written]:
        """Return the lines as written, numbered on from what stands on the paper already."""
        found, start = [], len(self.written)
        for line in lines:
            marks = tuple(self._mark(given, start) for given in line.inputs)
            number = len(self.written) + 1
            found.append(Written(number, line, with_numbers(line), marks, self.cite(line.source)))
            self.written.append(found[-1])
        return found

    def cite(self, source: str) -> str:
        """Return a source as it is marked in the text: in full where it is short, else its number in the list."""
        if len(source) <= SHORT or source in PLAIN:
            return _WORDS.get(source, source)
        if source not in self.sources:
            self.sources.append(source)
        return str(self.sources.index(source) + 1)

    def line_of(self, value: float, symbol: str) -> int | None:
        """Return the number of the last line that gives this symbol this value; None if there is none."""
        named = [one for one in self.written if re.sub(r" [<>]=$", "", one.line.symbol) == symbol]
        return next((one.number for one in reversed(named) if one.line.result == value), None)

    def _mark(self, given: Given, start: int) -> str:
        if given.line:
            return f"line {start + given.line}"
        if given.source in PLAIN:
            number = self.line_of(given.value, given.symbol)
            return given.source if number is None else f"line {number}"
        return self.cite(given.source)


def with_numbers(line: CalculationLine) -> str:
    """Return the formula with its numbers in place of its symbols."""
    if line.formula.startswith("by trial"):
        return ""
    values = {given.symbol: number(given.value) for given in line.inputs}
    return _NAME.sub(lambda name: values.get(name[0], name[0]), line.formula)


def number(value: float) -> str:
    """Return a number with five figures, large ones whole."""
    size = abs(value)
    return f"{value:.0f}" if size >= 10_000 else f"{value:.5g}"


def text_of(written: Written) -> Iterator[str]:
    """Yield the printed lines of one line of the calculation."""
    line = written.line
    unit = f" {line.unit}" if line.unit else ""
    sign = "" if line.symbol.endswith("=") else " ="
    yield f"{written.number:3}. {line.what} [{written.source_mark}]"
    yield f"       {line.symbol}{sign} {line.formula}"
    if written.numbers not in ("", line.formula, number(line.result)):
        yield f"         = {written.numbers}"
    yield f"         = {number(line.result)}{unit}"
    yield from _packed([_input(given, mark) for given, mark in zip(line.inputs, written.marks, strict=True)])


def _packed(items: Sequence[str], width: int = 118, indent: str = " " * 11) -> Iterator[str]:
    """Yield lines of items with semicolons between them; no item is broken."""
    line = ""
    for item in items:
        if line and len(indent) + len(line) + len(item) + 3 > width:
            yield f"{indent}{line};"
            line = ""
        line = f"{line}; {item}" if line else item
    if line:
        yield f"{indent}{line}"


def _input(given: Given, mark: str) -> str:
    """Return an input in words; what another line gives has its words there."""
    unit = f" {given.unit}" if given.unit else ""
    words = "" if given.line else f", {given.name}"
    return f"{given.symbol} = {number(given.value)}{unit}{words} [{mark}]"


def source_list(sources: Sequence[str]) -> Iterator[str]:
    """Yield the numbered list of sources."""
    for index, source in enumerate(sources, 1):
        yield f"  [{index}] {source}"


def ruled(window: Window, trail: Trail) -> Iterator[str]:
    """Yield what ruled a setting: its start value, the limits on both sides with their lines, and looser limits."""
    lines = dict(trail.limits)
    yield f"  {window.quantity}: {number(window.start)} {window.unit} ({window.start_reason})"
    for side, limit in (("at least", window.low_limit), ("at most", window.high_limit)):
        line = lines.get(limit.case)
        where = f", line {line}" if line else ""
        yield f"    {side} {number(limit.value)} {window.unit}: {limit.reason}{where}"
    looser = {limit.reason: limit.value for limit in sorted(window.highs, key=lambda limit: -limit.value)}
    looser.pop(window.high_limit.reason)
    if looser:
        yield f"      looser: {', '.join(f'{reason} {number(value)}' for reason, value in reversed(looser.items()))}"
