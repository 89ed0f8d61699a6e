"""What a reader's program finds in the PDFs: tags, titles, faces, words for pictures; nothing cut off.

The sheet in every run, the booklet in the long one: `tests/demo` asks the same of the booklets of all demo kits.
"""

from __future__ import annotations

import io
import os
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import morris
import pikepdf
import pytest
from smaller import IN_A_SCRIPT, leave_unset
from structure import ua_faults
from words import PAPERS

from kitforge.model.kit import Kit
from kitforge.model.pack import BuildOptions
from kitforge.model.plan import Plan
from kitforge.print.render import Imprint, lay_out
from kitforge.print.themes import Theme, load_theme
from kitforge_booklet import kitforge_render as render_booklet
from kitforge_booklet.build import booklet
from kitforge_sheet import kitforge_render as render_sheet
from kitforge_sheet.sheet import settings_sheet

if TYPE_CHECKING:
    from weasyprint import Document
    from weasyprint.formatting_structure.boxes import Box

NAMES = (
    *(pytest.param(f"booklet-{paper}.pdf", marks=pytest.mark.soak) for paper in ("a4", "letter")),
    "settings-a4.pdf",
    "settings-letter.pdf",
)


@pytest.fixture(params=NAMES)
def pdf(request: pytest.FixtureRequest, files: dict[str, bytes]) -> Iterator[pikepdf.Pdf]:
    with pikepdf.open(io.BytesIO(files[request.param])) as opened:
        yield opened


def test_both_documents_come_on_both_papers_with_a_table(kit: Kit, plan: Plan, monkeypatch: pytest.MonkeyPatch) -> None:
    leave_unset(monkeypatch.setattr)
    made = [*render_booklet(kit, plan, BuildOptions()), *render_sheet(kit, plan, BuildOptions())]
    documents = [f"{name}-{paper}.pdf" for name in ("booklet", "settings") for paper in ("a4", "letter")]
    assert sorted(file.name for file in made) == [*documents, "settings.csv", "start.html"]


def test_the_syntax_is_sound(pdf: pikepdf.Pdf) -> None:
    assert pdf.check_pdf_syntax() == []


def test_the_file_is_tagged_and_says_language_and_title(pdf: pikepdf.Pdf) -> None:
    root = pdf.Root
    assert str(root.Lang) == "en"
    assert bool(root.MarkInfo.Marked)
    assert bool(root.ViewerPreferences.DisplayDocTitle)
    assert str(pdf.docinfo["/Title"]).startswith("Nine Men’s Morris: ")
    assert "/StructTreeRoot" in root


@pytest.mark.parametrize("name", NAMES)
def test_the_rules_of_pdf_ua_are_kept(name: str, files: dict[str, bytes]) -> None:
    with pikepdf.open(io.BytesIO(files[name])) as opened:
        assert ua_faults(opened) == []


def test_there_are_bookmarks(pdf: pikepdf.Pdf) -> None:
    with pdf.open_outline() as outline:
        assert len(outline.root) >= 1


def test_dates_are_the_release_date(pdf: pikepdf.Pdf) -> None:
    assert str(pdf.docinfo["/CreationDate"]).startswith("D:20260331")
    assert str(pdf.docinfo["/ModDate"]).startswith("D:20260331")


def test_only_the_shipped_typeface_is_used_and_it_is_embedded(pdf: pikepdf.Pdf) -> None:
    descriptors = [item for item in pdf.objects if isinstance(item, pikepdf.Dictionary) and "/FontName" in item]
    fonts = [item for item in descriptors if item.get("/Type") == "/FontDescriptor"]
    assert fonts
    assert all("Source-Sans-Pro" in str(font.FontName) for font in fonts)
    assert all("/FontFile2" in font or "/FontFile3" in font for font in fonts)


def test_no_script_and_no_form(pdf: pikepdf.Pdf) -> None:
    assert "/AcroForm" not in pdf.Root
    assert not any(isinstance(item, pikepdf.Dictionary) and "/JS" in item for item in pdf.objects)


@pytest.mark.parametrize("name", NAMES)
def test_every_page_has_the_size_of_its_paper(name: str, files: dict[str, bytes]) -> None:
    width, height = PAPERS[name.removesuffix(".pdf").rpartition("-")[2]]
    with pikepdf.open(io.BytesIO(files[name])) as opened:
        boxes = [[float(value) for value in page.mediabox] for page in opened.pages]
    assert all(box == pytest.approx([0, 0, width, height], abs=0.1) for box in boxes)


