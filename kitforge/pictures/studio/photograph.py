"""A photograph of a stage: the object with how much of every dot it takes, and the light on the ground around it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from kitforge.pictures.studio.bodies import Stage
from kitforge.pictures.studio.camera import Camera
from kitforge.pictures.studio.colours import printed
from kitforge.pictures.studio.develop import Dots, Lights, bevelled, coloured, light_on, normals
from kitforge.pictures.studio.lamps import LightShares, LitGround, LitPoints, lit, strewn
from kitforge.pictures.studio.timber import Timber
from kitforge.pictures.studio.visible import Seen, mixed_colours, seen_by

if TYPE_CHECKING:
    from typing import Any

    from PIL.Image import Image as Picture

    Values = NDArray[np.floating[Any]]

_LIT_DOTS, GROUND_DOTS = 3, 5
"""Light is soft: it is worked out on dots so many times as large, on the object and on the ground."""
_RIM = 0.42
_DARKEST = 0.22
_SKY_BLUR, _KEY_BLUR = 11, 5
# Away from the object what single lamps of the sky leave dark is softened so much more, over so many of its blurs.
_FAR_BLUR, _NEAR = 45, 4.0
# Light fades to that of open ground over 1 in so many of the paper: over less, that shows as a straight edge.
_FADE = 6


@dataclass(frozen=True, slots=True, eq=False)
class Photo:
    """clear: the object as RGBA dots (rows, columns, 4) on clear ground, sRGB; ground: light on the ground, 1 in the
    open, float32, on dots GROUND_DOTS times as large, `rim` dots wider all around; all with row 0 on top.
    box: left, top, right, bottom of the object, dots."""

    clear: NDArray[np.uint8]
    ground: NDArray[np.float32]
    rim: int
    box: tuple[int, int, int, int]

    @property
    def colour(self) -> NDArray[np.uint8]:
        """Red, green and blue of the object, shape (rows, columns, 3)."""
        return self.clear[..., :3]

    @property
    def share(self) -> NDArray[np.uint8]:
        """The share of each dot that the object takes, 0 to 255."""
        return self.clear[..., 3]


@dataclass(frozen=True, slots=True, eq=False)
class GroundPlane:
    """The plane that shadows fall on: a point of it and the way that it looks, both (3,)."""

    point: Values
    normal: Values


def packed(photo: Photo) -> tuple[Picture, tuple[int, int, int]]:
    """Return a photograph as one picture, so that it can be kept, the ground below the object; and its rim and size."""
    from PIL import Image

    rows, columns = photo.ground.shape
    light = np.round(photo.ground * 65535).astype(np.uint32)
    width = max(columns, photo.share.shape[1])
    dots = np.zeros((photo.share.shape[0] + rows, width, 4), dtype=np.uint8)
    dots[:-rows, : photo.share.shape[1]] = photo.clear
    dots[-rows:, :columns, 0], dots[-rows:, :columns, 1] = light >> 8, light & 255
    return Image.fromarray(dots), (photo.rim, rows, photo.share.shape[1])


def unpacked(picture: Picture, said: Sequence[int]) -> Photo:
    """Return the photograph that was packed."""
    rim, rows, width = said
    dots = np.asarray(picture)
    object_, below = np.ascontiguousarray(dots[:-rows, :width]), dots[-rows:]
    light = (below[..., 0].astype(np.float32) * 256 + below[..., 1])[:, : -(-(width + 2 * rim) // GROUND_DOTS)]
    return Photo(object_, (light / 65535).astype(np.float32), rim, _box(object_[..., 3]))


def _box(share: NDArray[np.uint8]) -> tuple[int, int, int, int]:
    rows, columns = np.flatnonzero(share.any(axis=1)), np.flatnonzero(share.any(axis=0))
    return int(columns[0]), int(rows[0]), int(columns[-1]) + 1, int(rows[-1]) + 1


def photograph(
    stage: Stage, camera: Camera, lights: Lights, timbers: Sequence[Timber | None], ground: GroundPlane | None
) -> Photo:
    """Return a photograph of a stage before a ground, or before none. timbers: the wood of each body that is a board.

    The camera's paper is that of the object; the ground is taken on a paper that is wider all around.
    """
    seen, cloud = seen_by(camera, stage), strewn(stage)
    flat = np.flatnonzero(seen.surface.ravel() >= 0)
    place = _places(camera, seen, flat)
    normal = normals(stage, seen, flat, place)
    pieces = [*(p.body for p in stage.patches), *(b.body for b in stage.balls)]
    body = np.array(pieces, dtype=np.int32)[seen.piece.ravel()[flat]]
    rim = round(_RIM * max(camera.columns, camera.rows))
    wide, few = camera.wider(rim), _FewDots(seen, flat)
    floor = [] if ground is None else [_floor(wide, ground)]
    # One look from each lamp serves the object and the ground.
    object_light, *floor_light = lit(cloud, [few.points(place, normal), *floor], lights.key)
    key, sky = few.spread(object_light)
    dots = Dots(flat, place, normal, body, key, sky)
    bevelled(camera, seen, dots)
    taken = _print(seen, flat, coloured(stage, camera, seen, dots, lights, timbers))
    open_ = np.ones(_large(wide), dtype=np.float32)
    below = _ground(wide, lights, floor[0], floor_light[0], _covered(seen, rim, _large(wide))) if floor else open_
    return Photo(taken[::-1], below[::-1], rim, _box(taken[::-1, :, 3]))


def _print(seen: Seen, flat: NDArray[np.intp], own: NDArray[np.float32]) -> NDArray[np.uint8]:
    """Return the paper as bytes: colours, and how much of each dot the object takes. own: linear colours of `flat`."""
    linear = np.zeros((seen.surface.size, 3), dtype=np.float32)
    linear[flat] = own
    mixed, part = mixed_colours(seen, linear)
    dark = printed(np.zeros(1, dtype=np.float32))[0]
    paper = np.full(seen.surface.size, _rgba(np.full((1, 3), dark), np.zeros(1, dtype=np.uint8))[0])
    paper[flat] = _rgba(printed(own), np.full(len(flat), 255, dtype=np.uint8))
    paper[seen.mixed] = _rgba(printed(mixed), np.round(part * 255).astype(np.uint8))
    return paper.view(np.uint8).reshape(*seen.surface.shape, 4)


def _rgba(colour: NDArray[np.uint8], share: NDArray[np.uint8]) -> NDArray[np.uint32]:
    """Return dots as one number each, which is moved faster than four."""
    dots = np.empty((len(share), 4), dtype=np.uint8)
    dots[:, :3], dots[:, 3] = colour, share
    return dots.view(np.uint32)[:, 0]


def _places(camera: Camera, seen: Seen, flat: NDArray[np.intp]) -> list[Values]:
    row, column = np.divmod(flat.astype(np.uint32), np.uint32(seen.surface.shape[1]))
    x, y = column.astype(np.float32) + np.float32(0.5), row.astype(np.float32) + np.float32(0.5)
    return camera.points(x, y, seen.near.ravel()[flat])


class _FewDots:
    """Every third dot of the object, on which light is worked out, and how it is spread over all of them."""

    def __init__(self, seen: Seen, flat: NDArray[np.intp]) -> None:
        self._columns, self._flat, self._surface = seen.surface.shape[1], flat, seen.surface.ravel()[flat]
        middle = seen.surface[_LIT_DOTS // 2 :: _LIT_DOTS, _LIT_DOTS // 2 :: _LIT_DOTS]
        self._coarse = np.nonzero(middle >= 0)
        row, column = (at * _LIT_DOTS + _LIT_DOTS // 2 for at in self._coarse)
        # Which of the object's dots they are: how many come before them.
        self._chosen = np.cumsum(seen.surface.ravel() >= 0, dtype=np.int32)[row * self._columns + column] - 1
        self._shape = tuple(-(-size // _LIT_DOTS) for size in seen.surface.shape)

    def points(self, place: Sequence[Values], normal: Sequence[Values]) -> LitPoints:
        """Return the dots as points that light falls on."""
        return LitPoints([p[self._chosen] for p in place], [n[self._chosen] for n in normal])

    def spread(self, found: LightShares) -> tuple[Values, Values]:
        """Return the shares of lamp and sky of all dots, from those of the same surface."""
        surface = np.full(self._shape, -2, dtype=np.int32)
        surface[self._coarse] = self._surface[self._chosen]
        row, column = np.divmod(self._flat.astype(np.uint32), np.uint32(self._columns))
        spread = _Spread(surface, self._surface, row, column)
        shares = []
        for values, blurs in ((found.key, 2), (found.sky, 5)):
            laid = np.zeros(self._shape, dtype=np.float32)
            laid[self._coarse] = values
            shares.append(spread.over(laid, blurs))
        return shares[0], shares[1]


class _Spread:
    """Values of coarse dots spread over fine ones, none from one surface to another.

    Where all coarse dots around are on one surface, the picture library enlarges them; only the others are looked up.
    """

    def __init__(
        self, surface: NDArray[np.int32], wanted: NDArray[np.int32], row: NDArray[np.uint32], column: NDArray[np.uint32]
    ) -> None:
        from scipy.ndimage import maximum_filter, minimum_filter

        self.surface, self.row, self.column = surface, row, column
        whole = maximum_filter(surface, 3) == minimum_filter(surface, 3)
        place = row // np.uint32(_LIT_DOTS) * np.uint32(surface.shape[1]) + column // np.uint32(_LIT_DOTS)
        # A coarse dot beside an edge counts as no surface.
        self.rest = np.flatnonzero(np.where(whole, surface, np.int32(-9)).ravel().take(place) != wanted)
        self.place = row * np.uint32(surface.shape[1] * _LIT_DOTS) + column
        self.wanted = wanted[self.rest]

    def over(self, values: NDArray[np.float32], blurs: int) -> Values:
        """Return the values at every fine dot."""
        from PIL import Image

        soft = values
        for _ in range(blurs):
            soft = self._blurred(soft)
        large = (soft.shape[1] * _LIT_DOTS, soft.shape[0] * _LIT_DOTS)
        fine = np.asarray(Image.fromarray(soft).resize(large, Image.Resampling.BILINEAR))
        found: Values = fine.ravel().take(self.place)
        found[self.rest] = self._looked_up(soft)
        return found

    def _blurred(self, values: NDArray[np.float32]) -> NDArray[np.float32]:
        """Return the mean of the dots around on the same surface: it hides the edges of single lamps' shadows."""
        rows, columns = values.shape
        around, near = np.pad(values, 1), np.pad(self.surface, 1, constant_values=-3)
        total, count = np.zeros_like(values), np.zeros_like(values)
        for up in range(3):
            for right in range(3):
                same = near[up : up + rows, right : right + columns] == self.surface
                total += np.where(same, around[up : up + rows, right : right + columns], 0)
                count += same
        return total / count

    def _looked_up(self, values: NDArray[np.float32]) -> Values:
        """Return values at the dots beside an edge: of the coarse dots of their surface, nearer ones more."""
        rows, columns = values.shape
        up, right = ((at[self.rest].astype(np.float32) - 1) / _LIT_DOTS for at in (self.row, self.column))
        i, j = np.floor(up).astype(np.int32), np.floor(right).astype(np.int32)
        total, weight = np.zeros(len(self.rest), dtype=np.float32), np.zeros(len(self.rest), dtype=np.float32)
        for far in (1, 2):
            left = np.flatnonzero(weight == 0) if far > 1 else np.arange(len(self.rest))
            for a in range(1 - far, far + 1):
                for b in range(1 - far, far + 1):
                    row, column = np.clip(i[left] + a, 0, rows - 1), np.clip(j[left] + b, 0, columns - 1)
                    near = np.maximum(far + 0.01 - np.abs(up[left] - i[left] - a), 0)
                    near *= np.maximum(far + 0.01 - np.abs(right[left] - j[left] - b), 0)
                    near *= self.surface[row, column] == self.wanted[left]
                    total[left] += values[row, column] * near
                    weight[left] += near
        # A sliver that no coarse dot lies on is lit as what lies nearest to it.
        lonely = weight == 0
        nearest = values[np.clip(i[lonely], 0, rows - 1), np.clip(j[lonely], 0, columns - 1)]
        total[lonely], weight[lonely] = np.maximum(nearest, np.float32(0.3)), 1
        return total / weight


