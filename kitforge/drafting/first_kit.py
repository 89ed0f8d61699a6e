"""From a drawing as read to the text of its first kit.yaml."""

from __future__ import annotations

import pathlib
from typing import TYPE_CHECKING

from kitforge.drafting.propose import propose
from kitforge.drafting.records import Source
from kitforge.drafting.source import refuse_open_outline
from kitforge.drafting.write_kit import kit_text
from kitforge.errors import KitforgeError

if TYPE_CHECKING:
    from kitforge.plugins import Plugins


def first_kit(path: pathlib.Path, source: Source, plugins: Plugins) -> str:
    """Return kit.yaml for a drawing. Raises KitforgeError when no line in it can be the outline of a part."""
    areas = (abs(line.area) for line in source.drawing.whole.closed)
    refuse_open_outline(path, source, max(areas, default=0.0), plugins)
    try:
        return kit_text(propose(source))
    except ValueError as error:
        said = str(error)
        advice = "Draw the outline as one closed line, on a layer of its own if you can."
        raise KitforgeError(f"{path}: {said[:1].upper()}{said[1:]}. {advice}") from None
