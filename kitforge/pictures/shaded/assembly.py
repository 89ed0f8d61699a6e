"""The kit put together or pulled apart: boards as cut in space, with light, cast shadows and lines that lead."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from kitforge.files.artefacts import kept_image
from kitforge.model.pictures import BallShape, PictureStandIn
from kitforge.pictures.shaded.ink import marks_of
from kitforge.pictures.shaded.make import PictureSize
from kitforge.pictures.shaded.palette import FULL_LIGHT, INKS, LIGHTS, TONES, Style, table_palette, wood_palette
from kitforge.pictures.shaded.png import png, smoothed
from kitforge.pictures.shaded.solids import (
    Board,
    Eye,
    Facet,
    Placed,
    Shown,
    Vector,
    axes_of,
    board_of,
    eye_towards,
    faces_of,
    look,
)
from kitforge.pictures.shaded.view import PictureView
from kitforge.pictures.shaded.wood import look_of, tone
from kitforge.pictures.studio.bodies import Stage
from kitforge.pictures.studio.stand_ins import add_stand_in

if TYPE_CHECKING:
    from typing import Any

    from PIL.Image import Image as Dots

    Points = NDArray[np.floating[Any]]

Spots = tuple[tuple[float, float] | None, ...]

ROUND_VIEW = PictureView(turn=28.0, rise=28.0)
FROM_BELOW = PictureView(turn=28.0, rise=-28.0)
MOST_PARTS = 200
_BENDS = 0.90
# A lamp lower and more to the front than for single boards, so that standing ones are lit, and a brighter sky.
_LAMP = (-0.08, -0.76, 0.64)
_SKY, _SUN = 0.62, 0.48
_FINER = 2
# Shadows are soft: they are worked out on dots this many times as large.
_SHADOW_DOTS = 3
_BIAS = 0.8
_SOFT = 5
# A curve may be straight within so many dots.
_STRAIGHT = 0.3
_PLAIN_TONE = 0.17
"""The tone at which a palette has the plain colour."""
_LEADS = (46, 40, 34, 255)


@dataclass(frozen=True, slots=True)
class Lead:
    """A broken line from where a part is drawn to where it goes, both mm in space. part: its number, which the line
    does not run across; None for a line that only things in front of it hide."""

    start: Vector
    end: Vector
    part: int | None = None


@dataclass(frozen=True, slots=True)
class Shot:
    """A picture, and for each part a dot (from the upper left) well inside what is seen of it; None for hidden ones.

    scale: dots for a mm of the piece.
    """

    image: Dots
    spots: tuple[tuple[float, float] | None, ...]
    scale: float


@dataclass(frozen=True, slots=True, eq=False)
class _Scene:
    """What every stage of a picture needs."""

    eye: Eye
    boards: Sequence[Board]
    faces: Sequence[Facet]
    shown: Shown
    corners: Points
    style: Style
    table: bool
    colours: Sequence[str] = ()

    def picked(self) -> NDArray[np.bool_]:
        """Return by number whether a board is picked out; things and the table, which is -1, never are."""
        return np.array([board.placed.picked for board in self.boards] + [False] * (len(self.colours) + 1))

    def board_numbers(self) -> NDArray[np.int32]:
        """Return the number of the board that every dot shows, -1 for the table."""
        found: NDArray[np.int32] = np.array([face.board for face in self.faces] + [-1], dtype=np.int32)[self.shown.face]
        return found


def assembly(
    parts: Sequence[Placed], width: int = 1200, view: PictureView = ROUND_VIEW, *, clear: bool = False
) -> bytes:
    """Return a PNG of parts where they stand in space, on a table under the lowest of them.

    Raises ValueError for no parts, or for more than 200.
    """
    scene = _scene(parts, PictureSize(width, clear=clear), (), view)
    return png(_dots(scene, (), view), _FINER, clear=clear)


def assembly_shot(
    parts: Sequence[Placed],
    paper: PictureSize,
    leads: Sequence[Lead] = (),
    view: PictureView = ROUND_VIEW,
    *,
    table: bool = True,
    things: Sequence[PictureStandIn] = (),
) -> Shot:
    """Return a picture of parts where they stand, at most as large as the paper, with lines that lead.

    table: whether there is a table under the lowest of them for shadows to fall on; things: what stands beside them,
    as plain shapes; balls are left out. Raises ValueError for no parts, or
    for more than 200.
    """

    def make() -> tuple[Dots, tuple[Spots, float]]:
        scene = _scene(parts, paper, leads, view, table=table, things=things)
        image = smoothed(_dots(scene, leads, view), paper.finer, clear=paper.clear)
        return image, (_spots(scene, paper.finer), scene.eye.scale / paper.finer)

    if not all(one.layers for one in parts):
        image, (spots, scale) = make()  # such a part is drawn from its operations, of which no key is made
        return Shot(image, spots, scale)
    told = [_read_of(one) for one in parts]
    shapes = [(one.shape, one.places, one.x, one.y, one.colour) for one in things]
    image, (spots, scale) = kept_image("assembly", make, told, paper, leads, view, table, shapes)
    return Shot(image, tuple((spot[0], spot[1]) if spot else None for spot in spots), scale)


def _read_of(one: Placed) -> tuple[object, ...]:
    """Return what a picture reads of a part that has layers."""
    look = look_of(one.part.stock)
    return one.at, one.along_x, one.along_y, one.layers, one.picked, look, one.part.outline, one.part.thickness


def _scene(
    parts: Sequence[Placed],
    paper: PictureSize,
    leads: Sequence[Lead],
    view: PictureView,
    *,
    table: bool = True,
    things: Sequence[PictureStandIn] = (),
) -> _Scene:
    if not 0 < len(parts) <= MOST_PARTS:
        raise ValueError(f"an assembly has 1 to {MOST_PARTS} parts, not {len(parts)}")
    boards = [board_of(placed) for placed in parts]
    corners = np.concatenate([*(board.corners() for board in boards), *(np.array([[*lead.end]]) for lead in leads)])
    extra, colours = _facets_of(things, len(boards))
    corners = np.concatenate([corners, *(ring for facet in extra for ring in facet.rings)])
    high = paper.height * paper.finer if paper.height is not None else None
    framed = np.concatenate([corners, _cast(corners, _lamp(view))]) if table else corners
    eye = eye_towards(axes_of(view), framed, paper.width * paper.finer, height=high)
    faces = [face for n, board in enumerate(boards) for face in faces_of(board, n, _STRAIGHT / eye.scale)]
    faces += extra
    style = Style(clear=paper.clear, hatch=max(8, round(max(eye.columns, eye.rows) / 62)))
    return _Scene(eye, boards, faces, look(eye, faces), corners, style, table, colours)


def _facets_of(things: Sequence[PictureStandIn], first: int) -> tuple[list[Facet], list[str]]:
    """Return the faces of things, numbered behind the boards from `first` on, and the colour of each."""
    stage = staged(things)
    facets = [Facet(first + patch.body, patch.normal, patch.rings) for patch in stage.patches]
    return facets, [body.plain.colour for body in stage.bodies if body.plain is not None]


def staged(things: Sequence[PictureStandIn]) -> Stage:
    """Return the bodies of things where they stand; balls are left out, they have no faces."""
    stage = Stage()
    for one in things:
        if not isinstance(one.shape, BallShape):
            add_stand_in(stage, one, np.zeros(3))
    return stage


def _lamp(view: PictureView) -> Points:
    """Return the direction towards the lamp, which stands where it does however the view is turned."""
    right, up_away = axes_of(PictureView(view.turn, 90.0))[:2]
    # Seen from below, the lamp stands below as well, or the undersides would be black.
    lamp = _LAMP[0] * right + _LAMP[1] * up_away + np.array([0, 0, math.copysign(_LAMP[2], view.rise)])
    found: Points = lamp / np.linalg.norm(lamp)
    return found


def _cast(corners: Points, lamp: Points) -> Points:
    """Return where the shadows of points, shape (n, 3), fall on the table under the lowest of them."""
    high = corners[:, 2] - corners[:, 2].min()
    found: Points = corners - high[:, None] * (lamp / lamp[2])
    return found


def _dots(scene: _Scene, leads: Sequence[Lead], view: PictureView) -> NDArray[np.uint8]:
    """Return the picture as RGBA, shape (rows, columns, 4), row 0 on top."""
    dots = _coloured(scene, _shade(scene, view))
    _draw_leads(scene, leads, dots)
    return np.ascontiguousarray(dots.view(np.uint8).reshape(*dots.shape, 4)[::-1])


def _shade(scene: _Scene, view: PictureView) -> Points:
    """Return the light on every dot, 1 for an open level face: sky by the slope, lamp by the slope and its shadow."""
    from scipy.ndimage import uniform_filter

    lamp = _lamp(view)
    hidden = _in_shadow(scene, lamp).astype(np.float32)
    open_share = 1 - uniform_filter(uniform_filter(hidden, _SOFT), _SOFT)
    rows, columns = scene.shown.face.shape
    open_share = np.repeat(np.repeat(open_share, _SHADOW_DOTS, axis=0), _SHADOW_DOTS, axis=1)[:rows, :columns]
    normals = np.array([face.normal for face in scene.faces] + [np.array([0.0, 0.0, 1.0])], dtype=np.float32)
    sun = np.maximum(normals @ lamp.astype(np.float32), 0) * np.float32(_SUN)
    sky = (0.75 + 0.25 * normals[:, 2] * math.copysign(1.0, view.rise)) * np.float32(_SKY)
    full = np.float32(_SKY + _SUN * abs(float(lamp[2])))
    face = scene.shown.face
    shade: Points = (sky[face] * (0.75 + 0.25 * open_share) + sun[face] * open_share) / full
    return np.where(face < 0, 1 - 0.55 * (1 - shade) if scene.table else np.float32(1), shade)


def _in_shadow(scene: _Scene, lamp: Points) -> NDArray[np.bool_]:
    """Return which of the coarser dots the lamp does not see: those that lie behind what it sees."""
    eye = scene.eye.coarser(_SHADOW_DOTS)
    middle = _SHADOW_DOTS // 2
    away = _padded(scene.shown.away, eye)[middle::_SHADOW_DOTS, middle::_SHADOW_DOTS]
    right = np.cross([0.0, 0.0, 1.0], lamp)
    right /= np.linalg.norm(right)
    from_lamp = eye_towards(np.array([right, np.cross(lamp, right), -lamp]), scene.corners, eye.columns)
    lit = look(from_lamp, scene.faces).away
    seen = _turned(_points(eye, away, float(scene.corners[:, 2].min())), from_lamp.axes)
    column = ((seen[0] - np.float32(from_lamp.left)) * np.float32(from_lamp.scale)).astype(np.int32)
    row = ((seen[1] - np.float32(from_lamp.low)) * np.float32(from_lamp.scale)).astype(np.int32)
    within = (column >= 0) & (column < from_lamp.columns) & (row >= 0) & (row < from_lamp.rows)
    hidden = np.zeros(away.shape, dtype=bool)
    hidden[within] = seen[2][within] > lit[row[within], column[within]] + _BIAS
    return hidden


def _padded(away: Points, eye: Eye) -> Points:
    rows, columns = away.shape
    wanted = eye.rows * _SHADOW_DOTS - rows, eye.columns * _SHADOW_DOTS - columns
    return np.pad(away, ((0, wanted[0]), (0, wanted[1])), mode="edge")


def _turned(points: Sequence[Points], axes: Points) -> list[Points]:
    """Return x, y and z of points along other axes; written out, because a product of long thin matrices is slow."""
    x, y, z = points
    a = axes.astype(np.float32)
    return [x * row[0] + y * row[1] + z * row[2] for row in a]


def _points(eye: Eye, away: Points, floor: float) -> list[Points]:
    """Return x, y and z in space of every dot; bare dots lie on the table."""
    right = (eye.left + (np.arange(eye.columns) + 0.5) / eye.scale).astype(np.float32)
    up = (eye.low + (np.arange(eye.rows) + 0.5) / eye.scale).astype(np.float32)[:, None]
    axes = eye.axes.astype(np.float32)
    table = (up * axes[1, 2] - np.float32(floor)) / -axes[2, 2]
    away = np.where(np.isfinite(away), away, table)
    return [right * axes[0, axis] + up * axes[1, axis] + away * axes[2, axis] for axis in range(3)]


def _coloured(scene: _Scene, shade: Points) -> NDArray[np.uint32]:
    eye, boards = scene.eye, scene.boards
    light = np.clip(shade * ((LIGHTS - 1) / FULL_LIGHT) + 0.5, 0, LIGHTS - 1).astype(np.int32)
    out: NDArray[np.uint32] = table_palette(scene.style)[light]
    number = scene.board_numbers()
    ink = _ink(scene, number)
    picked = scene.picked()[number]
    mark = marks_of(picked.view(np.uint8) * np.uint8(255), scene.style.hatch).astype(np.int32)
    for index, board in enumerate(boards):
        row, column = np.nonzero(number == index)
        if not len(row):
            continue
        x, y, z = _own_points(eye, board, row, column, scene.shown.away[row, column])
        dark = tone(look_of(board.placed.part.stock), x, y, z, 1 / eye.scale)
        tones = np.clip(dark * (TONES - 1), 0, TONES - 1).astype(np.int32)
        entry = ((mark[row, column] * INKS + ink[row, column]) * TONES + tones) * LIGHTS + light[row, column]
        out[row, column] = wood_palette(board.placed.part.stock.material.colour, scene.style)[entry]
    plain = round(_PLAIN_TONE * (TONES - 1))
    for index, colour in enumerate(scene.colours, len(boards)):
        row, column = np.nonzero(number == index)
        entry = ((mark[row, column] * INKS + ink[row, column]) * TONES + plain) * LIGHTS + light[row, column]
        out[row, column] = wood_palette(colour, scene.style)[entry]
    return out


def _own_points(eye: Eye, board: Board, row: NDArray[np.intp], column: NDArray[np.intp], away: Points) -> list[Points]:
    """Return x, y and z of dots in the part's own coordinates."""
    seen = (
        (eye.left + (column + 0.5) / eye.scale).astype(np.float32),
        (eye.low + (row + 0.5) / eye.scale).astype(np.float32),
        away,
    )
    turn = (board.axes @ eye.axes.T).astype(np.float32)
    start = (board.axes @ board.origin).astype(np.float32)
    return [seen[0] * turn[k, 0] + seen[1] * turn[k, 1] + seen[2] * turn[k, 2] - start[k] for k in range(3)]


