"""The kit put together or pulled apart: boards with their outlines and holes in space, with light and cast shadows."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from kitforge.surface.pictures.palette import FULL_LIGHT, LIGHTS, TONES, Style, table_palette, wood_palette
from kitforge.surface.pictures.png import png
from kitforge.surface.pictures.solids import (
    Board,
    Eye,
    Face,
    Placed,
    Shown,
    axes_of,
    board_of,
    eye_towards,
    faces_of,
    look,
)
from kitforge.surface.pictures.view import View
from kitforge.surface.pictures.wood import look_of, tone

if TYPE_CHECKING:
    from typing import Any

    import numpy as np
    from numpy.typing import NDArray

ROUND_VIEW = View(turn=28.0, rise=28.0)
MOST_PARTS = 200
_BENDS = 0.90
# A lamp lower and more to the front than for single boards, so that standing ones are lit, and a brighter sky.
_LAMP = (-0.38, -0.60, 0.70)
_SKY, _SUN = 0.62, 0.48
_FINER = 2
_BIAS = 0.8
_SOFT = 6 * _FINER + 1


def assembly(parts: Sequence[Placed], width: int = 1200, view: View = ROUND_VIEW, *, clear: bool = False) -> bytes:
    """Return a PNG of parts where they stand in space, on a table under the lowest of them.

    Pockets and grooves are not drawn, holes are. Raises ValueError for no parts, or for more than 200.
    """
    import numpy as np

    if not 0 < len(parts) <= MOST_PARTS:
        raise ValueError(f"an assembly has 1 to {MOST_PARTS} parts, not {len(parts)}")
    boards = [board_of(placed) for placed in parts]
    faces = [face for number, board in enumerate(boards) for face in faces_of(board, number)]
    corners = np.concatenate([_corners(board) for board in boards])
    floor = float(corners[:, 2].min())
    eye = eye_towards(axes_of(view), corners, width * _FINER)
    shown = look(eye, boards, faces)
    style = Style(clear=clear)
    dots = _coloured(eye, boards, faces, shown, _shade(eye, boards, faces, shown, corners, view, floor), style)
    return png(np.ascontiguousarray(dots.view(np.uint8).reshape(*dots.shape, 4)[::-1]), _FINER, clear=clear)


def _corners(board: Board) -> NDArray[np.floating[Any]]:
    import numpy as np

    box, thick = board.placed.part.outline.bounds, board.placed.part.stock.actual
    own = [(x, y, z) for x in (box.left, box.right) for y in (box.bottom, box.top) for z in (0.0, -thick)]
    return board.world(np.array(own))


def _shade(
    eye: Eye,
    boards: Sequence[Board],
    faces: Sequence[Face],
    shown: Shown,
    corners: NDArray[np.floating[Any]],
    view: View,
    floor: float,
) -> NDArray[np.floating[Any]]:
    """Return the light on every dot, 1 for an open level face: sky by the slope, lamp by the slope and its shadow."""
    import numpy as np
    from scipy.ndimage import uniform_filter

    right, up_away = axes_of(View(view.turn, 90.0))[:2]
    lamp = _LAMP[0] * right + _LAMP[1] * up_away + np.array([0, 0, _LAMP[2]])
    lamp /= np.linalg.norm(lamp)
    hidden = _in_shadow(eye, boards, faces, shown, corners, lamp, floor)
    open_share = 1 - uniform_filter(uniform_filter(hidden.astype(np.float32), _SOFT), _SOFT)
    normals = np.array([face.normal for face in faces] + [np.array([0.0, 0.0, 1.0])], dtype=np.float32)
    sun = np.maximum(normals @ lamp.astype(np.float32), 0)[shown.face]
    sky = (0.75 + 0.25 * normals[:, 2])[shown.face] * (0.75 + 0.25 * open_share)
    full = _SKY + _SUN * float(lamp[2])
    shade: NDArray[np.floating[Any]] = (_SKY * sky + _SUN * sun * open_share) / np.float32(full)
    shade[shown.face < 0] = 1 - 0.55 * (1 - shade[shown.face < 0])
    return shade


def _in_shadow(
    eye: Eye,
    boards: Sequence[Board],
    faces: Sequence[Face],
    shown: Shown,
    corners: NDArray[np.floating[Any]],
    lamp: NDArray[np.floating[Any]],
    floor: float,
) -> NDArray[np.bool_]:
    """Return which dots the lamp does not see: those that lie behind what it sees."""
    import numpy as np

    right = np.cross([0.0, 0.0, 1.0], lamp)
    right /= np.linalg.norm(right)
    from_lamp = eye_towards(np.array([right, np.cross(lamp, right), -lamp]), corners, eye.columns)
    lit = look(from_lamp, boards, faces).away
    seen = from_lamp.seen(_points(eye, shown, floor).reshape(-1, 3))
    column = ((seen[:, 0] - from_lamp.left) * from_lamp.scale).astype(np.int32)
    row = ((seen[:, 1] - from_lamp.low) * from_lamp.scale).astype(np.int32)
    within = (column >= 0) & (column < from_lamp.columns) & (row >= 0) & (row < from_lamp.rows)
    hidden = np.zeros(len(seen), dtype=bool)
    hidden[within] = seen[within, 2] > lit[row[within], column[within]] + _BIAS
    return hidden.reshape(shown.face.shape)


def _points(eye: Eye, shown: Shown, floor: float) -> NDArray[np.floating[Any]]:
    """Return the point in space of every dot, shape (rows, columns, 3); bare dots lie on the table."""
    import numpy as np

    right = eye.left + (np.arange(eye.columns) + 0.5) / eye.scale
    up = (eye.low + (np.arange(eye.rows) + 0.5) / eye.scale)[:, None]
    table = (up * eye.axes[1, 2] - floor) / -eye.axes[2, 2]
    away = np.where(np.isfinite(shown.away), shown.away, table)
    out = np.empty((*shown.face.shape, 3), dtype=np.float32)
    for axis in range(3):
        out[..., axis] = right * eye.axes[0, axis] + up * eye.axes[1, axis] + away * eye.axes[2, axis]
    return out


def _coloured(
    eye: Eye,
    boards: Sequence[Board],
    faces: Sequence[Face],
    shown: Shown,
    shade: NDArray[np.floating[Any]],
    style: Style,
) -> NDArray[np.uint32]:
    import numpy as np

    light = np.clip(shade * ((LIGHTS - 1) / FULL_LIGHT) + 0.5, 0, LIGHTS - 1).astype(np.int32)
    out: NDArray[np.uint32] = table_palette(style)[light]
    ink = _ink(faces, shown)
    board_of_face = np.array([face.board for face in faces] + [-1])
    number = board_of_face[shown.face]
    for index, board in enumerate(boards):
        row, column = np.nonzero(number == index)
        if not len(row):
            continue
        x, y, z = _own_points(faces, shown.face[row, column], shown.a[row, column], shown.b[row, column])
        dark = tone(look_of(board.placed.part.stock), x, y, z, 1 / eye.scale)
        entry = (ink[row, column] * TONES + np.clip(dark * (TONES - 1), 0, TONES - 1).astype(np.int32)) * LIGHTS
        out[row, column] = wood_palette(board.placed.part.stock.material.colour, style)[entry + light[row, column]]
    return out


def _own_points(
    faces: Sequence[Face], face: NDArray[np.int32], a: NDArray[np.floating[Any]], b: NDArray[np.floating[Any]]
) -> tuple[NDArray[np.floating[Any]], ...]:
    """Return x, y and z in the part's own coordinates."""
    import numpy as np

    origin, along, across = (
        np.array(part, dtype=np.float32) for part in zip(*((f.origin, f.a, f.b) for f in faces), strict=True)
    )
    return tuple(origin[face, axis] + a * along[face, axis] + b * across[face, axis] for axis in range(3))


def _ink(faces: Sequence[Face], shown: Shown) -> NDArray[np.int32]:
    """Return 3 on outlines of parts and jumps in depth, 2 on edges between faces of one part, else 0."""
    import numpy as np

    normals = np.array([face.normal for face in faces] + [np.zeros(3)], dtype=np.float32)
    boards = np.array([face.board for face in faces] + [-1])
    ink = np.zeros(shown.face.shape, dtype=np.int32)
    whole, first, last = slice(None), slice(None, -1), slice(1, None)
    for low, high in (((first, whole), (last, whole)), ((whole, first), (whole, last))):
        one, other = shown.face[low], shown.face[high]
        row, column = np.nonzero(one != other)
        p, q = one[row, column], other[row, column]
        bend = (normals[p] * normals[q]).sum(axis=1) < _BENDS
        level = np.where(boards[p] != boards[q], 3, np.where(bend, 2, 0))
        for part in (low, high):
            view = ink[part]
            view[row, column] = np.maximum(view[row, column], level)
    return ink
