"""Bought things beside the wood, as plain shapes of glass, metal, paper and so on."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from kitforge.model.pictures import BallShape, PictureStandIn, PlateShape, StandInMaterial, TurnedShape
from kitforge.pictures.studio.bodies import Plain, Stage

if TYPE_CHECKING:
    from typing import Any

    Points = NDArray[np.floating[Any]]

# Gloss, its sharpness, and how much light comes through: chosen by eye.
_LOOKS = {
    StandInMaterial.CERAMIC: (0.16, 32, 0.0),
    StandInMaterial.GLASS: (0.55, 128, 0.12),
    StandInMaterial.METAL: (0.30, 32, 0.0),
    StandInMaterial.PAPER: (0.0, 8, 0.35),
    StandInMaterial.PLASTIC: (0.10, 32, 0.0),
    StandInMaterial.WOOD: (0.05, 16, 0.0),
}


def add_stand_in(stage: Stage, one: PictureStandIn, offset: Points) -> None:
    """Put a thing on the stage at each of its places. offset: where the zero point of these places lies, (3,) mm."""
    plain = Plain(one.colour, *_LOOKS[one.material])
    x, y = np.array(one.x), np.array(one.y)
    axes = np.array([x, y, np.cross(x, y)])
    for place in one.places:
        at = offset + np.array(place)
        match one.shape:
            case BallShape(radius):
                stage.add_ball(at, radius, plain)
            case TurnedShape(profile):
                stage.add_turned(profile, at, axes[2], plain)
            case PlateShape(ring, thickness):
                stage.add_slab(np.array([*ring, ring[0]]), at, axes, thickness, plain)