def _ink(scene: _Scene, boards: NDArray[np.int32]) -> NDArray[np.int32]:
    """Return 3 on outlines of parts and jumps in depth, 2 on edges between faces of one part, else 0."""
    shown = scene.shown
    normals = np.array([face.normal for face in scene.faces] + [np.zeros(3)], dtype=np.float32)
    picked = scene.picked()
    ink = np.zeros(shown.face.shape, dtype=np.int32)
    heavy = np.zeros(shown.face.shape, dtype=bool)
    whole, first, last = slice(None), slice(None, -1), slice(1, None)
    for low, high in (((first, whole), (last, whole)), ((whole, first), (whole, last))):
        row, column = np.nonzero(shown.face[low] != shown.face[high])
        p, q = shown.face[low][row, column], shown.face[high][row, column]
        one, other = boards[low][row, column], boards[high][row, column]
        bend = (normals[p] * normals[q]).sum(axis=1) < _BENDS
        step = np.abs(shown.away[low][row, column] - shown.away[high][row, column]) > 3 * _BIAS
        level = np.where(one != other, 3, np.where(bend | step, 2, 0))
        thick = (one != other) & (picked[one] | picked[other])
        for part in (low, high):
            ink[part][row, column] = np.maximum(ink[part][row, column], level)
            heavy[part][row, column] |= thick
    ink[_wider(heavy) & (boards >= 0)] = 3
    return ink


