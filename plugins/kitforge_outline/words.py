"""Wording that several checks share."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from kitforge.findings import Finding
from kitforge.units import format_mm, plain_number

Point = tuple[float, float]
MOST_ALIKE = 10


def limited(findings: Iterable[Finding]) -> Iterator[Finding]:
    """Yield the first ten findings of a code in an operation; the last of them says how many more there are."""
    alike: dict[tuple[str, str | None, str | None], list[Finding]] = {}
    for finding in findings:
        alike.setdefault((finding.code, finding.part, finding.operation), []).append(finding)
    for group in alike.values():
        yield from group[: MOST_ALIKE - 1]
        more = len(group) - MOST_ALIKE
        for last in group[MOST_ALIKE - 1 : MOST_ALIKE]:
            yield replace(last, message=f"{last.message} There are {more} more like this.") if more else last


def place(at: Point) -> str:
    """Return a place in words, e.g. '(12.5, 3) mm'."""
    return f"({plain_number(at[0], 2)}, {plain_number(at[1], 2)}) mm"


def size(length: float) -> str:
    """Return a length that may be very small, e.g. '0.004 mm'."""
    return format_mm(length, 2 if length >= 0.1 else 4)


def times(count: int) -> str:
    """Return how often, e.g. 'at 3 places'."""
    return "at one place" if count == 1 else f"at {count} places"
