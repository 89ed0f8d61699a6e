"""From a drawing as read to the text of its first kit.yaml."""

from __future__ import annotations

import pathlib
from typing import NamedTuple

from kitforge.drafting.doubts import nearly_alike, nested, open_outline, outside, place_of, refuse_open, refuse_unit
from kitforge.drafting.propose import propose
from kitforge.drafting.records import DrawingSource
from kitforge.drafting.sort import sort_drawing
from kitforge.drafting.write_kit import kit_text
from kitforge.drawings.findings import MOST_TOLD
from kitforge.model.errors import KitforgeError
from kitforge.model.findings import Finding


class FirstKit(NamedTuple):
    """The text of kit.yaml, and what is doubtful about it."""

    text: str
    doubts: tuple[Finding, ...]


def first_kit(path: pathlib.Path, source: DrawingSource) -> FirstKit:
    """Return kit.yaml for a drawing. Raises KitforgeError when no line in it can be the outline of a part."""
    refuse_unit(path, source)
    try:
        found, nest = sort_drawing(source.drawing)
    except ValueError as error:
        lines = list(source.drawing.whole.open)
        if lines and not source.drawing.whole.closed:
            raise KitforgeError(
                f"{place_of(path, source, lines)}: No line in the drawing is closed. {open_outline(lines, source.join)}"
            ) from None
        said = str(error)
        advice = "Draw the outline as one closed line, on a layer of its own if you can."
        raise KitforgeError(f"{path}: {said[:1].upper()}{said[1:]}. {advice}") from None
    refuse_open(path, source, nest)
    doubts = (*nested(source, nest), *nearly_alike(source, nest), *outside(source, nest))
    return FirstKit(kit_text(propose(source, found)), doubts[:MOST_TOLD])
