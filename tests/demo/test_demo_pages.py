"""The PDFs of every demo kit, read by three readers: whole, tagged, named, nothing cut off, nothing overprinted.

The readers are the tools of Poppler, pypdf, and qpdf through pikepdf. How many pages each document has is kept in
page-counts.csv, to the page: `WRITE_GOLDEN=1 pytest tests/demo -k as_many_pages` writes it; look at what has changed.
"""

from __future__ import annotations

import csv
import io
import os
import re
from functools import cache
from itertools import pairwise
from pathlib import Path

import pikepdf
import pytest
from demo_kits import DEMOS, ON_LETTER, Demo, demo
from poppler import told
from pypdf import PdfReader
from structure import elements, ua_faults
from words import PAPERS, outside, overprinted, pages_of_words, picture_words

from kitforge.model.record import every
from kitforge.print.svg import Picture
from kitforge.print.typesetter import date_of
from kitforge.print.unparted import joined

COUNTS = Path(__file__).parent / "page-counts.csv"
KNOWN: dict[str, set[tuple[str, str, str]]] = {}
"""Words that overprint although they should not, by kit: document and the two words. Mended ones must go from here."""


def documents(made: Demo) -> dict[str, bytes]:
    return {name: data for name, data in made.files.items() if name.endswith(".pdf")}


@cache
def read(pdf: bytes) -> PdfReader:
    """Return a document as pypdf reads it, which is slow, once for all tests."""
    return PdfReader(io.BytesIO(pdf))


@cache
def page_count(pdf: bytes) -> int:
    """Return how many pages pypdf finds."""
    return len(read(pdf).pages)


def bookmarks(outline: object) -> list[str]:
    if isinstance(outline, list):
        return [title for item in outline for title in bookmarks(item)]
    return [str(getattr(outline, "title", ""))]


def test_every_reader_counts_the_same_pages(made: Demo) -> None:
    for name, pdf in documents(made).items():
        said = re.search(r"^Pages:\s+(\d+)$", told(pdf, "pdfinfo", "-").decode(), re.MULTILINE)
        assert said is not None, name
        with pikepdf.open(io.BytesIO(pdf)) as opened:
            assert (int(said[1]), len(opened.pages)) == (page_count(pdf),) * 2


def test_every_document_is_tagged_and_says_title_and_language(made: Demo) -> None:
    for name, pdf in documents(made).items():
        said, reader = told(pdf, "pdfinfo", "-").decode(), read(pdf)
        assert re.search(r"^Tagged:\s+yes$", said, re.MULTILINE), name
        assert re.search(rf"^Title:\s+{re.escape(made.checked.kit.info.title)}", said, re.MULTILINE), name
        assert reader.metadata is not None
        assert str(reader.metadata.title).startswith(made.checked.kit.info.title)
        assert str(reader.root_object["/Lang"]) == "en"


def test_every_document_says_what_it_is_and_when_it_was_released(made: Demo) -> None:
    released = f"D:{date_of(made.checked.kit.info.released):%Y%m%d}"
    about = {}
    for name, pdf in documents(made).items():
        with pikepdf.open(io.BytesIO(pdf)) as opened:
            info = opened.docinfo
            assert opened.check_pdf_syntax() == [], name
            assert {str(info[key])[: len(released)] for key in ("/CreationDate", "/ModDate")} == {released}, name
            assert bool(opened.Root.ViewerPreferences.DisplayDocTitle), name
            about[name] = (str(info["/Subject"]).split(",")[0], str(info["/Title"]))
    assert [subject for name, (subject, _) in about.items() if name.startswith("booklet-")] == ["Booklet"]
    assert len({title for _, title in about.values()}) == len(about)


def test_no_document_holds_a_script_or_a_form_and_every_page_has_the_size_of_its_paper(made: Demo) -> None:
    for name, pdf in documents(made).items():
        size = PAPERS[name.removesuffix(".pdf").rpartition("-")[2]]
        with pikepdf.open(io.BytesIO(pdf)) as opened:
            assert "/AcroForm" not in opened.Root, name
            assert not any(isinstance(one, pikepdf.Dictionary) and "/JS" in one for one in opened.objects), name
            for page in opened.pages:
                assert [float(value) for value in page.mediabox] == pytest.approx([0, 0, *size], abs=0.1), name


def test_only_shipped_typefaces_are_used(made: Demo) -> None:
    for name, pdf in documents(made).items():
        with pikepdf.open(io.BytesIO(pdf)) as opened:
            fonts = [one for one in opened.objects if isinstance(one, pikepdf.Dictionary) and "/FontName" in one]
            assert fonts, name
            assert [str(font.FontName) for font in fonts if "Source-Sans-Pro" not in str(font.FontName)] == [], name


