"""The picture of the finished piece: put together, or its parts laid out, on a floor or hung on a wall."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from kitforge.files.artefacts import kept_image
from kitforge.model.facts import PieceUse
from kitforge.model.findings import Source
from kitforge.model.identity import IdentityKey
from kitforge.model.kit import Kit, Part
from kitforge.model.pictures import PicturePose, PictureStandIn
from kitforge.model.plan import Plan
from kitforge.pictures.same_cuts import SameCuts
from kitforge.pictures.shaded.exploded import stood
from kitforge.pictures.shaded.solids import Placed, Vector, axes_of
from kitforge.pictures.shaded.view import PictureView
from kitforge.pictures.studio.bodies import Stage
from kitforge.pictures.studio.camera import Camera, camera_for
from kitforge.pictures.studio.photograph import GroundPlane, Photo, lights_for, packed, photograph, unpacked
from kitforge.pictures.studio.relief import Relief, wanted
from kitforge.pictures.studio.stand_ins import add_stand_in
from kitforge.pictures.studio.timber import Timber, timber_of
from kitforge.surface.layers import WoodLayer, layers_of

if TYPE_CHECKING:
    from typing import Any

    from PIL.Image import Image as Dots

    from kitforge.pictures.drawn.shots import Shots

    Points = NDArray[np.floating[Any]]

OBJECT_DOTS = 1700
"""The longer side of the object, dots; frames get it smaller where it has to be."""
CLOSE_UP = 1200, 900
_GAP = 0.12
_LYING, _STANDING = PictureView(24.0, 42.0), PictureView(28.0, 25.0)
# The eye of what hangs, by the wall: how far to the left of its normal and below it, degrees.
_HUNG_LEFT, _HUNG_BELOW = 17.0, 13.0
# Where the lamp stands, by the picture: the angle from the right, counter-clockwise, and its height, degrees.
_LAMP_LYING, _LAMP_STANDING, _LAMP_WALL = (154.0, 40.0), (212.0, 52.0), (128.0, 46.0)
_MOST_SHOWN = 24
# What is lower than this share of its length is seen and lit as what lies.
_LOW = 0.2


@dataclass(frozen=True, slots=True, eq=False)
class ShownPart:
    """A part in the picture, and all that is read of it."""

    at: Vector
    along_x: Vector
    along_y: Vector
    layers: tuple[WoodLayer, ...]
    relief: Relief | None
    timber: Timber


@dataclass(frozen=True, slots=True)
class Pose:
    """How the piece is seen. hung: it hangs on a wall; lying: it is seen from above; face_on: its face is the front."""

    hung: bool
    lying: bool
    face_on: bool


@dataclass(frozen=True, slots=True)
class PhotoRequest:
    """A photograph that is asked for. size: dots of the object's longer side; pose: how it is seen; ground: whether
    there is one under it; beside: what stands beside the wood; window: left, top and width of a part of the paper that
    is taken alone, as shares, CLOSE_UP dots of it."""

    name: str
    size: int
    pose: Pose
    ground: bool = True
    beside: tuple[PictureStandIn, ...] = ()
    window: tuple[float, float, float] | None = None


def hero(kit: Kit, plan: Plan, shots: Shots) -> Photo:
    """Return the photograph of a kit's finished piece, its longer side 1700 dots."""
    return _hero(IdentityKey(kit), SameCuts(plan, kit.parts), IdentityKey(shots))


@lru_cache(maxsize=2)
def _hero(kit: IdentityKey[Kit], same: SameCuts, shots: IdentityKey[Shots]) -> Photo:
    placed = finished_piece(kit.one, same.plan)
    return photo_of(same.plan, shots.one, placed, hero_request(kit.one))


def hero_request(kit: Kit) -> PhotoRequest:
    """Return what is asked for on the cover."""
    return PhotoRequest("hero", OBJECT_DOTS, pose_of(kit), beside=kit.pictures.beside)


