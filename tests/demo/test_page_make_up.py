"""How the pages of the demo kits' booklets are made up, A4 and English: page_measures.py says what is measured.

The bounds are what is reached; they may only fall. Wanted is less than two pages of empty feet for each.
"""

from __future__ import annotations

import pytest
from demo_kits import DEMOS, demo
from page_measures import make_up

EMPTY_FEET = {
    "bedside-lamp": 1.1,
    "herb-planter": 1.3,
    "morris-board": 1.0,
    "nest-box": 1.8,
    "plant-stand": 1.2,
    "puzzle-tray": 1.0,
    "seedling-tray": 1.2,
    "wall-clock": 1.5,
}
"""Pages, of the feet of all pages but the cover and the last."""
KNOWN: dict[str, int] = {}
"""Headings at a foot with hardly anything below them, and pages with hardly anything on them."""
COVER_SIDE = 0.64
"""The share of the cover's stage that its picture takes on its limiting side, at least; wanted is 0.8."""


@pytest.mark.parametrize("slug", DEMOS)
def test_feet_are_filled_nothing_stands_alone_and_the_cover_is_filled(slug: str) -> None:
    made = demo(slug)
    found = make_up(made.files["booklet-a4.pdf"])
    assert found.feet < EMPTY_FEET[slug]
    assert len(found.alone) <= KNOWN.get(slug, 0), found.alone
    assert found.cover[1] >= COVER_SIDE
