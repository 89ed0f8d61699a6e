"""Rectangles on sheets: each at the lowest place that is free, the longest first, on the first sheet that has room.

What is free of a sheet is kept as the largest rectangles in it, which may overlap (the method of maximal rectangles
with the bottom-left rule, as in "A Thousand Ways to Pack the Bin", 2010). Nothing is turned. Lengths mm.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

Size = tuple[float, float]


class Spot(NamedTuple):
    """Where a rectangle went: the number of the sheet, from 0, and its lower left corner there, mm."""

    sheet: int
    x: float
    y: float


class _Free(NamedTuple):
    x: float
    y: float
    wide: float
    high: float

    def holds(self, other: _Free) -> bool:
        across = self.x <= other.x and other.x + other.wide <= self.x + self.wide
        return across and self.y <= other.y and other.y + other.high <= self.y + self.high

    def without(self, taken: _Free) -> list[_Free]:
        """Return the largest rectangles that are left when a part of it is taken."""
        x, y, right, top = taken.x, taken.y, taken.x + taken.wide, taken.y + taken.high
        if x >= self.x + self.wide or right <= self.x or y >= self.y + self.high or top <= self.y:
            return [self]
        left: list[_Free] = []
        if x > self.x:
            left.append(self._replace(wide=x - self.x))
        if right < self.x + self.wide:
            left.append(self._replace(x=right, wide=self.x + self.wide - right))
        if top < self.y + self.high:
            left.append(self._replace(y=top, high=self.y + self.high - top))
        if y > self.y:
            left.append(self._replace(high=y - self.y))
        return left


def packed(sizes: Sequence[Size], sheet: Size) -> list[Spot | None]:
    """Return where each rectangle lies on sheets of one size, as many as it takes; None for one larger than a sheet."""
    order = sorted(range(len(sizes)), key=lambda index: (max(sizes[index]), min(sizes[index])), reverse=True)
    sheets: list[list[_Free]] = []
    spots: list[Spot | None] = [None] * len(sizes)
    for index in order:
        wide, high = sizes[index]
        if wide > sheet[0] or high > sheet[1]:
            continue
        for number in range(len(sheets) + 1):
            if number == len(sheets):
                sheets.append([_Free(0.0, 0.0, *sheet)])
            at = _lowest(sheets[number], wide, high)
            if at is not None:
                sheets[number] = _taken(sheets[number], _Free(at.x, at.y, wide, high))
                spots[index] = Spot(number, at.x, at.y)
                break
    return spots


def shortened(sizes: Sequence[Size], sheet: Size, step: float = 2.0) -> list[Spot | None]:
    """Return the same, with the last sheet as short as it can be: what is left of it is then one piece.

    The sheets before it keep what they hold; the rest is packed again and again, each time `step` mm shorter.
    """
    spots = packed(sizes, sheet)
    last = max((spot.sheet for spot in spots if spot is not None), default=0)
    own = [index for index, spot in enumerate(spots) if spot is not None and spot.sheet == last]
    some = [sizes[index] for index in own]
    found: list[Spot | None] = [spots[index] for index in own]
    while own:
        reach = max(spot.x + size[0] for spot, size in zip(found, some, strict=True) if spot is not None)
        trial = packed(some, (reach - step, sheet[1]))
        if any(spot is None or spot.sheet for spot in trial):
            break
        found = trial
    for index, spot in zip(own, found, strict=True):
        spots[index] = spot and spot._replace(sheet=last)
    return spots


def _lowest(free: Sequence[_Free], wide: float, high: float) -> _Free | None:
    fitting = [one for one in free if wide <= one.wide and high <= one.high]
    return min(fitting, key=lambda one: one.y + high, default=None)


def _taken(free: Sequence[_Free], taken: _Free) -> list[_Free]:
    """Return what is free after a rectangle is taken; none of them lies in another."""
    parts = list(dict.fromkeys(part for one in free for part in one.without(taken)))
    return [one for one in parts if not any(other is not one and other.holds(one) for other in parts)]
