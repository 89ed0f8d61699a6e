"""What a buyer may do, in plain words, and what a shop's form asks for."""

from __future__ import annotations

from dataclasses import replace

import morris
import pytest
from packaging.licenses import canonicalize_license_expression

from kitforge.language import use_language
from kitforge.model.facts import PieceUse
from kitforge.workshop.licences import licence_terms
from kitforge_listing.shop import ShopPictures, allowed, form, keywords

KIT = morris.kit()


def told(licence: str, words: str | None = None) -> str:
    return " ".join(allowed(replace(KIT.info, licence=licence, licence_words=words)))


@pytest.mark.parametrize("licence", licence_terms())
def test_what_a_licence_names_is_what_is_told(licence: str) -> None:
    """Their names are built of what they ask for (Creative Commons, "About CC licenses": BY credit, SA same terms,
    NC no use for money, ND no changed copies), so that each field of the table can be checked against them."""
    parts = licence.split("-")
    terms = licence_terms()[licence]
    assert canonicalize_license_expression(licence) == licence
    assert terms.money == ("NC" not in parts)
    assert terms.changed == ("ND" not in parts)
    assert terms.same == ("SA" in parts)
    assert terms.credit == ("BY" in parts)
    text = told(licence)
    assert ("may be sold" in text) == terms.money
    assert ("may not be sold" in text) == (not terms.money)
    assert ("but not changed ones" in text) == (not terms.changed)
    assert ("under the same licence" in text) == terms.same
    assert (f"Name {KIT.info.author}" in text) == terms.credit


@pytest.mark.parametrize("licence", ["LicenseRef-Own-Terms", "MIT", "CC-BY-4.0 OR MIT"])
def test_of_a_licence_that_is_not_known_nothing_is_promised(licence: str) -> None:
    text = told(licence)
    assert "sold" not in text
    assert text.startswith("LICENSE.txt says what is allowed")


def test_the_authors_own_words_stand_in_their_place() -> None:
    text = told("LicenseRef-Own-Terms", "You may sell up to 50 pieces a year.")
    assert text == "You may sell up to 50 pieces a year. In short, and no legal advice: LICENSE.txt counts."


def test_keywords_are_the_authors_or_what_is_known_each_once() -> None:
    woods = {stock.material.name.lower() for stock in KIT.stock.values()}
    known = keywords(replace(KIT, info=replace(KIT.info, uses=(PieceUse.OUTDOORS, PieceUse.WALL))))
    assert woods < set(known)
    assert {KIT.info.title, "CNC router", "outdoors", "hangs on a wall", "DXF"} < set(known)
    assert len(known) == len(set(known))
    own = replace(KIT, info=replace(KIT.info, keywords=("board game", "mill")))
    assert keywords(own) == ("board game", "mill")
    with use_language("de"):
        assert "CNC-Fräse" in keywords(KIT)


def test_pictures_come_in_the_order_of_a_shop_page_and_none_that_is_not_there() -> None:
    more = {"parts": "parts.jpg", "close-up": "close-up.jpg"}
    there = ShopPictures(["cover.jpg", "cover-white.jpg"], more, ["step-01.jpg", "step-02.jpg"])
    assert there.in_order == ["cover.jpg", "close-up.jpg", "parts.jpg", "step-02.jpg"]
    assert ShopPictures(steps=["step-01.jpg"]).in_order == ["step-01.jpg"]
    lines = list(form(KIT, there))
    assert lines[-2:] == ["Picture 4: step-02.jpg", "Where a shop crops or wants white: cover-white.jpg"]
    assert lines[0] == f"Title: {KIT.info.title}: plans for a CNC router"