def photo_of(plan: Plan, shots: Shots, placed: Sequence[Placed], request: PhotoRequest) -> Photo:
    """Return a photograph of parts where they stand, kept or taken anew; their layers are what is flat of them."""
    shown = list(_shown(plan, shots, placed))
    parts = [one.part for one in placed]

    def make() -> tuple[Dots, tuple[int, int, int]]:
        stage, timbers = staged(parts, shown, request)
        camera = camera_of(stage, request)
        ground = _ground(stage.corners(), request.pose) if request.ground else None
        lights = lights_for(camera.axes, *_lamp(stage.corners(), request.pose))
        return packed(photograph(stage, camera, lights, timbers, ground))

    outlines = [(part.outline, part.thickness) for part in parts]
    beside = [replace(one, source=Source("")) for one in request.beside]
    return unpacked(*kept_image("photo", make, shown, outlines, replace(request, beside=()), beside))


def _shown(plan: Plan, shots: Shots, placed: Sequence[Placed]) -> Iterator[ShownPart]:
    turn: dict[str, int] = {}
    for one in placed:
        copy = turn.get(one.part.key, 0)
        turn[one.part.key] = copy + 1
        timber = timber_of(one.part.stock, _on_stock(plan, one.part.key, copy))
        relief = shots.parts[one.part.key].relief if one.part.key in shots.parts else None
        yield ShownPart(one.at, one.along_x, one.along_y, one.layers, relief, timber)


def pose_of(kit: Kit) -> Pose:
    """Return how a kit's finished piece is seen."""
    single = not kit.together and sum(part.count for part in kit.parts) == 1
    upright = single and kit.pictures.pose is PicturePose.UPRIGHT
    hung = upright or (PieceUse.WALL in kit.info.uses and bool(kit.together))
    return Pose(hung, not kit.together, upright)


def flat_layers(kit: Kit, plan: Plan) -> dict[str, tuple[WoodLayer, ...]]:
    """Return what is flat of every part, by its key."""
    return {part.key: layers_of(part, wanted(plan.steps_of(part.key))) for part in kit.parts}


def finished_piece(kit: Kit, plan: Plan) -> list[Placed]:
    """Return the copies that a cover shows: where they stand, else laid out in rows."""
    if not kit.together:
        return all_parts(kit, plan)
    layers = flat_layers(kit, plan)
    return [replace(one.placed, layers=layers[one.standing.part]) for one in stood(kit, plan)]


def all_parts(kit: Kit, plan: Plan) -> list[Placed]:
    """Return every copy of every part on a table; where there are very many, one of each."""
    layers = flat_layers(kit, plan)
    copies = [part for part in kit.parts for _ in range(part.count)]
    shown = copies if len(copies) <= _MOST_SHOWN else list(kit.parts)[:_MOST_SHOWN]
    return [replace(one, layers=layers[one.part.key]) for one in laid_out(shown)]


def laid_out(parts: Sequence[Part]) -> list[Placed]:
    """Return parts side by side on a table, largest first, in as many rows as make a block of about 4 to 3."""
    order = sorted(parts, key=lambda part: (-abs(part.outline.area), part.key))
    best: tuple[float, list[Placed]] = (math.inf, [])
    for count in range(1, len(order) + 1):
        found, size = _in_rows(order, count)
        best = min(best, (abs(math.log(size[0] / size[1] * 3 / 5)), found), key=lambda one: one[0])
    return best[1]


def _in_rows(parts: Sequence[Part], count: int) -> tuple[list[Placed], tuple[float, float]]:
    """Return parts in at most so many rows of about one width, the first row at the back, and the block's size."""
    gap = _GAP * max(max(part.outline.bounds.width, part.outline.bounds.height) for part in parts)
    share = sum(part.outline.bounds.width + gap for part in parts) / count
    rows: list[list[Part]] = [[]]
    for part in parts:
        used = sum(one.outline.bounds.width + gap for one in rows[-1])
        if rows[-1] and used + part.outline.bounds.width / 2 > share and len(rows) < count:
            rows.append([])
        rows[-1].append(part)
    widths = [sum(part.outline.bounds.width for part in row) + gap * (len(row) - 1) for row in rows]
    found, y = [], 0.0
    for row, width in zip(rows, widths, strict=True):
        tall = max(part.outline.bounds.height for part in row)
        x = -width / 2
        for part in row:
            box = part.outline.bounds
            low = y - tall / 2 - box.height / 2
            found.append(Placed(part, (x - box.left, low - box.bottom, part.thickness)))
            x += box.width + gap
        y -= tall + gap
    return found, (max(widths), -y - gap)


