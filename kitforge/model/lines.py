"""Sentences that know what they have their reader use.

A sentence of a pack that has its reader take something in hand, or use it up, says so in a field beside its words. The
list of what to lay out is computed from these fields: nothing in it is typed twice, and no program reads prose.
"""

from __future__ import annotations

from kitforge.model.record import record


@record
class Use:
    """A thing as one sentence uses it: its key in the bench table, how many (0 where not counted), of what size."""

    item: str
    count: int = 0
    detail: str = ""


@record
class Line:
    """A sentence and what it has its reader take in hand or use up."""

    text: str
    uses: tuple[Use, ...] = ()

    def __str__(self) -> str:
        return self.text


def line(text: str, *uses: Use | str) -> Line:
    """Return a sentence with what it uses: keys of the bench table, or uses with a count or a size."""
    return Line(text, tuple(use if isinstance(use, Use) else Use(use) for use in uses))
