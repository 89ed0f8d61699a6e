"""What a through cut leaves standing, so that the piece does not come loose. Lengths mm."""

from __future__ import annotations

from kitforge.model.record import record


@record
class Tabs:
    """Holding tabs left in a through cut. count None: computed. at: centres on the part's edge, empty: placed.

    open_width: the author did not say how wide they are, so the plan may make them wider.
    """

    count: int | None
    width: float
    height: float
    at: tuple[tuple[float, float], ...] = ()
    open_width: bool = False


@record
class OnionSkin:
    """A thin layer left under a through cut, sanded or cut away by hand."""

    thickness: float
