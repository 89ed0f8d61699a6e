"""A language that nobody speaks: every text marked, accented, a third longer. What is unmarked is in no catalogue."""

from __future__ import annotations

import re
from collections.abc import Iterator
from enum import Enum

import pytest
from layout import faults

import kitforge.language
from kitforge.language import Language
from kitforge.model.kit import Kit
from kitforge.model.lines import Use
from kitforge.model.pack import BuildOptions
from kitforge.model.plan import Plan
from kitforge.model.record import every
from kitforge.print.render import Imprint, lay_out
from kitforge.print.safety import SafetyMessage
from kitforge.print.svg import Picture
from kitforge.print.themes import load_theme
from kitforge_booklet.build import booklet
from kitforge_booklet.records import Booklet
from kitforge_listing.text import listing
from kitforge_sheet.sheet import settings_sheet

OPEN, SHUT = "‹", "›"
ACCENTS = str.maketrans("aeiouncyAEIOU", "àéîöùñçýÀÉÎÖÙ")
PLACE = re.compile(r"(\{[^}]*\}|%\(\w+\)s)")
LONGER = 0.35
UNITS = re.compile(r"\b(?:mm|in)/min\b")
STYLES = {"tight", "tight dense"}
"""How tables of the sheet are set, for the style sheet."""
LAYER = re.compile(r"SHA256SUMS|[\w-]+\.(?:dxf|html)|\b[A-Z]+(?:-[A-Z]+)*\b")


class Pseudo(Language):
    """English with accents, between two marks, longer by a third; places for values stay as they are."""

    def text(self, message: str) -> str:
        if not message:
            return message
        parts = [part if PLACE.fullmatch(part) else part.translate(ACCENTS) for part in PLACE.split(message)]
        more = round(LONGER * len(PLACE.sub("", message)))
        return f"{OPEN}{''.join(parts)}{' éñé' * (more // 4)}{SHUT}"

    def counted(self, one: str, many: str, count: float) -> str:
        return self.text(one if count == 1 else many)


@pytest.fixture(autouse=True)
def _pseudo() -> Iterator[None]:
    token = kitforge.language._in_use.set(Pseudo("en", "Pseudo"))
    yield
    kitforge.language._in_use.reset(token)


@pytest.fixture(scope="module")
def made(kit: Kit, plan: Plan) -> Booklet:
    """The booklet in the language that nobody speaks."""
    token = kitforge.language._in_use.set(Pseudo("en", "Pseudo"))
    found = booklet(kit, plan, BuildOptions())
    kitforge.language._in_use.reset(token)
    return found


def unmarked(text: str) -> str:
    """Return what of a text stands outside all marks."""
    depth, kept = 0, []
    for character in text:
        depth += (character == OPEN) - (character == SHUT)
        kept.append(character if not depth and character != SHUT else " ")
    return "".join(kept)


def of_the_author(kit: Kit) -> list[str]:
    """Return the author's texts, longest first, with the lines of the licence."""
    texts = {*every(str, (kit, tuple(kit.stock.values()))), *(kit.info.licence_text or "").splitlines()}
    return sorted((text for text in texts if len(text) > 2), key=len, reverse=True)


def test_every_text_that_is_printed_is_in_a_catalogue(kit: Kit, plan: Plan, made: Booklet) -> None:
    documents = (made, settings_sheet(kit, plan, BuildOptions()), listing(kit, plan, BuildOptions()))
    pictures = [text for one in every(Picture, documents) for text in (one.alt, *re.findall(r">([^<>]+)<", one.svg))]
    texts = (text for text in every(str, documents) if not isinstance(text, Enum))
    said = {text for text in texts if not text.startswith("<svg")} | set(pictures)
    not_ours = {use.item for use in every(Use, documents)} | {m.source for m in every(SafetyMessage, documents)}
    own, odd = of_the_author(kit), set[str]()
    for text in said - not_ours - set(made.sources) - STYLES:
        left = " ".join(UNITS.sub("", unmarked(text)).split())
        for known in own:
            left = left.replace(" ".join(known.split()), "")
        if re.search("[A-Za-z]{3,}", LAYER.sub("", left)):
            odd.add(text)
    assert odd == set()


@pytest.mark.parametrize("document", ["booklet", "settings"])
def test_no_page_breaks_where_every_text_is_a_third_longer(document: str, kit: Kit, plan: Plan, made: Booklet) -> None:
    data = made if document == "booklet" else settings_sheet(kit, plan, BuildOptions())
    imprint = Imprint(kit.info.title, kit.info.author, document, kit.info.released)
    pages = lay_out(load_theme("plain"), f"{document}.html", data, "a4", imprint)
    assert faults(pages) == []
