"""Trial pieces that a kit asks for, as resolved. Lengths mm."""

from __future__ import annotations

from kitforge.model.findings import Source
from kitforge.model.record import record


@record
class CouponWish:
    """A fit coupon: like the slot of which joint, the kind of fit, from slot to slot, and how many slots."""

    key: str
    part: str
    feature: str
    at: tuple[float, float] | None
    fit: str
    step: float
    slots: int
    source: Source


@record
class ProofWish:
    """A proof strip of an operation: how many grooves, and how long each is."""

    part: str
    operation: str
    cuts: int
    length: float
    source: Source


@record
class CouponSlot:
    """One slot of a coupon: its number from the tight end, how wide it is, and how much wider than as drawn."""

    number: int
    width: float
    offset: float


@record
class ProofStrip:
    """A proof strip as it is cut on one machine class: grooves side by side, one pass deep, each with its feed.

    step: the key of the step whose settings are tried; machine: the key of the class; speed min-1, depth mm, feeds
    mm/min, slowest first; length of a groove, and from groove to groove, mm.
    """

    wish: ProofWish
    step: str
    machine: str
    speed: float
    depth: float
    feeds: tuple[float, ...]
    length: float
    pitch: float

    @property
    def layers(self) -> tuple[str, ...]:
        """The layer of each groove: its feed in mm/min, as PROOF-1200."""
        return tuple(f"PROOF-{feed:.0f}" for feed in self.feeds)

    @property
    def key(self) -> str:
        """The name of its drawing."""
        return f"proof-{self.wish.part}-{self.wish.operation}-{self.machine}".replace("_", "-")
