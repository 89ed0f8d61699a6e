"""More pictures for the shop: all parts on a table, the piece pulled apart, and a place of it close by."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from kitforge.pictures.shaded.exploded import pulled_off, stood
from kitforge.pictures.studio.frames import Frame, framed, full
from kitforge.pictures.studio.hero import (
    CLOSE_UP,
    PhotoRequest,
    Pose,
    all_parts,
    finished_piece,
    flat_layers,
    hero,
    hero_request,
    photo_of,
)

if TYPE_CHECKING:
    from PIL.Image import Image as Dots

    from kitforge.model.kit import Kit
    from kitforge.model.plan import Plan
    from kitforge.pictures.drawn.shots import Shots
    from kitforge.pictures.studio.photograph import Photo

_SIZE = 1200, 900
_OBJECT = 1020
_ACROSS = 0.36
"""How much of the photograph's width a close-up shows."""
_COARSE = 16
_COVERED = 0.9
_EDGE = 24
"""Squares whose colours, red, green and blue together, differ by so much of 765 have an edge between them."""
_FEWEST_APART = 3
"""Two parts pulled apart show no more than on a table."""


def series(kit: Kit, plan: Plan, shots: Shots) -> Iterator[tuple[str, Dots]]:
    """Yield (name, picture), 1200 x 900 dots: what there is of 'parts', 'apart' and 'close-up'."""
    frame = Frame("series", *_SIZE)
    if sum(part.count for part in kit.parts) > 1:
        request = PhotoRequest("parts", _OBJECT, Pose(hung=False, lying=True, face_on=False))
        yield "parts", framed(photo_of(plan, shots, all_parts(kit, plan), request), frame)
    if len(kit.together) >= _FEWEST_APART:
        yield "apart", framed(_apart(kit, plan, shots), frame)
    window = busiest(hero(kit, plan, shots))
    yield "close-up", full(photo_of(plan, shots, finished_piece(kit, plan), replace(hero_request(kit), window=window)))


def _apart(kit: Kit, plan: Plan, shots: Shots) -> Photo:
    everyone, layers = stood(kit, plan), flat_layers(kit, plan)
    by = pulled_off(everyone, ())
    placed = [
        replace(one.placed.moved(far), layers=layers[one.standing.part]) for one, far in zip(everyone, by, strict=True)
    ]
    return photo_of(
        plan, shots, placed, PhotoRequest("apart", _OBJECT, Pose(hung=False, lying=False, face_on=False), ground=False)
    )


def busiest(photo: Photo) -> tuple[float, float, float]:
    """Return left, top and width, shares of the paper, of the place where most is to be seen and little ground."""
    rows, columns = photo.share.shape
    grey = photo.colour.astype(np.int32).sum(axis=2)
    high, wide = rows // _COARSE * _COARSE, columns // _COARSE * _COARSE
    # Sums over squares, in which grain is even; whole numbers, so that no rounding decides.
    tone = grey[:high, :wide].reshape(high // _COARSE, _COARSE, -1, _COARSE).sum(axis=(1, 3))
    steps = np.abs(np.diff(tone, axis=1, append=tone[:, -1:])) + np.abs(np.diff(tone, axis=0, append=tone[-1:]))
    # How many edges there are counts, not how bright a thing is beside another.
    rough = (steps > _EDGE * _COARSE * _COARSE).astype(np.int64)
    taken = (photo.share[:high:_COARSE, :wide:_COARSE] > 127).astype(np.int64)
    across = max(1, round(columns * _ACROSS / _COARSE))
    down = min(rough.shape[0], max(1, round(across * CLOSE_UP[1] / CLOSE_UP[0])))
    best = (-1, 0, 0)
    sums, covers = (np.pad(one.cumsum(0).cumsum(1), ((1, 0), (1, 0))) for one in (rough * taken, taken))
    for top in range(rough.shape[0] - down + 1):
        for left in range(rough.shape[1] - across + 1):
            low, right = top + down, left + across
            seen, covered = (
                int(one[low, right] - one[top, right] - one[low, left] + one[top, left]) for one in (sums, covers)
            )
            worth = seen if covered >= _COVERED * across * down else seen * covered // (across * down) // 4
            best = max(best, (worth, -top, -left))
    return -best[2] * _COARSE / columns, -best[1] * _COARSE / rows, across * _COARSE / columns
