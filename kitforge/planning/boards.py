"""Pieces cut to length from boards: one-dimensional cutting with the kerf of a saw, squared ends and bad places. mm.

Up to `EXACT` pieces the least length to buy is found by trying all ways that can still be better; more are placed by
first fit, the longest first, which takes at most 22 % and a board more than the least for boards of one length (SIAM
Journal on Computing 3, 1974, worst-case bounds for one-dimensional packing; recalled).
"""

from __future__ import annotations

from collections.abc import Sequence

from kitforge.model.record import record

EXACT = 10
_HAIR = 1e-6


@record
class CutBoard:
    """A board of a length as it is sold, and the pieces that are sawn from it, by their numbers in the list."""

    length: float
    pieces: tuple[int, ...]


@record
class Saw:
    """kerf: what a cut takes; trim: what squaring takes off each end of a board as bought."""

    kerf: float
    trim: float

    def takes(self, pieces: Sequence[float]) -> float:
        """Return how long a board must be for some pieces: both ends squared, a cut between every two."""
        return sum(pieces) + self.kerf * max(0, len(pieces) - 1) + 2 * self.trim


def boards_to_buy(pieces: Sequence[float], sold: Sequence[float], saw: Saw) -> tuple[list[CutBoard], list[int]]:
    """Return the boards with the least length in all (then the fewest), and the pieces that no board gives."""
    lengths = sorted(set(sold))
    longest = lengths[-1] if lengths else 0.0
    too_long = [number for number, piece in enumerate(pieces) if saw.takes([piece]) > longest + _HAIR]
    fitting = [number for number in range(len(pieces)) if number not in too_long]
    order = sorted(fitting, key=lambda number: (-pieces[number], number))
    groups = _first_fit(order, pieces, longest, saw)
    if len(order) <= EXACT:
        groups = _Least(pieces, lengths, saw, groups).best(order)
    boards = [CutBoard(_shortest(lengths, [pieces[n] for n in group], saw), tuple(group)) for group in groups]
    return sorted(boards, key=lambda board: (-board.length, board.pieces)), too_long


def _shortest(lengths: Sequence[float], pieces: Sequence[float], saw: Saw) -> float:
    """Return the shortest board that gives some pieces, infinity where none does."""
    return next((one for one in lengths if saw.takes(pieces) <= one + _HAIR), float("inf"))


def _first_fit(order: Sequence[int], pieces: Sequence[float], longest: float, saw: Saw) -> list[list[int]]:
    groups: list[list[int]] = []
    for number in order:
        for group in groups:
            if saw.takes([pieces[n] for n in (*group, number)]) <= longest + _HAIR:
                group.append(number)
                break
        else:
            groups.append([number])
    return groups


class _Least:
    """The search for the least length: pieces go, the longest first, on every board begun, or on a new one."""

    def __init__(self, pieces: Sequence[float], lengths: Sequence[float], saw: Saw, known: list[list[int]]) -> None:
        self.pieces, self.lengths, self.saw = pieces, lengths, saw
        self.found, self.cost = known, self._cost(known)

    def _cost(self, groups: Sequence[Sequence[int]]) -> tuple[float, int]:
        lengths = [_shortest(self.lengths, [self.pieces[n] for n in group], self.saw) for group in groups]
        return round(sum(lengths), 6), len(groups)

    def best(self, order: Sequence[int]) -> list[list[int]]:
        """Return the groups of pieces whose boards are the least in all."""
        self._place(list(order), [])
        return self.found

    def _place(self, waiting: list[int], groups: list[list[int]]) -> None:
        cost = self._cost(groups)
        if cost[0] == float("inf") or cost >= self.cost:
            return  # what is begun only becomes longer
        if not waiting:
            self.found, self.cost = [list(group) for group in groups], cost
            return
        number, rest = waiting[0], waiting[1:]
        tried = set[tuple[float, ...]]()  # boards that hold pieces of the same lengths are one choice
        for group in groups:
            alike = tuple(self.pieces[one] for one in group)
            if alike in tried:
                continue
            tried.add(alike)
            group.append(number)
            self._place(rest, groups)
            group.pop()
        self._place(rest, [*groups, [number]])


def on_own_board(
    pieces: Sequence[float], board: float, bad: Sequence[tuple[float, float]], saw: Saw
) -> tuple[list[tuple[int, float]], list[int]]:
    """Return where pieces start on a board that has bad places (from, to), and those for which there is no room.

    The longest goes first into the shortest clear stretch that takes it; the saw cuts on both sides of a bad place.
    """
    stretches = _clear(board, bad, saw)
    placed: list[tuple[int, float]] = []
    left_over = []
    for number in sorted(range(len(pieces)), key=lambda one: (-pieces[one], one)):
        fitting = [one for one in stretches if one[1] - one[0] >= pieces[number] - _HAIR]
        if not fitting:
            left_over.append(number)
            continue
        start, end = min(fitting, key=lambda one: (one[1] - one[0], one[0]))
        placed.append((number, start))
        stretches[stretches.index((start, end))] = (start + pieces[number] + saw.kerf, end)
    return sorted(placed, key=lambda one: one[1]), sorted(left_over)


def _clear(board: float, bad: Sequence[tuple[float, float]], saw: Saw) -> list[tuple[float, float]]:
    at, found = saw.trim, []
    for start, end in sorted(bad):
        if start - saw.kerf > at:
            found.append((at, start - saw.kerf))
        at = max(at, end + saw.kerf)
    if board - saw.trim > at:
        found.append((at, board - saw.trim))
    return found