def _on_stock(plan: Plan, key: str, copy: int) -> tuple[float, float]:
    """Return where a copy of a part lies on its stock, mm."""
    places = [(place.x, place.y) for sheet in plan.sheets for place in sheet.placements if place.part == key]
    return places[copy % len(places)] if places else (0.0, 0.0)


def staged(parts: Sequence[Part], shown: Sequence[ShownPart], asked: PhotoRequest) -> tuple[Stage, list[Timber | None]]:
    """Return the stage with parts and things on it, and the wood of each body, None for things."""
    stage = Stage()
    timbers: list[Timber | None] = []
    rough = _size_of(parts, shown)
    for part, one in zip(parts, shown, strict=True):
        placed = Placed(part, one.at, one.along_x, one.along_y, one.layers)
        stage.add_board(placed, one.relief, min(0.2, max(0.01, 0.25 * rough / asked.size)))
        timbers.append(one.timber)
    # Without `together` the places of things are those of the only part's drawing.
    offset = np.array(shown[0].at if asked.pose.lying else (0.0, 0.0, 0.0))
    for thing in asked.beside:
        add_stand_in(stage, thing, offset)
    timbers += [None] * (len(stage.bodies) - len(timbers))
    return stage, timbers


def _size_of(parts: Sequence[Part], shown: Sequence[ShownPart]) -> float:
    sizes = [max(part.outline.bounds.width, part.outline.bounds.height) for part in parts]
    apart = [max(one.at[k] for one in shown) - min(one.at[k] for one in shown) for k in range(3)]
    return max(*sizes, *apart)


def _lamp(corners: Points, pose: Pose) -> tuple[float, float]:
    if pose.face_on:
        return _LAMP_WALL
    return _LAMP_LYING if _lies(corners, pose) else _LAMP_STANDING


def _lies(corners: Points, pose: Pose) -> bool:
    """Return whether the piece is low, so that it is seen and lit from higher up."""
    size = corners.max(axis=0) - corners.min(axis=0)
    return pose.lying or (not pose.hung and float(size[2]) < _LOW * float(max(size[0], size[1])))


def camera_of(stage: Stage, request: PhotoRequest) -> Camera:
    """Return the camera for what stands on a stage."""
    corners, pose = stage.corners(), request.pose
    axes = _hung_axes() if pose.face_on else axes_of(_LYING if _lies(corners, pose) else _STANDING)
    camera = camera_for(axes, corners, (request.size, request.size))
    return camera.window(*request.window, CLOSE_UP) if request.window else camera


def _hung_axes() -> Points:
    """Return right, up and away of an eye before a wall on which a part lies: its y runs up the wall."""
    left, below = math.radians(_HUNG_LEFT), math.radians(_HUNG_BELOW)
    eye = np.array([-math.sin(left), -math.sin(below), 0.0])
    eye[2] = (1 - float(eye @ eye)) ** 0.5
    right = np.cross([0.0, 1.0, 0.0], eye)
    right /= float(right @ right) ** 0.5
    return np.array([right, np.cross(eye, right), -eye])


def _ground(corners: Points, pose: Pose) -> GroundPlane:
    """Return what shadows fall on: the wall behind what hangs, else the floor."""
    if pose.hung and not pose.face_on:
        return GroundPlane(corners[corners[:, 1].argmax()], np.array([0.0, -1.0, 0.0]))
    return GroundPlane(corners[corners[:, 2].argmin()], np.array([0.0, 0.0, 1.0]))