def _wider(marked: NDArray[np.bool_]) -> NDArray[np.bool_]:
    from scipy.ndimage import binary_dilation

    wide: NDArray[np.bool_] = binary_dilation(marked, iterations=_FINER)
    return wide


def _draw_leads(scene: _Scene, leads: Sequence[Lead], dots: NDArray[np.uint32]) -> None:
    """Draw broken lines where nothing hides them: dashes of 14 dots with gaps of 9."""
    eye, number = scene.eye, scene.board_numbers()
    colour = np.array(_LEADS, dtype=np.uint8).view(np.uint32)[0]
    for lead in leads:
        ends = eye.seen(np.array([lead.start, lead.end]))
        length = float(np.hypot(*(ends[1] - ends[0])[:2])) * eye.scale
        share = (np.arange(max(2, round(length))) + 0.5) / max(2, round(length))
        share = share[(share * length) % (23 * _FINER) < 14 * _FINER]
        along = ends[0] + share[:, None] * (ends[1] - ends[0])
        column = ((along[:, 0] - eye.left) * eye.scale).astype(np.intp)
        row = ((along[:, 1] - eye.low) * eye.scale).astype(np.intp)
        for dx in range(-1, _FINER):
            for dy in range(-1, _FINER):
                r, c = np.clip(row + dy, 0, eye.rows - 1), np.clip(column + dx, 0, eye.columns - 1)
                free = (along[:, 2] < scene.shown.away[r, c] + _BIAS) & (
                    number[r, c] != (-2 if lead.part is None else lead.part)
                )
                dots[r[free], c[free]] = colour


def _spots(scene: _Scene, finer: int) -> tuple[tuple[float, float] | None, ...]:
    """Return for each board a dot as far inside what is seen of it as there is one, from the upper left."""
    from scipy.ndimage import distance_transform_edt

    number = scene.board_numbers()[::4, ::4]
    found: list[tuple[float, float] | None] = []
    for index in range(len(scene.boards)):
        seen = number == index
        if not seen.any():
            found.append(None)
            continue
        depth = distance_transform_edt(np.pad(seen, 1))[1:-1, 1:-1]
        row, column = np.unravel_index(int(np.argmax(depth)), depth.shape)
        found.append(((int(column) * 4 + 0.5) / finer, (scene.eye.rows - int(row) * 4 - 0.5) / finer))
    return tuple(found)
