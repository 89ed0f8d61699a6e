"""How a depth is divided, read back from the words beside a count of passes."""

from __future__ import annotations

import re

_BESIDE = re.compile(
    r"(?:\+ one of (?P<own>[\d.]+)(?: or (?P<both>[\d.]+))?)? ?"
    r"(?:\((?:mm|in): (?P<count>\d+)(?: \+ one of (?P<last>[\d.]+))?\))?"
)


def divided(count: int, beside: str) -> tuple[tuple[int, str], tuple[int, str]]:
    """Return the equal passes and the last one ('' where there is none), in the unit that comes first and in the other.

    count: the equal passes that are printed; beside: the words that stand beside them.
    """
    found = _BESIDE.fullmatch(beside)
    assert found is not None, beside
    own, both, other, last = found.group("own", "both", "count", "last")
    return (count, own or ""), (int(other or count), last or both or "")
