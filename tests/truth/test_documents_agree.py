"""No two documents of a pack disagree: sizes, depths, settings, counts, times and names are read out of their text.

Planted disagreements, one in each kind of document and for each kind of value, prove that reading sees them.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import cache

import pytest
from demo_kits import DEMOS
from said_together import everything
from sayings import Saying, contradictions, met, minutes
from unset_packs import Unset, unset

LEAST = {"booklet": 200, "sheet": 200, "settings.csv": 100, "listing": 35, "read-me": 14, "drawing": 12, "manifest": 2}
"""Of so many things at least each document of every kit says what another one says as well."""


@cache
def said(kit: str) -> tuple[Saying, ...]:
    return tuple(everything(unset(kit)))


@pytest.mark.parametrize("kit", DEMOS)
def test_no_two_places_disagree(kit: str) -> None:
    assert contradictions(said(kit)) == []


@pytest.mark.parametrize("kit", DEMOS)
def test_every_document_is_compared_with_others(kit: str) -> None:
    """A pattern that finds nothing any more compares nothing."""
    common = {document: len(things) for document, things in met(said(kit)).items()}
    assert {one: common.get(one, 0) for one in LEAST if common.get(one, 0) < LEAST[one]} == {}


KINDS = (
    r"part .*: length", r"part .*: thickness", r"part .*: count", r"part .*: tabs", r"part .*: thinnest floor",
    r"stock .*: length", r"stock .*: thickness", r"stock .*: count", r"cutter .*: diameter", r"cutter .*: shank",
    r"step \d+: title", r"step \d+: cutter", r"step \d+: depth", r"step \d+: counts from", r"step \d+: goes through",
    r"step \d+ on .*: passes together, mm", r"step \d+ on .*: passes together, in", r"step \d+ on .*: passes",
    r"step \d+ on .*: stick-out", r"step \d+ on .*: Feed, start", r"step \d+ on .*: Speed, exact",
    r"feature .*: depth", r"feature .*: count", r"feature .*: narrowest", r"feature .*: measures",
    r".*: screws", r"bought .*: count", r"wood to buy of .*, mm", r"wood to buy of .*, in",
    r"time at the machine: longest", r"time on .*: shortest", r"work by hand",
    r"days of waiting", r"grits", r"coats", r"deepest cut", r"deepest into the spoilboard", r"count of steps",
    r"count of cutters", r"names of the (?:cutters|classes|parts)", r"count of classes", r"version", r"title",
    r"finished piece: width", r"drying between coats",
)  # fmt: skip


@pytest.mark.parametrize("kit", DEMOS)
def test_the_read_me_says_what_to_do_before_it_lists_the_files(kit: str) -> None:
    """Which drawing to open, where the settings are and the time in all stand in its first 40 lines."""
    head = unset(kit).texts["READ-ME-FIRST.txt"].partition("\nWhat is what")[0]
    assert len(head.splitlines()) <= 40
    told = " ".join(head.split())
    assert re.search(r"Begin with \S+\.dxf, for step 1", told)
    assert "They are in settings-a4.pdf" in told
    assert re.search(r"All in all: .*\d (?:h|min).* of work", told)


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_value_is_said_in_two_places_of_some_kit(kind: str) -> None:
    for kit in DEMOS:
        places: dict[str, set[str]] = {}
        for one in said(kit):
            if re.fullmatch(kind, one.about):
                places.setdefault(one.about, set()).add(one.place)
        if any(len(found) > 1 for found in places.values()):
            return
    pytest.fail(f"nowhere is '{kind}' said twice")


@dataclass(frozen=True, slots=True)
class Planted:
    """A disagreement: in which document of the morris board which words become which, and what must be told of."""

    document: str
    words: str
    instead: str
    about: str


PLANTED = (
    Planted("listing.txt", "380 × 300 × 19 mm", "380 × 300 × 20 mm", "part Board: thickness"),
    Planted("listing.txt", "Work by hand: 2 h 30 min", "Work by hand: 3 h 30 min", "work by hand"),
    Planted("listing.txt", "Light router: fits, ", "Light router: fits, 3 min to ", "time on Light router"),
    Planted("READ-ME-FIRST.txt", "drawn for 20 mm", "drawn for 19 mm", "stock Maple board: thickness"),
    Planted("READ-ME-FIRST.txt", "- Cutter: 12.7 mm V-bit", "- Cutter: 12.7 mm drill", "names of the cutters"),
    Planted("settings.csv", ",depth,mm,19.5,19.5,19.5,", ",depth,mm,20.5,20.5,20.5,", "step 8: depth"),
    Planted("settings.csv", "top after board/playing-face", "top", "counts from"),
    Planted("settings-a4.pdf", "<strong>0.85</strong>", "<strong>0.9</strong>", "Depth per pass, start"),
    Planted("settings-a4.pdf", "stick-out 18 mm", "stick-out 28 mm", "stick-out"),
    Planted("booklet-a4.pdf", "seven tabs", "six tabs", "part Board: tabs"),
    Planted(
        "booklet-a4.pdf",
        '<span class="range">+ one of 1.35',
        '<span class="range">+ one of 1.36',
        "passes together, mm",
    ),
    Planted("booklet-a4.pdf", 'figure">24</td>', 'figure">23</td>', "feature Board/Dimples for the men: count"),
    Planted("booklet-a4.pdf", "Thickness 19 mm", "Thickness 20 mm", "part Board: thickness"),
    Planted("booklet-a4.pdf", "Lay out five cutters", "Lay out four cutters", "count of cutters"),
    Planted("drawings/board.svg", "9 mm below the faced surface", "10 mm below the faced surface", ": depth"),
    Planted("drawings/board.svg", "through, 6.35 mm", "19 mm below the faced surface, 6.35 mm", "goes through"),
    Planted("booklet-a4.pdf", "layer TRAY;", "layer OUTLINE;", "drawn on"),
    Planted("drawings/sheet-blank-1.svg", "<title>TRAY", "<title>BOWL", "layers of sheet-blank-1.dxf"),
    Planted("manifest.json", '"version": "1.0.0",\n    "title"', '"version": "1.0.1",\n    "title"', "version"),
)


@pytest.mark.parametrize("planted", PLANTED, ids=lambda one: f"{one.document}: {one.instead}")
def test_a_planted_disagreement_is_seen(planted: Planted) -> None:
    pack = unset("morris-board")
    words = pack.texts[planted.document]
    assert planted.words in words, "the words to replace are no longer printed"
    wrong = replace(pack, texts=pack.texts | {planted.document: words.replace(planted.words, planted.instead)})
    found = [told for told in contradictions(everything(wrong)) if planted.about in told]
    assert found


def test_pictures_are_read_as_well() -> None:
    pack = unset("morris-board")
    wrong = {src: drawn.replace("450 mm", "460 mm") for src, drawn in pack.pictures.items()}
    found = contradictions(everything(Unset(pack.name, pack.texts, wrong)))
    assert any("picture" in told for told in found)


def test_times_are_read() -> None:
    said_times = ("35 min to 1 h 50 min", "40–85 min", "about 1 min", "2 h to 3 h", "5 days")
    assert [minutes(one) for one in said_times] == [(35, 110), (40, 85), (1, 1), (120, 180), None]


@pytest.mark.parametrize("name", DEMOS)
def test_no_small_word_is_said_twice_in_a_row(name: str) -> None:
    """In what is printed and in READ-ME-FIRST.txt, such as "in in" where a unit ends a sentence."""
    twice = re.compile(r"\b(a|an|and|at|for|in|is|it|of|on|or|the|to|with) \1\b", re.IGNORECASE)
    found = []
    for document, text in unset(name).texts.items():
        if document.endswith((".pdf", "READ-ME-FIRST.txt")):
            pieces = re.sub(r"<[^>]+>", "\x00", text).split("\x00")
            found += [(document, piece) for piece in (" ".join(one.split()) for one in pieces) if twice.search(piece)]
    assert found == []
