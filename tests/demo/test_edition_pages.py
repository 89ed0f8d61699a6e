"""The pages of the demo kits' booklets on Letter, in German and in large print are held to what those on A4 are.

How many pages each has is kept in edition-pages.csv, to the page: `WRITE_GOLDEN=1 pytest --soak -m soak
tests/demo/test_edition_pages.py -k as_many_pages` writes it; look at what has changed.
"""

from __future__ import annotations

import csv
import os
from functools import cache
from pathlib import Path

import pytest
from demo_kits import DEMOS
from editions import EDITIONS, edition
from page_measures import MakeUp, make_up, overleaf

COUNTS = Path(__file__).parent / "edition-pages.csv"
FEET = 2.0
"""Pages, of the feet of all pages but the cover and the last, as wanted."""
KNOWN = {("bedside-lamp", "letter"): 2.1, ("nest-box", "german"): 2.1}
"""What is more than that, by a few mm: on Letter two steps of the lamp would need 5 mm more to share a page."""
LARGE_FEET = {
    "bedside-lamp": 6.1,
    "herb-planter": 5.6,
    "morris-board": 4.1,
    "nest-box": 6.6,
    "plant-stand": 4.2,
    "puzzle-tray": 3.8,
    "seedling-tray": 3.7,
    "wall-clock": 5.6,
}
"""The same in large print, where each step has a page and a page holds half as much: just above what is reached."""
COVER_SIDE = 0.64
"""As on A4 (test_page_make_up.py)."""

pytestmark = pytest.mark.soak
every_booklet = pytest.mark.parametrize(("kit", "name"), [(kit, name) for name in EDITIONS for kit in DEMOS])


@cache
def made_up(kit: str, name: str) -> MakeUp:
    return make_up(edition(kit, name).pdf)


@every_booklet
def test_feet_are_filled(kit: str, name: str) -> None:
    most = LARGE_FEET[kit] if name == "large-print" else KNOWN.get((kit, name), FEET)
    assert made_up(kit, name).feet < most, [
        f"{number}: {foot:.2f}" for number, foot in enumerate(made_up(kit, name).empty, 1)
    ]


@every_booklet
def test_nothing_stands_alone_and_the_cover_is_filled(kit: str, name: str) -> None:
    assert made_up(kit, name).alone == ()
    assert made_up(kit, name).cover[1] >= COVER_SIDE


@every_booklet
def test_no_step_has_its_settings_overleaf(kit: str, name: str) -> None:
    made = edition(kit, name)
    assert list(overleaf(made.pdf, made.steps, made.own)) == []


@every_booklet
def test_no_words_are_cut_off_and_no_cell_runs_over(kit: str, name: str) -> None:
    """Large print shows the bar of the scale bar alone, and says its words below it in larger type."""
    hidden = "'picture: Scale bar of " if name == "large-print" else None
    assert [fault for fault in edition(kit, name).faults if hidden is None or hidden not in fault] == []


@every_booklet
def test_a_booklet_has_as_many_pages_as_before(kit: str, name: str) -> None:
    if os.environ.get("WRITE_GOLDEN"):
        write()
    with COUNTS.open(encoding="utf-8", newline="") as file:
        kept = {(row["kit"], row["edition"]): int(row["pages"]) for row in csv.DictReader(file)}
    assert made_up(kit, name).pages == kept[kit, name], "see the top of this file"


@cache
def write() -> None:
    """Write the page counts anew."""
    with COUNTS.open("w", encoding="utf-8", newline="") as file:
        rows = csv.writer(file, lineterminator="\n")
        rows.writerow(("kit", "edition", "pages"))
        rows.writerows((kit, name, made_up(kit, name).pages) for kit in sorted(DEMOS) for name in EDITIONS)
