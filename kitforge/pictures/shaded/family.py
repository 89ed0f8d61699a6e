"""The sizes of a kit side by side: the same view of each piece, all at one scale."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from kitforge.model.family import SizePicture
from kitforge.pictures.shaded.assembly import MOST_PARTS, ROUND_VIEW, assembly_shot
from kitforge.pictures.shaded.make import PictureSize
from kitforge.pictures.shaded.solids import Placed, axes_of, board_of
from kitforge.print.raster import encoded, trimmed

if TYPE_CHECKING:
    from kitforge.model.kit import Kit

_MOST_DOTS = 600
"""Across or up, of the largest piece: twice what paper shows at the size of a cover's row."""


def size_pictures(kits: Sequence[Kit]) -> tuple[SizePicture, ...]:
    """Return a picture of the piece that each kit is; none where one of them does not say how its parts stand.

    Parts have their outlines and what is cut through: at this size no more is seen, and no kit need be planned.
    """
    pieces = [_placed(kit) for kit in kits]
    if not all(0 < len(parts) <= MOST_PARTS for parts in pieces):
        return ()
    seen = [_seen(parts) for parts in pieces]
    per_mm = _MOST_DOTS / max(max(one) for one in seen)
    return tuple(_picture(parts, across * per_mm) for parts, (across, _) in zip(pieces, seen, strict=True))


def _placed(kit: Kit) -> list[Placed]:
    """Return the parts where they stand; a kit of one part alone lies on its back."""
    if kit.together:
        return [Placed(kit.part(one.part), one.at, one.along_x, one.along_y) for one in kit.together]
    if len(kit.parts) == 1 and kit.parts[0].count == 1:
        return [Placed(kit.parts[0], (0.0, 0.0, 0.0))]
    return []


def _seen(parts: Sequence[Placed]) -> tuple[float, float]:
    """Return how far the boxes of the parts reach across and up in the view, mm."""
    corners = np.concatenate([board_of(one).corners() for one in parts]) @ axes_of(ROUND_VIEW).T
    across, up, _ = np.ptp(corners, axis=0).tolist()
    return across, up


def _picture(parts: Sequence[Placed], dots: float) -> SizePicture:
    shot = assembly_shot(parts, PictureSize(max(8, round(dots)), clear=True), table=False)
    image = trimmed(shot.image)
    return SizePicture(encoded(image), image.width / shot.scale, image.height / shot.scale)
