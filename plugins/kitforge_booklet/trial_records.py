"""What the pages of trial pieces are given: plain records of finished words and pictures."""

from __future__ import annotations

from dataclasses import dataclass

from kitforge.print.settings import StepView
from kitforge.print.svg import Picture


@dataclass(frozen=True, slots=True)
class SlotRow:
    """A slot of a coupon: its number, its width, and what follows where it is the one that fits."""

    number: int
    width: str
    take: str
    drawn: bool


@dataclass(frozen=True, slots=True)
class TrialStep:
    """A cut of a coupon with its settings."""

    title: str
    cutter: str
    rows: tuple[StepView, ...]


@dataclass(frozen=True, slots=True)
class FitCoupon:
    """The page of a fit coupon."""

    title: str
    ways: tuple[str, ...]
    picture: Picture
    caption: str
    slots: tuple[SlotRow, ...]
    steps: tuple[TrialStep, ...]
    errors: str


@dataclass(frozen=True, slots=True)
class ProofRow:
    """A proof strip on one class: speed, depth, the feed of each groove from the slowest."""

    number: int
    speed: str
    depth: str
    feeds: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SettingsProof:
    """The proof strips of one step."""

    title: str
    ways: tuple[str, ...]
    picture: Picture
    feed_unit: str
    count: int
    rows: tuple[ProofRow, ...]
