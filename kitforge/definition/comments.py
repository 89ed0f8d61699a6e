"""Where comments begin in the text of kit.yaml: a # that no value holds (YAML 1.2.2, 6.6)."""

from __future__ import annotations

import yaml

from kitforge.definition.yaml_reader import events_of

Spot = tuple[int, int]
"""Line and column, from 0."""


def comment_starts(text: str) -> dict[int, int]:
    """Return the column, from 0, at which the comment of a line begins, by the numbers of the lines, from 0.

    Of a text that cannot be parsed, those of the lines before that place.
    """
    spans, end = _scalars(text)
    found, reached = {}, 0
    for number, line in enumerate(text.split("\n")[: end + 1]):
        while reached < len(spans) and spans[reached][1] <= (number, 0):
            reached += 1
        for at, sign in enumerate(line):
            if sign == "#" and (at == 0 or line[at - 1] in " \t") and not _within(spans, reached, (number, at)):
                found[number] = at
                break
    return found


def _within(spans: list[tuple[Spot, Spot]], first: int, spot: Spot) -> bool:
    for begin, end in spans[first:]:
        if begin > spot:
            return False
        if spot < end:
            return True
    return False


def _scalars(text: str) -> tuple[list[tuple[Spot, Spot]], int]:
    """Return where each value begins and ends, and the last line that could be parsed."""
    spans: list[tuple[Spot, Spot]] = []
    try:
        for event in events_of(text):
            if isinstance(event, yaml.ScalarEvent) and event.start_mark and event.end_mark:
                begin, end = event.start_mark, event.end_mark
                spans.append(((begin.line, begin.column), (end.line, end.column)))
    except yaml.YAMLError:
        return spans, spans[-1][1][0] if spans else 0
    return spans, text.count("\n")
