"""READ-ME-FIRST.txt and LICENSE.txt: readable everywhere, and true about the pack."""

from __future__ import annotations

import dataclasses
from typing import Any

import pytest
from packaging.licenses import canonicalize_license_expression

from kitforge.model.kit import Kit
from kitforge.model.pack import PackFile
from kitforge.model.plan import Plan
from kitforge.pack.readme import licence_file, read_me_first
from kitforge.pack.wording import WIDTH, encode, printable

FILES = (
    PackFile("booklet-a4.pdf", b"%PDF", "The booklet for A4 paper", guide=True),
    PackFile("drawings/side.dxf", b"0", "The side, one layer for each step"),
)


def _with(kit: Kit, **changes: Any) -> Kit:
    return dataclasses.replace(kit, info=dataclasses.replace(kit.info, **changes))


def _text(file: PackFile) -> str:
    return file.data.decode("utf-8-sig").replace("\r\n", "\n")


@pytest.fixture
def text(kit: Kit, plan: Plan) -> str:
    return _text(read_me_first(kit, plan, FILES))


def test_every_line_fits_76_columns(text: str) -> None:
    assert [line for line in text.split("\n") if len(line) > WIDTH] == []


def test_every_line_ends_as_the_plainest_editors_expect(kit: Kit, plan: Plan) -> None:
    """CRLF throughout; a byte order mark when, and only when, the text is not plain ASCII."""
    data = read_me_first(kit, plan, FILES).data
    plain = read_me_first(_with(kit, title="Nest box"), plan, FILES).data
    assert data.count(b"\n") == data.count(b"\r\n") > 40
    assert [text.startswith(b"\xef\xbb\xbf") for text in (data, plain)] == [True, False]


def test_title_version_author_contact_and_licence_are_told(text: str) -> None:
    told = ("Nest box für Meisen, version 1.2.0", "Author: A. Maker (maker@example.org)", "released 2024-05-01",
            "Licence: CC-BY-4.0 OR LicenseRef-Nest-Box", "nest-box-1.2.0")  # fmt: skip
    assert [words for words in told if words not in text] == []


def test_every_file_is_listed_with_what_it_is_for(text: str) -> None:
    assert "drawings/\n\nside.dxf\n    The side, one layer for each step." in text
    assert "booklet-a4.pdf\n    The booklet for A4 paper." in text


def test_what_to_buy_comes_from_stock_sheets_hardware_and_finish(text: str) -> None:
    assert "- 1 x Pine board: Eastern white pine, 900 mm (35.433 in) x 200 mm" in text
    assert "- 2 x brass hinge, 40 mm (for the lid)" in text
    assert "- Finish: " in text


def test_the_measured_thickness_is_asked_for_in_both_units(text: str) -> None:
    assert "Pine board, drawn for 17.6 mm (0.693 in)" in " ".join(text.split())


def test_a_pack_without_booklet_and_drawings_does_not_speak_of_them(kit: Kit, plan: Plan) -> None:
    text = _text(read_me_first(kit, plan, ()))
    assert [word for word in ("Read ", "Load the drawings") if word in text] == []


def test_cautions_name_the_hazards_of_the_trade(text: str) -> None:
    """HSE Woodworking Information Sheet 22: people, holding, ejected parts; HSE wood dust page: dust."""
    words = ("eye and ear", "thrown", "dust", "scrap", "manuals of your machine")
    assert [word for word in words if word not in " ".join(text.split())] == []


def test_the_authors_own_licence_text_is_kept_line_by_line(kit: Kit) -> None:
    own = _with(kit, licence_text="Line one\n  indented\tline\n\nlast")
    assert licence_file(own).data == b"Line one\r\n  indented\tline\r\n\r\nlast\r\n"


def test_without_a_text_the_spdx_expression_is_put_into_words(kit: Kit) -> None:
    """The expression printed is valid SPDX (checked with the packaging library) and a private part is explained."""
    text = " ".join(_text(licence_file(kit)).split())
    shown = text.partition("SPDX-License-Identifier: ")[2].partition(" The author")[0]
    assert canonicalize_license_expression(shown) == "CC-BY-4.0 OR LicenseRef-Nest-Box"
    told = ("Copyright 2024 A. Maker", "you choose one", "LicenseRef-Nest-Box is the author's own licence")
    assert [words for words in told if words not in text] == []


def test_a_listed_licence_points_to_its_text(kit: Kit) -> None:
    text = " ".join(_text(licence_file(_with(kit, licence="CC-BY-NC-4.0"))).split())
    assert ("https://spdx.org/licenses/" in text, "own licence" in text, "choose one" in text) == (True, False, False)


def test_signs_that_hide_or_turn_text_are_taken_out() -> None:
    assert printable("a\x1b[31mb\u202ec\x07\n") == "a [31mb c \n"


def test_line_ends_of_any_kind_become_one_kind() -> None:
    assert encode("a\rb\r\nc\n\n") == b"a\r\nb\r\nc\r\n"
