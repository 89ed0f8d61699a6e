"""Wishes for pictures: places and sizes in mm, directions as vectors."""

from __future__ import annotations

from collections.abc import Sequence

from kitforge.definition import kinds
from kitforge.definition.pictures import StandInEntry
from kitforge.definition.positions import Place
from kitforge.definition.schema import Definition
from kitforge.definition.values import Raw
from kitforge.model.messages import msg
from kitforge.model.pictures import (
    BallShape,
    PicturePose,
    PictureStandIn,
    PictureWishes,
    PlateShape,
    StandInMaterial,
    TurnedShape,
)
from kitforge.resolve.together import oriented, spot, step_of
from kitforge.resolve.values import ANYWHERE, ResolveContext, ValueRange, label

_RADIUS = ValueRange(0.0, 2000.0)
MOST_BANDS = 300
"""Bands of turned things and edges of plates, over all places: what they cost to draw."""


def resolve_pictures(sheet: ResolveContext, definition: Definition) -> PictureWishes:
    """Return the author's wishes for pictures; what cannot be is reported on the sheet."""
    entry = definition.pictures
    if entry is None:
        return PictureWishes()
    beside = tuple(_stand_in(sheet, definition, one, ("pictures", "beside", n)) for n, one in enumerate(entry.beside))
    bands = sum(_bands(one) * len(one.places) for one in beside)
    place: Place = ("pictures", "beside")
    if bands > MOST_BANDS:
        message = msg(
            "{place}: the things at all their places have {bands} bands and edges; at most {most} are drawn.",
            place=label(place),
            bands=bands,
            most=MOST_BANDS,
        )
        sheet.report(kinds.TOO_MUCH, place, message, msg("Give them fewer points, or leave some places out."))
    if beside and not definition.together and sum(part.count for part in definition.parts.values()) != 1:
        message = msg(
            "{place}: nothing says where the parts stand, so nothing can stand beside them.", place=label(place)
        )
        sheet.report(kinds.WRONG_VALUE, place, message, msg("Say it with `together`."))
    pose = PicturePose(entry.pose) if entry.pose else None
    return PictureWishes(pose, beside, sheet.where.of("pictures"))


def _bands(one: PictureStandIn) -> int:
    if isinstance(one.shape, TurnedShape):
        return len(one.shape.profile) - 1
    return len(one.shape.ring) // 8 + 1 if isinstance(one.shape, PlateShape) else 1


def _stand_in(sheet: ResolveContext, definition: Definition, entry: StandInEntry, place: Place) -> PictureStandIn:
    x, y = oriented(sheet, entry.face, entry.x_runs, entry.turn, place)
    return PictureStandIn(
        _shape(sheet, entry, place),
        tuple(spot(sheet, raw, (*place, "at", n)) for n, raw in enumerate(entry.at)),
        x,
        y,
        entry.colour,
        StandInMaterial(entry.of),
        entry.for_,
        sheet.where.of(*place),
        step_of(sheet, entry.step, len(definition.assembly), (*place, "step")),
    )


def _shape(sheet: ResolveContext, entry: StandInEntry, place: Place) -> BallShape | TurnedShape | PlateShape:
    if entry.ball is not None:
        return BallShape(sheet.length(entry.ball, *place, "ball") / 2)
    if entry.turned is not None:
        return TurnedShape(_profile(sheet, entry.turned, (*place, "turned")))
    ring = [_point(sheet, raw, (*place, "plate", n)) for n, raw in enumerate(entry.plate or ())]
    area = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(ring, [*ring[1:], ring[0]], strict=True))
    if abs(area) < 1e-6:
        message = msg("{place}: these corners enclose nothing.", place=label((*place, "plate")))
        sheet.report(kinds.BAD_SHAPE, (*place, "plate"), message, msg("Give the corners in turn, around the plate."))
    thick = sheet.optional_length(entry.thick, *place, "thick") or 1.0
    return PlateShape(tuple(ring if area > 0 else reversed(ring)), thick)


def _profile(sheet: ResolveContext, raw: Sequence[Sequence[Raw]], place: Place) -> tuple[tuple[float, float], ...]:
    """Return the points of a profile; two that lie on each other are one."""
    found: list[tuple[float, float]] = []
    for n, (radius, height) in enumerate(raw):
        r = sheet.length(radius, *place, n, 0, within=_RADIUS)
        point = r, sheet.length(height, *place, n, 1, within=ANYWHERE)
        if not found or max(abs(point[0] - found[-1][0]), abs(point[1] - found[-1][1])) > 1e-6:
            found.append(point)
    if len(found) < 2 or max(radius for radius, _ in found) <= 0:
        message = msg("{place}: a profile of no size.", place=label(place))
        sheet.report(kinds.BAD_SHAPE, place, message, msg("Give [radius, height] of its outside from the bottom up."))
    return tuple(found)


def _point(sheet: ResolveContext, raw: Sequence[Raw], place: Place) -> tuple[float, float]:
    x, y = (sheet.length(value, *place, k, within=ANYWHERE) for k, value in enumerate(raw))
    return x, y
