"""The pages of random kits: what no demo kit has on them must not overprint, be cut off or stand alone either."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
import test_demo_pages as pages
from demo_kits import Demo, built, told_of
from kit_samples import Sample, releasable
from page_measures import make_up, overleaf

RULES: tuple[Callable[[Demo], None], ...] = (
    pages.test_every_document_is_tagged_and_says_title_and_language,
    pages.test_every_chapter_and_step_has_a_bookmark,
    pages.test_no_words_overprint_each_other,
    pages.test_no_words_stand_where_a_printer_does_not_print,
    pages.test_no_line_parts_a_figure_from_its_unit,
    pages.test_no_sentence_ends_twice,
    pages.test_no_words_are_cut_off_and_no_cell_runs_over,
    pages.test_no_words_leave_their_picture,
)
SHOWN = 23
"""A kit in inches: a stepover wider than its column, and a heading with one line below it at the foot of a page."""
EVERY = 9
"""Of so many random kits one is set in type: that takes some seconds."""


def try_pages(seed: int, folder: Path) -> None:
    """Build a random kit that can be released and look at its pages."""
    found = releasable(seed, folder)
    if found is None:
        return
    made = built(folder, told_of(folder, found), "a4", {})
    for rule in RULES:
        rule(made)
    booklet = made.files["booklet-a4.pdf"]
    assert make_up(booklet).alone == ()
    assert list(overleaf(booklet, "Cutting, step by step", "Yours")) == []


@pytest.mark.soak
def test_a_random_kit_has_pages_like_a_demo_kit(tmp_path: Path) -> None:
    try_pages(SHOWN, tmp_path)


@pytest.mark.soak
def test_every_random_kit_has_pages_like_a_demo_kit(any_kit: Sample, tmp_path: Path) -> None:
    if any_kit.seed is not None and any_kit.seed % EVERY == 0:
        try_pages(any_kit.seed, tmp_path)
