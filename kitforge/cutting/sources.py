"""Where the figures of the tables come from, in words for print."""

from __future__ import annotations

from functools import lru_cache

from kitforge.model.settings import COMMON, Given
from kitforge.model.workshop import Fact, Span
from kitforge.workshop.load import citation

HERE = "this calculation"
THE_PASS = "engagement of the pass"
HOLDING = "the holding calculation"
AUTHOR = "the author's own"
_WORDS = {"memory": f"{COMMON}, from memory", "author": AUTHOR}


@lru_cache(maxsize=1024)
def cited(known: Fact | Span, worked_from: str = "") -> str:
    """Return the source of a figure in words, with its trust where it was not read.

    worked_from: what a figure was derived from, where the table itself names no source for it.
    """
    if worked_from and known.source == "derived":
        return worked_from
    text = _WORDS.get(known.source) or citation(known.source)
    return text if known.trust in ("read", known.source) else f"{text}; {known.trust}"


def given(name: str, symbol: str, known: Fact, unit: str, worked_from: str = "") -> Given:
    """Return a figure of the tables as an input of a formula."""
    return Given(name, symbol, known.value, unit, cited(known, worked_from))


def worst_end(name: str, symbol: str, known: Span, unit: str) -> Given:
    """Return the low end of a range of the tables as an input of a formula."""
    return Given(name, symbol, known.low, unit, cited(known))
