"""Lines that are drawn twice in the same place: found before ends are joined, where a copy could pair with itself."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kitforge.model.path import Path

_CELL = 0.01
"""Lines whose points lie in the same cells of this size, mm, are the same; others are compared by their overlap."""

_Piece = tuple[tuple[int, int], tuple[int, int], tuple[int, int]]


def copies_in(paths: Sequence[Path]) -> list[int]:
    """Return the numbers of the paths that run where an earlier one runs, whichever way round and from which point."""
    alike: dict[tuple[int, ...], list[int]] = {}
    for number, path in enumerate(paths):
        alike.setdefault(_rough(path), []).append(number)
    return sorted(number for same in alike.values() if len(same) > 1 for number in _copies(paths, same))


def _copies(paths: Sequence[Path], numbers: Sequence[int]) -> Iterator[int]:
    seen: set[tuple[bool, tuple[_Piece, ...]]] = set()
    for number in numbers:
        key = paths[number].closed, tuple(sorted(_pieces(paths[number])))
        if key in seen:
            yield number
        seen.add(key)


def _rough(path: Path) -> tuple[int, ...]:
    """Return what is cheap to tell and equal for copies: how many points, and their box."""
    xs, ys = [vertex.x for vertex in path.vertices], [vertex.y for vertex in path.vertices]
    return len(xs), _cell(max(xs)), _cell(min(xs)), _cell(max(ys)), _cell(min(ys))


def _pieces(path: Path) -> Iterator[_Piece]:
    for piece in path.pieces():
        ends = sorted(((_cell(piece.x0), _cell(piece.y0)), (_cell(piece.x1), _cell(piece.y1))))
        middle = piece.at(0.5)
        yield ends[0], ends[1], (_cell(middle.x), _cell(middle.y))


def _cell(value: float) -> int:
    return round(value / _CELL)