def test_one_page_for_each_class_that_the_kit_fits(files: dict[str, bytes], plan: Plan) -> None:
    with pikepdf.open(io.BytesIO(files["settings-letter.pdf"])) as opened:
        assert len(opened.pages) == sum(machine.fits for machine in plan.machines)


def boxes(box: Box, cell: Box | None = None) -> Iterator[tuple[Box, Box | None]]:
    """Every text box with the table cell it stands in."""
    kind = type(box).__name__
    cell = box if kind == "TableCellBox" else cell
    if kind == "TextBox":
        yield box, cell
    for child in getattr(box, "children", ()):
        yield from boxes(child, cell)


def cut_off(document: Document) -> list[str]:
    """Texts that leave the page, run into the footer, or leave their table cell; px at 96 per inch."""
    found = []
    for page in document.pages:
        sheet = page._page_box
        floor = sheet.margin_top + sheet.height
        for text, cell in boxes(sheet.children[0]):
            right, bottom = text.position_x + text.width, text.position_y + text.height
            inside = text.position_x >= -0.5 and right <= page.width + 0.5 and bottom <= floor + 1.0
            edge = cell.position_x + cell.border_width() if cell else page.width
            if not inside or right > edge + 1.0:
                found.append(text.text)
    return found


def laid(data: object, template: str, paper: str, theme: Theme | None = None) -> Document:
    imprint = Imprint(morris.INFO.title, morris.INFO.author, "Test", morris.INFO.released)
    return lay_out(theme or load_theme(), template, data, paper, imprint)


@pytest.mark.parametrize("name", NAMES)
def test_no_text_is_cut_off(name: str, documents: dict[str, Document]) -> None:
    assert cut_off(documents[name]) == []


@pytest.mark.soak
def test_no_text_is_cut_off_where_sizes_are_in_inches_alone(kit: Kit, plan: Plan) -> None:
    options = BuildOptions(units="in")
    assert cut_off(laid(booklet(kit, plan, options), "booklet.html", "letter")) == []
    assert cut_off(laid(settings_sheet(kit, plan, options), "settings.html", "letter")) == []


def test_a_word_too_wide_for_its_cell_is_broken_or_else_found(kit: Kit, plan: Plan) -> None:
    sheet = settings_sheet(kit, plan, BuildOptions(machines=("medium_router",)))
    row = replace(sheet.pages[0].rows[0], title="Holzverbindungsschwalbenschwanzfräserschablonenhalterung")
    broken = replace(sheet, pages=(replace(sheet.pages[0], rows=(row,)),))
    plain = load_theme()
    whole = replace(plain, files={**plain.files, "theme.css": b"body { overflow-wrap: normal }"})
    assert cut_off(laid(broken, "settings.html", "a4")) == []
    assert any(row.title in text for text in cut_off(laid(broken, "settings.html", "a4", whole)))


SCRIPT = f"""{IN_A_SCRIPT}
import hashlib, importlib, sys
sys.path.insert(0, sys.argv[1])
import morris
from kitforge.model.pack import BuildOptions
for plugin in sys.argv[2:]:
    render = importlib.import_module(plugin).kitforge_render
    for file in render(morris.kit(), morris.plan(), BuildOptions(papers=("a4",))):
        print(file.name, hashlib.sha256(file.data).hexdigest())
"""
SHEET, BOOKLET = {"settings-a4.pdf", "settings.csv"}, {"booklet-a4.pdf", "start.html"}


@pytest.mark.parametrize(
    ("plugins", "names"),
    [
        (["kitforge_sheet"], SHEET),
        pytest.param(["kitforge_sheet", "kitforge_booklet"], SHEET | BOOKLET, marks=pytest.mark.soak),
    ],
    ids=["settings-a4.pdf", "booklet-a4.pdf"],
)
def test_another_process_with_another_hash_seed_writes_the_same_bytes(
    plugins: list[str], names: set[str], files: dict[str, bytes], tmp_path: Path
) -> None:
    import hashlib

    fixtures = Path(__file__).parents[1] / "print" / "fixtures"
    environment = os.environ | {"PYTHONHASHSEED": "7", "TZ": "Asia/Tokyo", "LC_ALL": "C", "HOME": str(tmp_path)}
    command = [sys.executable, "-c", SCRIPT, str(fixtures), *plugins]
    done = subprocess.run(command, capture_output=True, text=True, check=True, env=environment, cwd=tmp_path)
    sums = dict(line.split() for line in done.stdout.splitlines())
    assert sums == {name: hashlib.sha256(files[name]).hexdigest() for name in sums}
    assert set(sums) == names
