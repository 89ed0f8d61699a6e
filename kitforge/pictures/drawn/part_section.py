"""The section of a part: its wood in the cutting plane as all steps of both faces leave it, and what is measured.

The wood is read from a height map of a narrow strip along the plane, on which every cutter ran its own way; the figures
are the planned ones, as the part's table has them. Lengths mm.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from shapely import MultiPolygon, Polygon, union_all

from kitforge.model.kit import Face
from kitforge.pictures.drawn.features import section_letter
from kitforge.pictures.drawn.section_plane import Run, SectionPlane, section_plane
from kitforge.pictures.drawn.views import turned
from kitforge.surface.heightmap import finished

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from kitforge.model.kit import Part
    from kitforge.model.steps import Step
    from kitforge.pictures.drawn.views import FaceView
    from kitforge.surface.heightmap import Surface

_CELL, _MOST_CELLS = 0.1, 4000
"""Width of a cell of the strip, mm, and so many of them at most along the plane."""
_ROWS = 3


@dataclass(frozen=True, slots=True)
class SectionDepth:
    """One depth of a section: how deep, mm; below: from the face that is turned away in the view; where along the
    plane its floor lies, the longest run first; what it is called."""

    depth: float
    below: bool
    runs: tuple[Run, ...]
    title: str


@dataclass(frozen=True, slots=True, eq=False)
class PartSection:
    """The section of a part, in the coordinates of one of its views.

    along_x: the plane lies along X at Y `at`, else along Y at X `at`; wood: what is cut, (along the plane, height), 0
    at the face that is up in the view; ends: of the part along the plane; letter: at both ends of the plane.
    """

    along_x: bool
    at: float
    wood: MultiPolygon
    thickness: float
    depths: tuple[SectionDepth, ...]
    ends: Run
    letter: str

    @property
    def name(self) -> str:
        """What the section is called in the drawing, by the letters of its plane."""
        return f"{self.letter}–{self.letter}"


def part_section(part: Part, steps: Sequence[Step], views: Sequence[FaceView]) -> tuple[PartSection, FaceView] | None:
    """Return the section of a part and the view that it belongs to: of the face that more of its depths are cut from.

    steps: all that are planned for the part. None for a part that has neither depths nor a shaped edge.
    """
    plane = section_plane(part)
    if plane is None:
        return None
    surface, middle = _strip(part, steps, plane)
    wood = _wood(surface, plane, middle, part.taken_off(Face.TOP))
    faces = [one.operation.face for one in plane.crossed]
    view = max(views, key=lambda one: (faces.count(one.face), one.face is Face.TOP))
    return _seen(part, plane, wood, view), view


def _strip(part: Part, steps: Sequence[Step], plane: SectionPlane) -> tuple[Surface, int]:
    """Return the finished part along the plane, and the row or column of cells that the plane runs through."""
    box = part.outline.bounds
    length = box.width if plane.along_x else box.height
    cell = max(_CELL, length / _MOST_CELLS)
    half = _ROWS / 2 * cell
    low, high = plane.at - half, plane.at + half
    window = (
        (box.left - cell, low, box.right + cell, high)
        if plane.along_x
        else (low, box.bottom - cell, high, box.top + cell)
    )
    surface = finished(part, steps, cell=cell, box=window).freed(part)
    across = surface.grid.shape[0 if plane.along_x else 1]
    return surface, across // 2


def _wood(surface: Surface, plane: SectionPlane, middle: int, taken_off: float) -> MultiPolygon:
    """Return what is left of the wood in the plane, (along the plane, height above the finished upper face)."""
    along = surface.grid.x() if plane.along_x else surface.grid.y()
    upper = taken_off - _line_of(surface.top, plane, middle)
    lower = np.full(len(upper), taken_off - surface.thickness)
    if surface.bottom is not None:
        lower += _line_of(surface.bottom, plane, middle)
    left = _line_of(surface.remaining(), plane, middle) > 0
    edges = np.flatnonzero(np.diff(np.concatenate([[False], left, [False]]).astype(np.int8)))
    pieces = [_piece(along, upper, lower, slice(start, end), surface.grid.cell) for start, end in edges.reshape(-1, 2)]
    joined = union_all([piece if piece.is_valid else piece.buffer(0) for piece in pieces])
    found = getattr(joined, "geoms", (joined,))
    return MultiPolygon([piece for piece in found if isinstance(piece, Polygon) and not piece.is_empty])


def _line_of(heights: NDArray[np.float32], plane: SectionPlane, middle: int) -> NDArray[np.float64]:
    """Return what a map holds along the plane."""
    return (heights[middle, :] if plane.along_x else heights[:, middle]).astype(np.float64)


def _piece(
    along: NDArray[np.float64], upper: NDArray[np.float64], lower: NDArray[np.float64], run: slice, cell: float
) -> Polygon:
    """Return a run of cells with wood in them; the ends of the first and the last one belong to it."""
    at, high, low = along[run], upper[run], lower[run]
    at = np.concatenate([[at[0] - cell / 2], at, [at[-1] + cell / 2]])
    high, low = (np.concatenate([one[:1], one, one[-1:]]) for one in (high, low))
    return Polygon([*zip(at, high, strict=True), *zip(at[::-1], low[::-1], strict=True)])


def _seen(part: Part, plane: SectionPlane, wood: MultiPolygon, view: FaceView) -> PartSection:
    """Return a section as it lies in a view: turned over for the underside, moved to where its positions count from."""
    from shapely.affinity import affine_transform

    under = view.face is Face.BOTTOM
    lying, box, own = turned(part, view.face).outline.bounds, view.part.outline.bounds, part.outline.bounds
    dx, dy = box.left - lying.left, box.bottom - lying.bottom
    mirror = under and plane.along_x  # the plane's own direction runs the other way
    shift = dx if plane.along_x else dy
    turn, base = (-1.0, own.left + own.right) if mirror else (1.0, 0.0)
    at = plane.at + dy if plane.along_x else (own.left + own.right - plane.at if under else plane.at) + dx
    rise, foot = (-1.0, -part.thickness) if under else (1.0, 0.0)
    seen = affine_transform(wood, [turn, 0.0, 0.0, rise, base + shift, foot])
    depths = []
    for one in plane.crossed:
        runs = tuple((shift + low, shift + high) if not mirror else (shift + base - high, shift + base - low)
                     for low, high in one.runs)  # fmt: skip
        operation = one.operation
        depths.append(
            SectionDepth(part.finished_depth(operation), operation.face is not view.face, runs, operation.title)
        )
    ends = (box.left, box.right) if plane.along_x else (box.bottom, box.top)
    return PartSection(plane.along_x, at, seen, part.thickness, _merged(depths), ends, section_letter(part))


def _merged(depths: Sequence[SectionDepth]) -> tuple[SectionDepth, ...]:
    """Return each depth of a face once: what is equally deep has one figure."""
    found: dict[tuple[bool, float], SectionDepth] = {}
    for one in depths:
        key = one.below, round(one.depth, 2)
        same = found.get(key)
        if same is None:
            found[key] = one
        else:
            runs = sorted((*same.runs, *one.runs), key=lambda run: (round(run[0] - run[1], 3), run[0]))
            found[key] = SectionDepth(one.depth, one.below, tuple(runs), f"{same.title}, {one.title}")
    return tuple(found.values())
