"""How much finish a kit takes: one reckoning for documents and for what a kit costs."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from kitforge.model.kit import Kit

FINISH_WASTE = 0.15
"""What is bought of a finish beyond what is used, as a share, for brush and rag: common practice, no source."""


def finish_span(kit: Kit, area: float) -> tuple[float, float]:
    """Return how much finish all coats take on `area` mm², (low, high) in ml, without waste."""
    finish = kit.finishing.finish
    if finish is None or not finish.coats:
        return 0.0, 0.0
    wanted = area / 1e6 * finish.coats * 1000
    return wanted / finish.coverage.high, wanted / finish.coverage.low
