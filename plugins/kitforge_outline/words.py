"""Wording that several checks share."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from kitforge.model.findings import Finding
from kitforge.model.messages import Message, Quantity, Text, mm, msg_many

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
            yield replace(last, message=_and_more(last.message, more)) if more else last


def _and_more(message: Text, more: int) -> Message:
    return msg_many(
        "{message} There is one more like this.", "{message} There are {count} more like this.", more, message=message
    )


def size(length: float) -> Quantity:
    """Return a length in mm that may be very small, e.g. '0.004 mm'."""
    return mm(length, 2 if length >= 0.1 else 4)


def times(count: int) -> Message:
    """Return how often, e.g. 'at 3 places'."""
    return msg_many("at one place", "at {count} places", count)
