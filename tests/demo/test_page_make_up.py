"""How the pages of the demo kits' booklets are made up, A4 and English: page_measures.py says what is measured.

The bounds are what is reached; they may only fall, but where a page is saved. Wanted is less than two pages of empty
feet for each.
"""

from __future__ import annotations

import pytest
from demo_kits import DEMOS, demo
from page_measures import make_up, overleaf
from words import Paper, Word, pages_of_words

EMPTY_FEET = {
    "bedside-lamp": 0.8,
    "herb-planter": 1.15,
    "morris-board": 1.1,
    "nest-box": 1.55,
    "plant-stand": 0.9,
    "puzzle-tray": 0.8,
    "seedling-tray": 0.9,
    "wall-clock": 1.8,
}
"""Pages, of the feet of all pages but the cover and the last."""
MOST_PAGES = {
    "bedside-lamp": 21,
    "herb-planter": 14,
    "morris-board": 16,
    "nest-box": 30,
    "plant-stand": 18,
    "puzzle-tray": 12,
    "seedling-tray": 16,
    "wall-clock": 20,
}
"""Pages, as wanted."""
KNOWN: dict[str, int] = {}
"""Headings at a foot with hardly anything below them, and pages with hardly anything on them."""
COVER_SIDE = 0.64
"""The share of the cover's stage that its picture takes on its limiting side, at least; wanted is 0.8."""


@pytest.mark.parametrize("slug", DEMOS)
def test_feet_are_filled_nothing_stands_alone_and_the_cover_is_filled(slug: str) -> None:
    made = demo(slug)
    found = make_up(made.files["booklet-a4.pdf"])
    assert found.pages <= MOST_PAGES[slug]
    assert found.feet < EMPTY_FEET[slug]
    assert len(found.alone) <= KNOWN.get(slug, 0), found.alone
    assert found.cover[1] >= COVER_SIDE
    assert list(overleaf(made.files["booklet-a4.pdf"], "Cutting, step by step", "Yours")) == []


@pytest.mark.parametrize("slug", DEMOS)
def test_the_times_in_the_list_of_steps_stand_in_one_line_each(slug: str) -> None:
    """Its last column; a second line for "min" makes a list of many steps half as long again."""
    found = 0
    for page in pages_of_words(demo(slug).files["booklet-a4.pdf"]):
        heads = [word for word in page.words if word.text == "Cutter" and (_beside(page, word) or ("",))[0] == "Depth"]
        if not heads:
            continue
        for word in page.words:
            if word.text == "min" and word.left > heads[0].right and word.top > heads[0].bottom:
                before = [one for one in page.words if abs(one.bottom - word.bottom) < 2 and one.right <= word.left]
                assert before
                assert word.left - max(one.right for one in before) < 6, (page.words.index(word), word)
                found += 1
    assert found


def _beside(page: Paper, word: Word) -> tuple[str, ...]:
    """Return the words to the right of one in its line."""
    line = [one for one in page.words if abs(one.top - word.top) < 2 and one.left > word.right]
    return tuple(one.text for one in sorted(line, key=lambda one: one.left))
