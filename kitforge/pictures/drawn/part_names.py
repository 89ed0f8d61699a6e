"""The names of parts on a drawn sheet: inside each of them, else a number inside or beside it and a key to the numbers.

Coordinates are those of the canvas, mm of paper, y downwards.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from itertools import combinations, pairwise
from typing import TYPE_CHECKING

import shapely
from shapely.affinity import affine_transform

from kitforge.pictures.drawn.grooves import area_of, runs_of
from kitforge.pictures.drawn.placing import (
    Box,
    Ground,
    LabelPlace,
    Leader,
    box_around,
    half_along,
    words_room,
    words_width,
)
from kitforge.print.svg import INK

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from shapely.geometry.base import BaseGeometry

    from kitforge.model.path import Path
    from kitforge.print.svg import PlanView, SvgCanvas

_SIZES = (3.2, 2.6)
_MOST_LINES, _LEADING = 3, 1.15
_MIDDLE = 0.34
"""From the middle of a line of words down to its baseline, of its size."""
_CLEAR = 0.5
"""So much on each side of a name stays clear of the outline, mm."""
_GRID = 12
_OVER = 300.0
"""What it costs that a number lies wholly on a part, mm of leader."""
_REACHES = (2.5, 4.0, 6.0, 9.0, 13.0, 18.0, 25.0)
_KEY_SIZE, _KEY_LINE, _KEY_ABOVE, _KEY_GAP = 3.0, 4.2, 1.5, 5.0


@dataclass(frozen=True, slots=True)
class _Way:
    """One way to write a name: its lines, their size, whether it reads from the right, and its box."""

    lines: tuple[str, ...]
    size: float
    turned: bool

    @property
    def box(self) -> tuple[float, float]:
        """Width and height of the box, as it stands on the canvas."""
        wide = max(words_room(one, self.size) for one in self.lines) + 2 * _CLEAR
        tall = len(self.lines) * self.size * _LEADING + 2 * _CLEAR
        return (tall, wide) if self.turned else (wide, tall)


@dataclass(slots=True)
class PartNames:
    """Writes the names of the parts of one sheet and numbers what has no room for its name.

    shown: title and outline of every part as it lies, in the coordinates of the sheet; taken: what no word may cover
    and no leader cross; lines: what no word may cover and no leader should cross.
    """

    canvas: SvgCanvas
    view: PlanView
    shown: Sequence[tuple[str, Path]]
    taken: Sequence[Box]
    lines: Sequence[Box]
    numbers: dict[str, int] = field(default_factory=dict)

    def draw(self) -> None:
        """Write every name or number; `numbers` then says which number stands for which title."""
        areas = [_area(outline, self.view) for _, outline in self.shown]
        free: dict[str, list[BaseGeometry]] = {}
        for (title, _), area in zip(self.shown, areas, strict=True):
            free.setdefault(title, []).append(_without_smaller(area, areas))
        written: list[Box] = []
        without = [(title, one) for title, parts in free.items() for one in self._named(title, parts, written)]
        for title, _ in without:
            self.numbers.setdefault(title, len(self.numbers) + 1)
        narrow = [pair for pair in without if self._write(self._numbered(pair[0]), [pair[1]], written)]
        ground = _ground(self.canvas, areas, [*self.taken, *written], self.lines)
        covered = shapely.union_all([*areas, *(shapely.box(*one) for one in self.lines)])
        for title, one in narrow:
            _write_beside(self.canvas, ground, str(self.numbers[title]), one, covered)

    def _numbered(self, title: str) -> list[_Way]:
        return [_Way((str(self.numbers[title]),), size, turned=False) for size in _SIZES]

    def _named(self, title: str, parts: Sequence[BaseGeometry], written: list[Box]) -> list[BaseGeometry]:
        """Write a title into all copies of a part, alike if that can be; return those that have no room for it."""
        ways = _ways(title)
        return [one for part in self._write(ways, parts, written) for one in self._write(ways, [part], written)]

    def _write(self, ways: Sequence[_Way], parts: Sequence[BaseGeometry], written: list[Box]) -> Sequence[BaseGeometry]:
        """Write into all parts in the first way that has room in each of them; return the parts if there is none."""
        spots = [list(_spots(part)) for part in parts]
        for way in ways:
            found: list[Box] = []
            for part, places in zip(parts, spots, strict=True):
                box = self._room(way, part, places, [*written, *found])
                if box is None:
                    break
                found.append(box)
            else:
                for box in found:
                    _write_at(self.canvas, way, (box.left + box.right) / 2, (box.top + box.bottom) / 2)
                written += found
                return ()
        return parts

    def _room(
        self, way: _Way, part: BaseGeometry, places: Sequence[tuple[float, float]], written: Sequence[Box]
    ) -> Box | None:
        """Return the first box for a way that lies wholly in a part and clear of other words, None if there is none."""
        boxes = (box_around(x, y, *way.box) for x, y in places)
        clear = (box for box in boxes if not any(box.overlaps(other) for other in (*self.taken, *self.lines, *written)))
        return next((box for box in clear if part.contains(shapely.box(*box))), None)


def _ways(title: str) -> list[_Way]:
    """Return the ways to write a title, the best to read first: level before turned, large before small, few lines."""
    broken = list(_broken(title))
    return [_Way(lines, size, turned) for turned in (False, True) for size in _SIZES for lines in broken]


def _broken(title: str) -> Iterator[tuple[str, ...]]:
    """Yield a title in one line and broken between words into more, each time so that the longest line is shortest."""
    words = title.split() or [title]
    for count in range(1, min(_MOST_LINES, len(words)) + 1):
        cuts = ((0, *at, len(words)) for at in combinations(range(1, len(words)), count - 1))
        found = (tuple(" ".join(words[a:b]) for a, b in pairwise(at)) for at in cuts)
        yield min(found, key=lambda lines: max(words_width(one, 1.0) for one in lines))


def _write_at(canvas: SvgCanvas, way: _Way, x: float, y: float, *, halo: bool = False) -> None:
    """Write the lines of a way with the middle of their box at (x, y)."""
    for index, words in enumerate(way.lines):
        away = (index - (len(way.lines) - 1) / 2) * way.size * _LEADING + way.size * _MIDDLE
        at = (x + away, y) if way.turned else (x, y + away)
        canvas.text(*at, words, size=way.size, anchor="middle", turn=-90.0 if way.turned else 0.0, halo=halo)


def _area(outline: Path, view: PlanView) -> BaseGeometry:
    """Return what a part covers on the canvas; an outline without an area covers nothing."""
    area = area_of(outline)
    matrix = [view.scale, 0.0, 0.0, -view.scale, view.left, view.bottom]
    return shapely.Polygon() if area is None else affine_transform(area, matrix)


def _without_smaller(area: BaseGeometry, areas: Sequence[BaseGeometry]) -> BaseGeometry:
    """Return an area without the smaller ones in it: there the other part is seen."""
    inner = [other for other in areas if other.area < area.area and other.intersects(area)]
    free = area.difference(shapely.union_all(inner)) if inner else area
    shapely.prepare(free)
    return free


def _spots(area: BaseGeometry) -> Iterator[tuple[float, float]]:
    """Yield where the middle of a name may stand, the middle of the part first and then what is nearest to it."""
    if area.is_empty:
        return
    left, top, right, bottom = area.bounds
    x, y = (left + right) / 2, (top + bottom) / 2
    steps = [index / _GRID - 0.5 for index in range(1, _GRID)]
    grid = [(x + i * (right - left), y + j * (bottom - top)) for i in steps for j in steps]
    inner = area.centroid
    yield x, y
    yield inner.x, inner.y
    yield from sorted(grid, key=lambda at: round(math.hypot(at[0] - x, at[1] - y), 6))


def _ground(canvas: SvgCanvas, areas: Sequence[BaseGeometry], taken: Sequence[Box], lines: Sequence[Box]) -> Ground:
    ground = Ground(canvas.width, canvas.height, list(taken))
    edges = [area.boundary for area in areas] + [shapely.box(*one).boundary for one in lines]
    for line in runs_of(shapely.union_all(edges)):
        ground.add_run(shapely.get_coordinates(line))
    return ground


def _write_beside(canvas: SvgCanvas, ground: Ground, number: str, part: BaseGeometry, covered: BaseGeometry) -> None:
    """Write a number beside its part with a leader to it: on nothing else if that can be, never over other words."""
    way = _Way((number,), _SIZES[0], turned=False)
    wide, tall = words_width(number, way.size) + 0.6, 0.8 * way.size + 0.4
    place = ground.choose(_beside(part, covered, wide, tall), wide, tall)
    if place is None:
        return
    if place.leader is not None:
        canvas.line(*place.leader)
        canvas.disc(place.leader.x0, place.leader.y0, 0.4, fill=INK)
    _write_at(canvas, way, place.x, place.y, halo=True)


def _beside(part: BaseGeometry, covered: BaseGeometry, wide: float, tall: float) -> Iterator[LabelPlace]:
    """Yield places around a part, at all sides and further and further away."""
    if part.is_empty:
        return
    foot = part.representative_point()
    left, top, right, bottom = part.bounds
    half = math.hypot(right - left, bottom - top) / 2
    for reach in _REACHES:
        for turn in range(0, 360, 15):
            dx, dy = math.cos(math.radians(turn)), math.sin(math.radians(turn))
            away = half + reach
            x, y = foot.x + dx * away, foot.y + dy * away
            end = away - half_along(dx, dy, wide, tall)
            leader = Leader(foot.x, foot.y, foot.x + dx * end, foot.y + dy * end)
            over = shapely.box(*box_around(x, y, wide, tall)).intersection(covered).area / (wide * tall)
            yield LabelPlace(x, y, leader, reach + _OVER * over)


def key_rows(numbers: dict[str, int], width: float) -> list[list[tuple[float, str, str]]]:
    """Return the rows of the key below a sheet: where each entry begins, its number and its title."""
    rows: list[list[tuple[float, str, str]]] = []
    at = 0.0
    for title, number in numbers.items():
        long = words_room(f"{number} {title}", _KEY_SIZE) + _KEY_GAP
        if not rows or (at and at + long - _KEY_GAP > width):
            rows.append([])
            at = 0.0
        rows[-1].append((at, str(number), title))
        at += long
    return rows


def key_width(numbers: dict[str, int]) -> float:
    """Return how wide the longest entry of the key is, mm."""
    return max((words_room(f"{n} {title}", _KEY_SIZE) + _KEY_GAP for title, n in numbers.items()), default=0.0)


def key_height(numbers: dict[str, int], width: float) -> float:
    """Return how high the key below a sheet is, mm."""
    rows = key_rows(numbers, width)
    return _KEY_ABOVE + len(rows) * _KEY_LINE if rows else 0.0


def draw_key(canvas: SvgCanvas, numbers: dict[str, int], left: float, top: float) -> None:
    """Write the key to the numbers below a sheet, from (left, top) downwards."""
    for index, row in enumerate(key_rows(numbers, canvas.width - left)):
        y = top + _KEY_ABOVE + index * _KEY_LINE + _KEY_SIZE
        for at, number, title in row:
            canvas.text(left + at, y, number, size=_KEY_SIZE, bold=True)
            canvas.text(left + at + words_width(f"{number} ", _KEY_SIZE) + 0.8, y, title, size=_KEY_SIZE)
