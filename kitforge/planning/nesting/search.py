"""The search for a layout: six sorted orders, then a fixed number of swaps and moves of the best one found, twice:
once each copy goes as far left as it can, once low places count as well.

Never a clock: the number of tries is fixed beforehand, and the random numbers are those of a documented generator, so
that the same kit gives the same layout on every run. The rectangles of today are candidate zero.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING

from kitforge.model.record import record
from kitforge.planning.nesting.placing import Placer, Table
from kitforge.planning.nesting.records import Laid, LayoutTask

if TYPE_CHECKING:
    from kitforge.model.piece import Bounds

Copy = tuple[str, int]
Score = tuple[float, ...]
Judge = Callable[[Laid], bool]

TRIES = 500
"""Orders tried after the sorted ones where nobody says: common practice, no source; more bring little (measured)."""
WORK = 600_000
"""Copies times copies times tries: a task of many copies gets fewer tries, so that it ends in bounded time."""
_STEP = 5.0  # mm: layouts whose lengths differ by less count as equally long


@record
class Found:
    """The best layout, its length in the last room, mm, how many orders were tried, whether it is of rectangles."""

    laid: Laid
    length: float
    tried: int
    rectangles: bool


def search(wanted: LayoutTask, zero: Laid | None, tries: int = TRIES, seed: int = 1) -> Found:
    """Return the best layout of a task. zero: one that is known, of rectangles, taken where nothing better is found."""
    placer = Placer(Table(wanted))
    copies = [(part.part, copy) for part in wanted.parts for copy in part.copies]
    most = min(tries, WORK // max(1, len(copies) ** 2)) if len(copies) > 1 else 0
    best = _Best(Scores(placer), copies, zero)
    for low, share in ((False, most - most // 2), (True, most // 2)):
        climb = _Best(best.scores, copies, zero)
        for order in _orders(placer.table, copies):
            climb.offer(order, placer.lay(order, low=low))
        changes = random.Random(seed)
        for _try in range(share):
            order = _changed(climb.order, changes)
            climb.offer(order, placer.lay(order, low=low))
        best.take(climb)
    found = best.laid or placer.lay(copies)
    return Found(found, best.scores.length(found), best.tried, found is zero)


class _Best:
    """The best layout so far and the order that gave it; one as good as it takes its place, to move on from there."""

    def __init__(self, scores: Scores, order: list[Copy], zero: Laid | None) -> None:
        self.scores, self.order, self.laid, self.tried = scores, order, zero, 0
        self.score = scores.of(zero) if zero is not None else None
        self.longest = scores.size(zero) if zero is not None else None

    def offer(self, order: list[Copy], laid: Laid) -> None:
        self.tried += 1
        score = self.scores.of(laid)
        if self.longest is not None and self.scores.size(laid) > self.longest:
            return  # never longer than candidate zero, not even by less than counts
        if self.score is None or score <= self.score:
            self.order, self.laid, self.score = order, laid, score

    def take(self, other: _Best) -> None:
        """Take over what another search has found, if it is better."""
        self.tried += other.tried
        if other.laid is not None and (self.score is None or (other.score is not None and other.score < self.score)):
            self.order, self.laid, self.score = other.order, other.laid, other.score


@record(eq=False)
class Scores:
    """What makes one layout better than another."""

    placer: Placer

    def of(self, laid: Laid) -> Score:
        """Return copies without a place, rooms, length in the last one, small parts at its edge, sum of right ends."""
        used = [index for index, row in enumerate(laid.rooms) if row]
        boxes = [self._boxes(laid, index) for index in used]
        ends = sum(box.right for row in boxes for box in row)
        length = -(-self.length(laid) // _STEP)
        return len(laid.left_over), len(used), length, round(self._at_edge(laid), 1), round(ends, 1)

    def size(self, laid: Laid) -> Score:
        """Return the same without what is of less weight than wood: copies left over, rooms, length in hundredths."""
        return len(laid.left_over), sum(bool(row) for row in laid.rooms), round(100 * self.length(laid))

    def length(self, laid: Laid) -> float:
        """Return how far the last room that is used is used, mm."""
        last = max((index for index, row in enumerate(laid.rooms) if row), default=None)
        return 0.0 if last is None else max(box.right for box in self._boxes(laid, last))

    def _boxes(self, laid: Laid, room: int) -> list[Bounds]:
        outlines = self._outlines()
        return [place.box(outlines[place.part]) for place in laid.rooms[room]]

    def _outlines(self) -> dict[str, Bounds]:
        from kitforge.model.piece import Bounds

        wanted = self.placer.table.wanted
        boxes = {part.part: Bounds.around(path.bounds for path in part.outlines) for part in wanted.parts}
        return {**{key: path.bounds for key, path in wanted.fixed.items()}, **boxes}

    def _at_edge(self, laid: Laid) -> float:
        """Return how near to the edges small parts lie: the sum of what each lacks to the middle, as shares of a half.

        Small parts are held best where wood stands on all sides of them.
        """
        table = self.placer.table
        outlines, total = self._outlines(), 0.0
        for row, room in zip(laid.rooms, table.wanted.rooms, strict=True):
            _left, bottom, _right, top = room.outline.bounds
            for place in row:
                if table.areas.get(place.part, table.wanted.small) < table.wanted.small:
                    y = place.box(outlines[place.part]).centre[1]
                    total += abs(2 * (y - bottom) / (top - bottom) - 1)
        return total


def _orders(table: Table, copies: Sequence[Copy]) -> Iterator[list[Copy]]:
    """Yield the sorted orders: by area, length, width, their sum, their product, width and then length."""
    boxes = {part.part: part.outlines[0].bounds for part in table.wanted.parts}
    keys: tuple[Callable[[str], tuple[float, ...]], ...] = (
        lambda part: (table.areas[part],),
        lambda part: (boxes[part].width,),
        lambda part: (boxes[part].height,),
        lambda part: (boxes[part].width + boxes[part].height,),
        lambda part: (boxes[part].width * boxes[part].height,),
        lambda part: (boxes[part].height, boxes[part].width),
    )
    for key in keys:
        yield sorted(copies, key=lambda one: tuple(-value for value in key(one[0])))


def _changed(best: Sequence[Copy], drawn: random.Random) -> list[Copy]:
    """Return an order with two copies swapped or one moved; of `random`, only `random()` is documented to last."""
    order = list(best)
    kind, first, second = (drawn.random() for _number in range(3))
    a, b = int(first * len(order)), int(second * len(order))
    if kind < 0.5:
        order[a], order[b] = order[b], order[a]
    else:
        order.insert(b, order.pop(a))
    return order
