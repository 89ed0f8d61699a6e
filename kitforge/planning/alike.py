"""Steps of the same kit at another thickness: what the plan chose for one holds for the other, a hair aside.

The pictures and pages of a booklet show tabs once for all rungs of a ladder, so that they stay where they are unless
they do not bear the cut at another thickness.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from kitforge.model.kit import Tabs
from kitforge.model.path import Path
from kitforge.model.steps import Step, TabPlace
from kitforge.planning.tab_load import TabLoad
from kitforge.planning.tabs import enclosed, nearest_tab

# Corners and tabs that move by no more than this, mm, and turn by no more than this, degrees, are the same ones
# (choices of taste: far below a tab's width, above what the rungs of a ladder differ by).
_MOVED, _TURNED = 2.0, 1.0


def alike(step: Step, other: Step | None) -> bool:
    """Return whether two steps cut the same loops with the same cutter and hold, but for what a thickness moves."""
    if other is None or step.cutter != other.cutter or step.operation.hold != other.operation.hold:
        return False
    loops = _loops(step), _loops(other)
    return len(loops[0]) == len(loops[1]) and all(_same(*pair) for pair in zip(*loops, strict=True))


def _loops(step: Step) -> list[Path]:
    return [path for path in step.operation.shapes if path.closed]


def _same(path: Path, other: Path) -> bool:
    pairs = zip(path.vertices, other.vertices, strict=False)
    return len(path.vertices) == len(other.vertices) and all(
        math.dist((a.x, a.y), (b.x, b.y)) <= _MOVED and (a.bulge == 0) == (b.bulge == 0) for a, b in pairs
    )


def tabs_of_another(step: Step, other: Step | None, load: TabLoad) -> tuple[TabPlace, ...] | None:
    """Return the tabs of a step alike, on the lines of this one; None where one of its loops needs other tabs."""
    hold = step.operation.hold
    if other is None or not isinstance(hold, Tabs) or not alike(step, other):
        return None
    loops, found = _loops(step), dict[int, list[TabPlace]]()
    for tab in other.tabs:
        index, place = nearest_tab((tab.x, tab.y), loops, replace(hold, width=tab.width, height=tab.height))
        turned = (place.angle - tab.angle + 180) % 360 - 180
        if math.dist((place.x, place.y), (tab.x, tab.y)) > _MOVED or abs(turned) > _TURNED:
            return None
        found.setdefault(index, []).append(place)
    bear = all(_bears(step, path, found.get(index, []), load) for index, path in enumerate(loops))
    return tuple(tab for index in range(len(loops)) for tab in found.get(index, [])) if bear else None


def _bears(step: Step, path: Path, tabs: Sequence[TabPlace], load: TabLoad) -> bool:
    return load.borne(tabs, enclosed(step.operation, load.kerf, path)) >= 1
