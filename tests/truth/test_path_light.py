"""One small kit with a board that is faced, a skin, two boards, openings with tabs, the weather and a device on mains.

Each of these changes what every document says. The kit is checked and all its documents are read as they are.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from lxml import html
from manuscripts import text
from said_together import everything
from sayings import contradictions
from unset_packs import Unset, unset_pack

from kitforge.model.findings import Severity
from kitforge.pipeline import CheckedKit, check_kit
from kitforge.plugins import load_plugins

KIT = Path(__file__).parent / "path-light"


@pytest.fixture(scope="module")
def checked() -> CheckedKit:
    return check_kit(KIT, load_plugins())


@pytest.fixture(scope="module")
def pack(checked: CheckedKit) -> Unset:
    return unset_pack("path-light", checked)


@pytest.fixture(scope="module")
def booklet(pack: Unset) -> str:
    return text(html.fromstring(pack.texts["booklet-a4.pdf"].replace("<br>", " ")))


def test_the_kit_is_sound(checked: CheckedKit) -> None:
    assert [str(one) for one in checked.findings if one.severity is not Severity.NOTE] == []


def test_its_documents_agree(pack: Unset) -> None:
    assert contradictions(everything(pack)) == []


def test_parts_of_the_faced_board_are_as_thick_as_they_come_out(booklet: str, pack: Unset) -> None:
    """21 mm lie on the machine, 1 mm is faced off; 8 of the 20 mm are cleared for the seat."""
    assert "Foot: 180 × 140 × 20 mm" in pack.texts["listing.txt"]
    assert "Foot Thinnest floor 12 mm" in booklet.replace("FootThinnest floor12", "Foot Thinnest floor 12")
    assert "The kit is drawn for 21 mm" in booklet


def test_a_skin_is_no_cut_through(booklet: str, pack: Unset) -> None:
    assert "A skin of 0.4 mm (0.016 in) is left all along the cut" in booklet
    foot = re.search(r"<title>OUTLINE</title>\s*<desc>(.*?)</desc>", pack.texts["drawings/foot.svg"])
    assert foot is not None
    assert foot[1].startswith("19.6 mm below the ")


def test_what_tabs_hold_is_told_of_parts_and_of_openings(booklet: str) -> None:
    assert "“Hole for the cable” of Foot by three tabs and “Window” of Lid by three tabs" in booklet
    assert "Still held: Lid by three tabs." in booklet
    assert booklet.count("Only the tabs still hold the waste, ") == 2


def test_weather_and_mains_are_told(booklet: str) -> None:
    assert "Let the wood lie outdoors under a roof" in booklet
    assert "Wiring for mains voltage is work for a licensed electrician" in booklet


def test_a_part_with_an_opening_only_has_no_floor_to_be_measured(booklet: str) -> None:
    assert booklet.count("Thinnest floor") == 1
