"""The law of zero and depth: every depth is counted from a surface that exists at that moment.

    below                      opposite
      |  face as it came          |  other face as it came
      v                           v
    ──────                      ──────   taken off before, by facing
    ══════ datum                ══════   what lies on the spoilboard
      └── depth →

Depths are positive into the wood (ISO 841 axes), mm.
"""

from __future__ import annotations

from kitforge.model.record import record

# Rounding of sums of lengths, mm: far below what any machine resolves.
ROUNDING = 1e-6


@record
class Datum:
    """The surface that depths are counted from: what is left of the face that is up, when the cut begins.

    below: how far it lies below that face as the stock came, mm; opposite: how much was taken off the other face by
    then, mm; by: the key of the step whose new face it is, empty for the face as it came.
    """

    below: float = 0.0
    opposite: float = 0.0
    by: str = ""

    def wood(self, thickness: float) -> float:
        """Return how much wood there is under it in stock that came `thickness` mm thick, mm."""
        return thickness - self.below - self.opposite

    def from_face(self, depth: float) -> float:
        """Return how far below the face as it came something is that lies `depth` mm below this surface, mm."""
        return self.below + depth


AS_IT_CAME = Datum()
"""The face as the stock came."""


@record
class Interval:
    """What a step takes away in depth: from `top` down to `tip`, the end of its cutter; mm below its datum."""

    top: float
    tip: float

    @property
    def height(self) -> float:
        """How much is to be taken away, mm; its passes add up to this."""
        return self.tip - self.top