def _large(camera: Camera) -> tuple[int, int]:
    """Return rows and columns of a paper in large dots."""
    return -(-camera.rows // GROUND_DOTS), -(-camera.columns // GROUND_DOTS)


def _floor(camera: Camera, ground: GroundPlane) -> LitPoints:
    """Return the points of the ground that the large dots of a paper show; far off where that is beyond the horizon."""
    rows, columns = _large(camera)
    x = ((np.arange(columns) + 0.5) * GROUND_DOTS).astype(np.float32)[None, :].repeat(rows, 0).ravel()
    y = ((np.arange(rows) + 0.5) * GROUND_DOTS).astype(np.float32)[:, None].repeat(columns, 1).ravel()
    a, b, c = (np.float32(part) for part in camera.nearness(ground.normal, ground.point))
    near = a + b * x + c * y
    below = near > np.float32(1e-7)
    place = camera.points(x, y, np.where(below, near, np.float32(1)))
    all_alike = [np.full(1, part, dtype=np.float32) for part in ground.normal]
    seen = LitGround(camera, ground.point, ground.normal, GROUND_DOTS, (rows, columns)) if below.all() else None
    return LitPoints(place, all_alike, below, seen)


def _covered(seen: Seen, rim: int, shape: tuple[int, int]) -> NDArray[np.float32]:
    """Return 1 on the large dots of the ground's paper that lie behind the object, else 0."""
    middles = [np.round((np.arange(count) + 0.5) * GROUND_DOTS).astype(np.intp) - rim for count in shape]
    inside = [(at >= 0) & (at < size) for at, size in zip(middles, seen.surface.shape, strict=True)]
    row, column = (np.clip(at, 0, size - 1) for at, size in zip(middles, seen.surface.shape, strict=True))
    taken = (seen.surface[row[:, None], column] >= 0) & inside[0][:, None] & inside[1]
    found: NDArray[np.float32] = taken.astype(np.float32)
    return found


def _soft_sky(sky: NDArray[np.float32], covered: NDArray[np.float32]) -> NDArray[np.float32]:
    """Return the sky's light on the ground without the edges of what its single lamps leave dark.

    Beside the object it may change quickly; the further from it, the more slowly, as under a whole sky.
    """
    from scipy.ndimage import uniform_filter

    for _ in range(3):
        sky = uniform_filter(sky, _SKY_BLUR)
    far, near = sky, covered
    for _ in range(2):
        far, near = uniform_filter(far, _FAR_BLUR, mode="nearest"), uniform_filter(near, _FAR_BLUR)
    share = np.clip(near * np.float32(_NEAR), 0, 1)
    share *= share * (3 - 2 * share)
    found: NDArray[np.float32] = far + (sky - far) * share
    return found


def _ground(
    camera: Camera, lights: Lights, floor: LitPoints, found: LightShares, covered: NDArray[np.float32]
) -> NDArray[np.float32]:
    """Return the light on the ground of a paper, on larger dots, 1 in the open, fading to that at the paper's edges."""
    from scipy.ndimage import uniform_filter

    rows, columns = _large(camera)
    one = np.ones(1, dtype=np.float32)
    alone = float(light_on(lights, [part[:1] for part in floor.normal], one, one)[0])
    sky = _soft_sky(found.sky.reshape(rows, columns), covered)
    light = light_on(lights, floor.normal, found.key, sky.ravel()).reshape(rows, columns) / np.float32(alone)
    if floor.shown is not None:
        light = np.where(floor.shown.reshape(rows, columns), light, 1)
    for _ in range(3):
        light = uniform_filter(light, _KEY_BLUR)
    light = 1 - (1 - np.maximum(light, np.float32(_DARKEST))) * _fading(rows, columns)
    open_: NDArray[np.float32] = np.minimum(light, 1).astype(np.float32)
    return open_


def _fading(rows: int, columns: int) -> Values:
    """Return 1 within the paper, falling to 0 at its edges."""

    def ramp(count: int) -> Values:
        at = (np.arange(count, dtype=np.float32) + np.float32(0.5)) / count
        found: Values = np.clip(np.minimum(at, 1 - at) * _FADE, 0, 1)
        return found * found * (3 - 2 * found)

    found: Values = ramp(rows)[:, None] * ramp(columns)[None, :]
    return found


def lights_for(axes: Values, azimuth: float, height: float) -> Lights:
    """Return lights that stand by the picture: the lamp at an angle about its right, and so high over the ground."""
    right, away = axes[0], np.array([axes[2][0], axes[2][1], 0.0])
    flat = float(away @ away) ** 0.5
    away = np.array([-right[1], right[0], 0.0]) if flat < 1e-6 else away / flat
    turn, rise = math.radians(azimuth), math.radians(height)
    key = math.cos(rise) * (math.cos(turn) * right + math.sin(turn) * away) + np.array([0, 0, math.sin(rise)])
    card = 0.62 * right - 0.62 * away + np.array([0, 0, 0.42])
    return Lights(_unit(key), _unit(card))


def _unit(way: Values) -> Values:
    found: Values = way / float(way @ way) ** 0.5
    return found
