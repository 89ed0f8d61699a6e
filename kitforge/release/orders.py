"""Orders from a table: each row sets texts and parameters for a pack of its own.

    order,size,word
    2026-0417,small,BASIL
    2026-0418,large,"DILL, TWO"

The file comes from a shop's export, so it is a stranger's: bounded, in UTF-8 with or without a mark, with commas,
semicolons or tabs between the cells (RFC 4180 for quotes). Columns that are no parameter, such as a buyer's name or
address, are read over and go nowhere; a column that is nearly one is a mistake.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from kitforge.files.reading import read_bounded
from kitforge.model.characters import clean
from kitforge.model.errors import KitforgeError
from kitforge.model.family import KitChoice

LARGEST = 8 << 20
MOST_ORDERS = 10_000
LONGEST_CELL = 2000
MOST_COLUMNS = 200
_MOST_TOLD = 20
_ORDER, _SIZE = "order", "size"
_FIT = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9_-]{0,22}[A-Za-z0-9])?")


@dataclass
class _Table:
    """A file of orders while it is read, and every mistake in it."""

    path: Path
    mistakes: list[str] = field(default_factory=list)

    def wrong(self, line: int, what: str) -> None:
        self.mistakes.append(f"{self.path}:{line}: {clean(what)}")


def read_orders(path: Path, names: Sequence[str], sizes: Sequence[str]) -> tuple[list[KitChoice], list[str]]:
    """Return what each row orders, and the columns that were read over.

    names: texts and parameters of the kit; sizes: its sizes. Raises KitforgeError with every mistake in the file, so
    that nothing is built of half a list.
    """
    table = _Table(path)
    rows = _rows(table, _text(path))
    head = next(rows, None)
    if head is None:
        raise KitforgeError(f"{path} holds no line; the first names the columns, such as: order,{','.join(names[:1])}")
    columns, left_out = _columns(table, head[1], names)
    found = [one for line, cells in rows if (one := _order(table, line, cells, columns, sizes, len(head[1])))]
    _refuse_twice(table, found)
    if table.mistakes:
        more = len(table.mistakes) - _MOST_TOLD
        told = table.mistakes[:_MOST_TOLD] + ([f"and {more} more"] if more > 0 else [])
        raise KitforgeError("The orders cannot be used:\n" + "\n".join(f"  {one}" for one in told))
    if not found:
        raise KitforgeError(f"{path} names columns and no orders.")
    return [choice for _line, choice in found], left_out


def _text(path: Path) -> str:
    try:
        data = read_bounded(path, LARGEST)
    except OSError as problem:
        raise KitforgeError(f"The orders in {path} cannot be read: {problem.strerror or problem}.") from None
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        raise KitforgeError(f"{path} is UTF-16 text. Save it as CSV in UTF-8.")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        line = data.count(b"\n", 0, problem.start) + 1
        raise KitforgeError(f"{path}:{line}: this is not UTF-8 text. Save the table as CSV in UTF-8.") from None


def _rows(table: _Table, text: str) -> Iterator[tuple[int, list[str]]]:
    """Yield the lines that hold something, with their numbers; cells without blanks at their ends."""
    first = text.lstrip("\r\n").partition("\n")[0]
    between = max(",;\t", key=first.count)  # the first of equals: a comma
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=between, strict=True)
    count = 0
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                count += 1
                if count > MOST_ORDERS + 1:
                    table.wrong(reader.line_num, f"there are more than {MOST_ORDERS} orders; split the file")
                    return
                yield reader.line_num, [cell.strip() for cell in cells]
    except csv.Error as problem:
        table.wrong(reader.line_num, f"this line cannot be read: {problem}; look at its quotes")


def _columns(table: _Table, head: Sequence[str], names: Sequence[str]) -> tuple[dict[int, str], list[str]]:
    """Return the columns that mean something by their place, and the names of the others."""
    import difflib

    known, left_out = [*names, _ORDER, _SIZE], []
    meant: dict[int, str] = {}
    if len(head) > MOST_COLUMNS:
        table.wrong(1, f"there are {len(head)} columns; {MOST_COLUMNS} is the limit")
        return {}, []
    for place, name in enumerate(one.lower() for one in head):
        if name in known and name in meant.values():
            table.wrong(1, f"the column '{name}' stands twice")
        elif name in known:
            meant[place] = name
        elif near := difflib.get_close_matches(name, known, n=1, cutoff=0.75):
            table.wrong(1, f"the column '{name}' is none of the kit's. Did you mean '{near[0]}'?")
        else:
            left_out.append(name)
    if not set(meant.values()) & set(names):
        table.wrong(1, f"no column sets anything; the kit's are: {', '.join(names) or 'none'}")
    return meant, left_out


def _order(
    table: _Table, line: int, cells: Sequence[str], columns: Mapping[int, str], sizes: Sequence[str], width: int
) -> tuple[int, KitChoice] | None:
    if len(cells) != width:
        table.wrong(line, f"there are {len(cells)} cells, and the first line names {width} columns")
        return None
    said = {name: cells[place] for place, name in columns.items()}
    order, size = said.pop(_ORDER, "") or f"line-{line}", said.pop(_SIZE, "")
    if not _FIT.fullmatch(order):
        table.wrong(line, f"'{order[:40]}' names no file; an order is called by up to 24 letters, digits, '-' and '_'")
    if size and size not in sizes:
        table.wrong(line, f"there is no size '{size[:40]}'; sizes: {', '.join(sizes) or 'none'}")
    if any(len(cell) > LONGEST_CELL for cell in said.values()):
        table.wrong(line, f"a cell holds more than {LONGEST_CELL} characters")
    values = tuple((name, value) for name, value in said.items() if value)
    return line, KitChoice(size or next(iter(sizes), ""), values, order, private=True)


def _refuse_twice(table: _Table, found: Sequence[tuple[int, KitChoice]]) -> None:
    first: dict[str, int] = {}
    for line, choice in found:
        name = choice.order.casefold()  # file systems may not tell small letters from capitals
        if name in first:
            table.wrong(line, f"the order '{choice.order}' stands in line {first[name]} too")
        first.setdefault(name, line)
