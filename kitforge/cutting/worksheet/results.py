"""What the evaluated worksheet hands on besides values: the limits that held, and what is told."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from operator import itemgetter
from typing import NamedTuple, TypeVar

from kitforge.model.messages import Message, Quantity, later, term
from kitforge.model.workshop import Fact

K = TypeVar("K", bound=str)
V = TypeVar("V")

Words = str | Message


class LimitRule(NamedTuple):
    """What a limit is: the number of its case in the sheet, words, whether hard, whether a load, formula, source."""

    case: int
    words: str
    hard: bool
    load: bool
    formula: str
    source: str


Bound = tuple[float, LimitRule]


class Told(NamedTuple):
    """What is told: its key, the message, what would help, and the limits that cross, if any."""

    key: str
    message: Message
    helps: tuple[str, ...]
    low: Bound | None = None
    high: Bound | None = None


class Refusal(NamedTuple):
    """There are no settings, for these reasons."""

    told: tuple[Told, ...]


def figures(value: float, unit: str) -> Quantity:
    """Return a number with four significant figures, whole from a thousand on."""
    size, places, bound = abs(value), 0, 1000.0
    while size < bound and places < 9:
        places, bound = places + 1, bound / 10
    return Quantity(value, unit, places)


value_of: Callable[[Bound], float] = itemgetter(0)
"""The value of a limit, to find the tightest."""


def crossing(message: Message, low: Bound, high: Bound, helps: Mapping[str, tuple[str, ...]]) -> Refusal:
    """Return the refusal for limits that cross, with what helps against the upper and the lower one."""
    found = dict.fromkeys((*helps.get(high[1].words, ()), *helps.get(low[1].words, ())))
    return Refusal((Told("NO_WINDOW", message, tuple(found) or (later("another cutter"),), low, high),))


def worded(text: Words) -> Message:
    """Return words of ours or of the tables as a message, which is translated."""
    return text if isinstance(text, Message) else term(text)


def entry(table: Mapping[K, V], key: str) -> V:
    """Return the entry of a table whose keys are words. Raises KeyError."""
    return table[key]  # type: ignore[index]  # a word of an enumeration is its text


def worth(fact: Fact | None) -> float | None:
    """Return the value of a figure that may be missing."""
    return None if fact is None else fact.value
