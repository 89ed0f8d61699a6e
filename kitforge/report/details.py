"""Details: which places are drawn again, enlarged, and how much of the drawing each of them shows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kitforge.report.records import MarkedSpot

SIDE = 37.0
"""Side of a detail's square frame on paper, mm."""

LEAST, MOST = 4.0, 10.0
"""How much larger than the drawing a detail may be."""

LIMIT = 12
CROWDED = 3.0
"""Places nearer to each other than this on paper, mm, are not told apart in the drawing."""

_MARGIN = 3.5


@dataclass(frozen=True, slots=True)
class Detail:
    """A square of the scene to enlarge: its middle and side in the scene's mm, how many times, and what lies in it."""

    x: float
    y: float
    side: float
    times: float
    spots: tuple[MarkedSpot, ...]


def details_for(spots: Sequence[MarkedSpot], scale: float) -> list[Detail]:
    """Return the details that a drawing at `scale` needs, worst findings first, at most LIMIT."""
    groups = [group for group in _groups(spots, scale) if any(spot.small for spot in group) or _is_crowded(group)]
    groups.sort(key=lambda group: min((spot.severity.rank, spot.number) for spot in group))
    chosen = sorted(groups[:LIMIT], key=lambda group: min(spot.number for spot in group))
    return [_detail(group, scale) for group in chosen]


def _is_crowded(group: Sequence[MarkedSpot]) -> bool:
    return len({(round(spot.x, 3), round(spot.y, 3)) for spot in group}) > 1


def _groups(spots: Sequence[MarkedSpot], scale: float) -> list[list[MarkedSpot]]:
    """Gather places that one detail can show, each to the first group whose first place is near."""
    groups: list[list[MarkedSpot]] = []
    for spot in spots:
        for group in groups:
            near = CROWDED / scale
            if abs(spot.x - group[0].x) <= near and abs(spot.y - group[0].y) <= near:
                group.append(spot)
                break
        else:
            groups.append([spot])
    return groups


def _detail(group: Sequence[MarkedSpot], scale: float) -> Detail:
    left, right = min(s.x for s in group), max(s.x for s in group)
    bottom, top = min(s.y for s in group), max(s.y for s in group)
    extent = max(right - left, top - bottom)
    wanted = 2 * extent + 2 * _MARGIN
    times = min(max(SIDE / (wanted * scale), LEAST), MOST)
    return Detail((left + right) / 2, (bottom + top) / 2, SIDE / (scale * times), times, tuple(group))
