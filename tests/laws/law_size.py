"""Every size is found by a calliper on the simulated piece: where the size says that two walls stand, they stand there.

The jaws are laid on the height map (`calliper`), which is cut by the steps of the plan. Where they touch is worked out
here from the lines as drawn.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
import pytest
from calliper import CELL, REACH, Piece, Spot, direction
from kit_samples import Sample
from planted import Fault

from kitforge.geometry import extent as extents
from kitforge.geometry.extent import Extent, Form
from kitforge.model.kit import CutterKind, Operation, OperationKind, Part
from kitforge.model.path import Path
from kitforge.model.steps import Phase
from kitforge.pictures.drawn.features import is_feature
from kitforge.planning import overall, sizes, walls
from kitforge.planning.overall import part_extent
from kitforge.planning.sizes import Made
from kitforge.planning.walls import walls_of
from kitforge.surface.cutter_shape import corner, reach_at

LAW = "a calliper finds every printed size on the simulated piece"
NEAR = 0.12
"""How far off a wall may be found, mm: about one cell of the height map."""
_LINE = 0.3
"""The same for lettering, whose ends are sharper than a cell."""
_PLACES, _CLOSE = (0.5, 0.25, 0.75, 0.1, 0.9), tuple((number + 0.5) / 25 for number in range(25))
"""At which places of a flat a jaw is laid on, and at which ones where it found no wood at all of these."""
_MOST = 3
"""So many different sizes of a feature are printed."""


def broken(sample: Sample) -> list[str]:
    """Return every size that is not found, and every size that is called open although its walls stand."""
    return [said for part in sample.kit.parts for said in _of_part(sample, part)]


def _of_part(sample: Sample, part: Part) -> Iterator[str]:
    piece = Piece(part, sample.plan.steps_of(part.key))
    if any(step.phase is Phase.FREEING for step in piece.steps):
        yield from _outline(piece, part)
    standing = walls_of(part)
    for operation in part.operations:
        cut = [step for step in piece.steps if step.operation.name == operation.name]
        if is_feature(operation) and cut and not all(step.cut is None or step.cut.is_empty for step in cut):
            yield from _feature(piece, operation, standing.made_by(operation))


def _outline(piece: Piece, part: Part) -> Iterator[str]:
    extent = part_extent(part)
    for axis, size in (("length", extent.along), ("width", extent.across)):
        ends = [_edge(piece, extent, axis == "length", end) for end in (-1, 1)]
        if None not in ends and abs(sum(found for found in ends if found is not None)) > 2 * NEAR:
            yield f"the {axis} of {part.key}, {size:.2f}, is {size + sum(e for e in ends if e is not None):.2f}"


def _edge(piece: Piece, extent: Extent, along: bool, end: int) -> float | None:
    """Return how far beyond its size the part reaches at one end; None where a tab hides it everywhere."""
    outward = direction(extent.angle + (0 if along else 90) + (180 if end < 0 else 0))
    side = piece.part.outline, extent, along, end, 0.0
    found = [one for spot in _contacts(*side) if (one := _end(piece, spot, outward)) is not None]
    if found.count(-REACH) < len(found):
        return min(found, key=abs, default=None)
    # no wood where it was looked for: a cut that runs out there, while tabs hide the rest, or all of the side is gone
    places = _contacts(*side, shares=_CLOSE)
    gone = [_end(piece, spot, outward) == -REACH for spot in places]
    return -REACH if sum(gone) > len(gone) / 2 else None


def _end(piece: Piece, spot: Spot, outward: Spot) -> float | None:
    """Return how far beyond a place the part reaches, None where a tab hides it."""
    return None if _at_tab(piece, spot) else piece.edge(spot, outward)


def _at_tab(piece: Piece, spot: Spot) -> bool:
    """Return whether a place is on a tab or on its flanks, which the round cutter leaves: both are cut off later."""
    return any(
        math.dist(spot, (tab.x, tab.y)) < tab.width / 2 + step.cutter.diameter
        for step in piece.steps
        if step.phase is Phase.FREEING
        for tab in step.tabs
    )


def _feature(piece: Piece, operation: Operation, made: Made) -> Iterator[str]:
    seen: set[tuple[object, ...]] = set()
    for extent, path in zip(made.extents, _drawn(operation, made), strict=True):
        key = extent.form, round(extent.shorter, 2), round(extent.longer, 2), extent.open_along, extent.open_across
        if key not in seen and len(seen) < _MOST:
            seen.add(key)
            yield from _measured(piece, operation, made, extent, path)
    if operation.does is OperationKind.CHAMFER and made.line:
        yield from _bevel(piece, operation, made.line)


def _drawn(operation: Operation, made: Made) -> list[Path | None]:
    """Return the line that was drawn for each size, before anything was done to its corners."""
    before = dict(zip(operation.shapes, operation.unrelieved, strict=True)) if operation.unrelieved else {}
    return [path and before.get(path, path) for path in made.paths]


def _measured(piece: Piece, operation: Operation, made: Made, extent: Extent, path: Path | None) -> Iterator[str]:
    if extent.form is Form.ROUND:
        turns = [replace(extent, angle=angle) for angle in range(0, 90, 15)]
        least: list[str] | None = None
        for one in turns:  # until one is found whole
            said = list(_between(piece, operation, made, one, path))
            least = said if least is None or len(said) < len(least) else least
            if not least:
                return
        yield from least or ()
    else:
        yield from _between(piece, operation, made, extent, path)


def _between(piece: Piece, operation: Operation, made: Made, extent: Extent, path: Path | None) -> Iterator[str]:
    """Yield which of the two sizes of a shape are not found between its walls."""
    more = (made.line or 0.0) if made.middles and extent.form is not Form.SLOT else 0.0
    near = _LINE if operation.does is OperationKind.ENGRAVE else NEAR
    for along in (True, False):
        size, is_open = (extent.along, extent.open_along) if along else (extent.across, extent.open_across)
        if is_open:
            continue  # a jaw may stand beside the part there
        paths = (
            [one for one in operation.nominal if one.vertices] if operation.does is OperationKind.ENGRAVE else [path]
        )
        jaws = [_Jaw(extent, [one for one in paths if one], along, end, more / 2) for end in (-1, 1)]
        ends = [_wall(piece, operation, jaw) for jaw in jaws]
        name = f"{operation.part}/{operation.name}: {size + more:.2f}"
        if None in ends:
            yield f"{name} is not found, {ends}"
        elif abs(sum(found for found in ends if found is not None)) > 2 * near:
            yield f"{name} measures {size + more + sum(found for found in ends if found is not None):.2f}"


class _Jaw:
    """One jaw: on which axis and at which end of a shape it touches."""

    def __init__(self, extent: Extent, paths: Sequence[Path], along: bool, end: int, more: float) -> None:
        self.outward = direction(extent.angle + (0 if along else 90) + (180 if end < 0 else 0))
        if len(paths) > 1:
            self.places = _tips(paths, extent, along, end)
        else:
            self.places = _contacts(paths[0] if paths else None, extent, along, end, more)


def _tips(paths: Sequence[Path], extent: Extent, along: bool, end: int) -> list[Spot]:
    """Return where a jaw may touch lettering: where letters reach the side, and a little beside their sharp corners."""
    c, s = direction(extent.angle + (0 if along else 90))
    half = end * (extent.along if along else extent.across) / 2
    points = np.concatenate([path.flatten(0.005) for path in paths])
    tips = points[np.abs((points - extent.centre) @ (c, s) - half) < 0.02]
    return [(x - shift * s, y + shift * c) for x, y in tips[:12].tolist() for shift in (0.0, 0.3, -0.3, 0.7, -0.7)]


def _wall(piece: Piece, operation: Operation, jaw: _Jaw) -> float | None:
    """Return how far beyond its place the wall stands, at the depth at which it is nearest to it; None for no wall."""
    found: list[float] = []
    for spot in jaw.places:
        for level in _levels(operation):
            out = piece.wall(spot, jaw.outward, operation.face, operation.datum.below + level)
            if out is not None:
                found.append(out - _wider(operation, level))
                if abs(found[-1]) <= CELL:  # near enough on both sides for the size to be found
                    return found[-1]
    return min(found, key=abs, default=None)


def _levels(operation: Operation) -> Sequence[float]:
    """Return at which depths walls are looked for, mm."""
    if operation.does is OperationKind.ENGRAVE:
        return (0.05,)
    return [share * operation.depth for share in (0.1, 0.5, 0.9)]


def _wider(operation: Operation, level: float) -> float:
    """Return how much wider on one side a rounded or pointed cutter cuts at the face than at a depth, with a minus."""
    cutter, depth = operation.cutter, operation.depth
    if cutter.kind is CutterKind.DRILL or (cutter.kind is not CutterKind.V_BIT and corner(cutter) == 0):
        return 0.0
    if operation.does is OperationKind.ENGRAVE:
        return -level * math.tan(math.radians((cutter.angle or 90) / 2))
    return reach_at(cutter, depth - level) - reach_at(cutter, depth)


def _contacts(
    path: Path | None, extent: Extent, along: bool, end: int, more: float, shares: Sequence[float] = _PLACES
) -> list[Spot]:
    """Return where a jaw may touch one side of a shape: on its longest flat, the middle first, or at its utmost point.

    more: how far beyond the line that is drawn the wall is to stand, mm; shares: at which places of the flat.
    """
    c, s = direction(extent.angle + (0 if along else 90))
    half = end * (extent.along if along else extent.across) / 2
    (x, y), (ox, oy) = extent.centre, (end * more * c, end * more * s)
    middle = x + half * c + ox, y + half * s + oy
    if path is None or extent.form in (Form.ROUND, Form.SLOT):
        return [middle]
    points = path.flatten(0.005)
    reach = (points - extent.centre) @ (end * c, end * s)
    less = reach.max() - reach
    # the jaw is where the size says; it moves along the line through the place that reaches furthest
    ox, oy = (end * (abs(half) + more - reach.max()) * part for part in (c, s))
    pairs = [(i, j) for i, j in itertools.pairwise(range(len(points))) if max(less[i], less[j]) < 1e-3]
    if not pairs:
        return [tuple((points[int(less.argmin())] + (ox, oy)).tolist())]
    longest = max(pairs, key=lambda pair: math.dist(points[pair[0]], points[pair[1]]))
    start, stop = points[longest[0]], points[longest[1]]
    return [tuple((start + share * (stop - start) + (ox, oy)).tolist()) for share in shares]


def _bevel(piece: Piece, operation: Operation, width: float) -> Iterator[str]:
    """A bevel begins on its line, on the side of the wood: one of both ways it is found as wide as it should be."""
    path = operation.nominal[0]
    found = []
    for share in (0.13, 0.37, 0.61, 0.87):
        station = path.point_at(share * path.length)
        for side in (-1, 1):
            into = (-side * station.dy, side * station.dx)
            level = operation.datum.below + 0.03
            found.append(piece.wall((station.x, station.y), into, operation.face, level, beside=width + 1.5))
    widths = [one for one in found if one is not None]
    if not any(abs(one - width) <= 2 * CELL for one in widths):
        yield f"{operation.part}/{operation.name}: the bevel of {width:.2f} measures {sorted(widths)}"


def _boxes(patch: pytest.MonkeyPatch) -> None:
    """Sizes are those of boxes along x and y, as they once were."""

    def box(path: Path) -> Extent:
        true = extents.extent_of(path)
        around = path.bounds
        return replace(true, along=around.width, across=around.height, angle=0.0, centre=around.centre)

    patch.setattr(sizes, "extent_of", box)


def _with_relief(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(Operation, "nominal", property(lambda operation: operation.shapes))


def _between_ends(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(sizes, "_over_ends", lambda line, width: replace(line, form=Form.SLOT, across=width))


def _cutter_diameter(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(sizes, "width_at", lambda cutter, _depth: cutter.diameter)


def _walls_everywhere(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(walls.Walls, "made_by", lambda _walls, operation: sizes.made_by(operation))


def _as_outlined(patch: pytest.MonkeyPatch) -> None:
    """A part is as large as its outline, whatever else is cut off it."""
    patch.setattr(overall, "_gone_at_edge", lambda _part, _outline: iter(()))


def _inches(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(sizes, "round_extent", lambda x, y, diameter: extents.round_extent(x, y, round(diameter / 25.4, 2)))


FAULTS = (
    Fault("the size of a turned shape is the box around it", _boxes),
    Fault("the corner relief is part of the size", _with_relief, {"corner relief"}),
    Fault("a groove is as long as its line", _between_ends, {"operation groove"}),
    Fault("a hollow is as wide as its cutter, however shallow it is", _cutter_diameter, {"operation dish"}),
    Fault("a groove that runs out over the edge has a length", _walls_everywhere, {"operation groove"}, on_demos=True),
    Fault("diameters are in inches", _inches),
    Fault("a part is as large as its outline", _as_outlined, {"trimmed edge"}),
)
