"""What is taken in hand or used up at the bench, and what the uses of a document come to."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from enum import StrEnum
from functools import cache

from kitforge.model.lines import Use
from kitforge.model.record import record
from kitforge.workshop.load import read_table
from kitforge.workshop.tables import TableRow, table


class BenchKind(StrEnum):
    """Where a thing stands in the list, and with that what becomes of it when it is used."""

    TOOL = "tool"
    HOLDING = "holding"
    GLUE = "glue"
    FINISH = "finish"
    PROTECTION = "protection"

    @property
    def used_up(self) -> bool:
        """True for what is gone after it was used, so that what several sentences take is added up."""
        return self in (BenchKind.GLUE, BenchKind.FINISH)


@record
class BenchItem:
    """A tool, something that holds or is used up, or something that is worn. detail: which one will do, '' for any."""

    key: str
    name: str
    kind: BenchKind
    detail: str = ""


@record
class Wanted:
    """A bench item as a whole document uses it: how many (0 where they are not counted), and of which sizes.

    Counted things of two sizes are two of these.
    """

    item: BenchItem
    count: int
    details: tuple[str, ...]


@cache
def bench() -> Mapping[str, BenchItem]:
    """Return the table in its own order, which is that of printed lists. Raises TableError if the file is wrong."""
    return read_table(table("bench"), "bench", _read)


def _read(key: str, row: TableRow) -> BenchItem:
    kind = row.text("kind")
    if kind not in list(BenchKind):
        row.fail("kind", f"'{kind}' is none of {', '.join(BenchKind)}")
    return BenchItem(key, row.text("name"), BenchKind(kind), row.optional_text("detail") or "")


def wanted(uses: Iterable[Use]) -> tuple[Wanted, ...]:
    """Return what some uses come to, in the order of the table. Raises KeyError for a key that it does not have.

    What is used up is added; of everything else the sentence decides that takes most of it.
    """
    found: dict[str, list[Use]] = {}
    for use in uses:
        found.setdefault(bench()[use.item].key, []).append(use)
    return tuple(one for key, item in bench().items() if key in found for one in _wanted(item, found[key]))


def _wanted(item: BenchItem, uses: list[Use]) -> Iterator[Wanted]:
    sizes: dict[str, list[int]] = {}
    for use in uses:
        sizes.setdefault(use.detail if use.count else "", []).append(use.count)
    counted = {size: sum(counts) if item.kind.used_up else max(counts) for size, counts in sizes.items() if any(counts)}
    uncounted = sorted({use.detail for use in uses if use.detail and not use.count}, key=lambda text: (len(text), text))
    if not counted:
        yield Wanted(item, 0, tuple(uncounted))
    for size, count in counted.items():
        yield Wanted(item, count, tuple(detail for detail in (size, *uncounted) if detail))
