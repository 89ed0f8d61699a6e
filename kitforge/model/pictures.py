"""What an author says about the pictures of the finished piece: how it is shown, and what stands beside the wood."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from kitforge.model.findings import Source

Vector = tuple[float, float, float]


class PicturePose(StrEnum):
    """How a piece is shown: on a table, or on the wall with its face to the front and the y of its drawing up."""

    LYING = "lying"
    UPRIGHT = "upright"


class StandInMaterial(StrEnum):
    """What a stand-in looks like; no strength or weight follows from it."""

    CERAMIC = "ceramic"
    GLASS = "glass"
    METAL = "metal"
    PAPER = "paper"
    PLASTIC = "plastic"
    WOOD = "wood"


@dataclass(frozen=True, slots=True)
class BallShape:
    """A ball; its place is its middle. mm."""

    radius: float


@dataclass(frozen=True, slots=True)
class TurnedShape:
    """A turned thing: radius and height of its outside from the bottom up, mm; its place is the foot of its axis."""

    profile: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class PlateShape:
    """A flat thing: a closed ring of (x, y), mm, and its thickness; its place is the zero point, on its lower face."""

    ring: tuple[tuple[float, float], ...]
    thickness: float


@dataclass(frozen=True, slots=True)
class PictureStandIn:
    """A bought or finished thing that belongs to the piece, as a plain shape, once at each place.

    Places and directions are those of the finished piece (`Kit.together`), else those of the only part's drawing, with
    its face at 0. x, y: which way a plate's x and y run; a turned thing stands along their cross product. step: the
    assembly step that puts it in, from 0; None for what only covers show.
    """

    shape: BallShape | TurnedShape | PlateShape
    places: tuple[Vector, ...]
    x: Vector
    y: Vector
    colour: str
    material: StandInMaterial
    use: str | None
    source: Source
    step: int | None = None


@dataclass(frozen=True, slots=True)
class PictureWishes:
    """What the author says about pictures. pose: None where they do not say."""

    pose: PicturePose | None = None
    beside: tuple[PictureStandIn, ...] = ()
    source: Source | None = None