def test_every_font_is_embedded_for_poppler_too(made: Demo) -> None:
    for name, pdf in documents(made).items():
        rows = told(pdf, "pdffonts", "-").decode().splitlines()
        columns = rows[1].split()
        at = sum(len(dashes) + 1 for dashes in columns[:3])
        embedded = [row[at : at + len(columns[3])].strip() for row in rows[2:]]
        assert embedded, name
        assert set(embedded) == {"yes"}, name


def test_every_chapter_and_step_has_a_bookmark(made: Demo) -> None:
    titles = bookmarks(read(next(data for name, data in made.files.items() if name.startswith("booklet-"))).outline)
    chapters = ("Safety", "What you need", "Setting up", "Cutting, step by step", "About this pack")
    assert [title for title in titles if title in chapters] == list(chapters)
    assert [b.title for b in made.booklet.steps if not any(title.startswith(b.title) for title in titles)] == []


def test_every_document_keeps_the_rules_of_pdf_ua_that_can_be_tried(made: Demo) -> None:
    for name, pdf in documents(made).items():
        with pikepdf.open(io.BytesIO(pdf)) as opened:
            assert ua_faults(opened) == [], name
            assert {"/Figure", "/H1", "/H2"} <= {str(one.S) for one in elements(opened.Root.StructTreeRoot.K)}, name


def test_no_words_overprint_each_other(made: Demo) -> None:
    """Words in drawings are words too. What is known to be at fault is named in KNOWN, nothing is exempt."""
    found = {
        (name, *pair)
        for name, pdf in documents(made).items()
        for page in pages_of_words(pdf)
        for pair in overprinted(page.words)
    }
    assert found == KNOWN.get(made.checked.kit.info.slug, set())


def test_no_words_stand_where_a_printer_does_not_print(made: Demo) -> None:
    found = {
        (name, number, word)
        for name, pdf in documents(made).items()
        for number, page in enumerate(pages_of_words(pdf), 1)
        for word in outside(page)
    }
    assert found == set()


def test_no_line_parts_a_figure_from_its_unit(made: Demo) -> None:
    """Common practice, no source."""
    found = {
        (name, number, one.text, other.text)
        for name, pdf in documents(made).items()
        for number, page in enumerate(pages_of_words(pdf), 1)
        for one, other in pairwise(page.words)
        if one.text[-1:].isdigit() and joined(f"1 {other.text}") != f"1 {other.text}" and other.top > one.bottom
    }
    assert found == set()


def test_no_sentence_ends_twice(made: Demo) -> None:
    found = {
        (name, word.text)
        for name, pdf in documents(made).items()
        for page in pages_of_words(pdf)
        for word in page.words
        if word.text.endswith(("..", ".;", ".,", ";.")) and not word.text.endswith("...")
    }
    assert found == set()


def test_no_words_are_cut_off_and_no_cell_runs_over(made: Demo) -> None:
    assert list(made.faults) == []


def test_no_words_leave_their_picture(made: Demo) -> None:
    """What leaves a picture is not printed."""
    found = {
        (picture.alt, word.text)
        for picture in every(Picture, made.booklet)
        for word in picture_words(picture.svg)
        if not word.inside(0, 0, picture.width, picture.height)
    }
    assert found == set()


def test_what_the_booklet_has_bought_is_in_every_list(made: Demo) -> None:
    """Wood glue once stood in the booklet alone. The read-me is plain: it has letters of ASCII where it can."""
    for file in ("READ-ME-FIRST.txt", "listing.txt"):
        words = " ".join(made.files[file].decode("utf-8-sig").replace(" x ", " × ").split())
        assert [item.name for item in made.booklet.needs.hardware if item.name not in words] == [], file


def counted(made: Demo) -> dict[str, int]:
    return {name: page_count(pdf) for name, pdf in sorted(documents(made).items())}


def kept() -> dict[str, dict[str, int]]:
    with COUNTS.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    return {kit: {row["document"]: int(row["pages"]) for row in rows if row["kit"] == kit} for kit in DEMOS}


def test_every_document_has_as_many_pages_as_before(made: Demo) -> None:
    """A change of a count is looked at, then written with the command that stands at the top of this file."""
    if os.environ.get("WRITE_GOLDEN"):
        write()
    paper = "-letter.pdf" if "booklet-letter.pdf" in made.files else "-a4.pdf"
    before = {name: pages for name, pages in kept()[made.checked.kit.info.slug].items() if name.endswith(paper)}
    assert counted(made) == before, "see the top of this file"


def write() -> None:
    """Write the page counts anew."""
    with COUNTS.open("w", encoding="utf-8", newline="") as file:
        rows = csv.writer(file, lineterminator="\n")
        rows.writerow(("kit", "document", "pages"))
        for kit in sorted(DEMOS):
            both = counted(demo(kit)) | (counted(demo(kit, "letter")) if kit in ON_LETTER else {})
            rows.writerows((kit, *row) for row in sorted(both.items()))
