"""A theme may restyle another: what theme.toml may say, and that the large print is large, whole and true to scale."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

import morris
import pikepdf
import pytest
from demo_kits import said
from golden import READ, compare
from poppler import drawn, page_with
from small_pictures import small
from words import PAPERS

from kitforge.language import use_language
from kitforge.model.pack import BuildOptions
from kitforge.print.errors import ThemeError
from kitforge.print.raster import Raster
from kitforge.print.render import Imprint, manuscript
from kitforge.print.themes import load_theme, read_theme
from kitforge.print.typesetter import laid_out, set_and_laid_out
from kitforge_booklet.build import booklet
from kitforge_booklet.records import Booklet
from kitforge_sheet.sheet import SettingsSheet, settings_sheet

if TYPE_CHECKING:
    from weasyprint import Document
    from weasyprint.formatting_structure.boxes import Box

    from kitforge.model.kit import Kit
    from kitforge.model.plan import Plan
    from kitforge.print.svg import Picture

GOLDEN = Path(__file__).parent / "golden"
PX = 96 / 25.4
SMALLEST, BODY = 10.5, (13.0, 14.0)
"""Points on paper: no words smaller than the first; running text between the others."""
CASES = [
    ("booklet", "a4", "en"),
    pytest.param(("booklet", "letter", "de"), marks=pytest.mark.soak),
    ("settings", "letter", "en"),
    ("settings", "a4", "de"),
]


@dataclass(frozen=True)
class Printed:
    paper: str
    data: Booklet | SettingsSheet
    document: Document
    pdf: bytes


def source(folder: Path, about: str) -> Path:
    (folder / "theme.toml").write_text(about)
    (folder / "theme.css").write_text("/* mine */")
    return folder


def texts(box: Box, cell: Box | None = None) -> Iterator[tuple[Box, Box | None]]:
    """Every text box with the table cell it stands in."""
    cell = box if type(box).__name__ == "TableCellBox" else cell
    if type(box).__name__ == "TextBox":
        yield box, cell
    for child in getattr(box, "children", ()):
        yield from texts(child, cell)


def images(box: Box) -> Iterator[Box]:
    """Every picture below a box."""
    if "Replaced" in type(box).__name__:
        yield box
    for child in getattr(box, "children", ()):
        yield from images(child)


@pytest.fixture(scope="module", params=CASES, ids="-".join)
def printed(request: pytest.FixtureRequest, kit: Kit, plan: Plan) -> Printed:
    template, paper, code = request.param
    with use_language(code), small(by=2):  # finer than the page is looked at
        make: Callable[[Kit, Plan, BuildOptions], Booklet | SettingsSheet]
        make = booklet if template == "booklet" else settings_sheet
        data = make(kit, plan, BuildOptions(theme="large"))
        imprint = Imprint(morris.INFO.title, morris.INFO.author, "Test", morris.INFO.released, code)
        ready = manuscript(load_theme("large"), f"{template}.html", data, paper, imprint)
    pdf, document = set_and_laid_out(ready)
    return Printed(paper, data, document, pdf)


def test_a_page_looks_as_it_did(printed: Printed, request: pytest.FixtureRequest) -> None:
    """A step in the booklet, and a page of the settings sheet."""
    sheet = isinstance(printed.data, SettingsSheet)
    if "-de" in request.node.name:  # one language is enough
        return
    words = ("Playing lines",) if sheet else ("Playing lines", "Entry", "Look and listen")
    picture = drawn(printed.pdf, page_with(printed.pdf, *words), 360)
    compare(GOLDEN / f"large-{'sheet' if sheet else 'step'}.png", picture, READ)


def test_every_page_has_the_size_of_its_paper(printed: Printed) -> None:
    with pikepdf.open(io.BytesIO(printed.pdf)) as opened:
        boxes = [[float(value) for value in page.mediabox] for page in opened.pages]
    assert boxes
    assert all(box == pytest.approx([0, 0, *PAPERS[printed.paper]], abs=0.1) for box in boxes)


def test_no_words_are_small_and_running_text_is_large(printed: Printed) -> None:
    zoom = load_theme("large").zoom
    sizes: dict[float, int] = {}
    for page in printed.document.pages:
        for text, _ in texts(page._page_box):
            size = round(text.style["font_size"] * 0.75 * zoom, 2)
            sizes[size] = sizes.get(size, 0) + len(text.text)
    assert min(sizes) >= SMALLEST
    assert BODY[0] <= max(sizes, key=sizes.__getitem__) <= BODY[1]


def test_nothing_leaves_its_page_or_its_cell(printed: Printed) -> None:
    found = []
    for page in printed.document.pages:
        sheet = page._page_box
        floor = sheet.margin_top + sheet.height
        for text, cell in texts(sheet.children[0]):
            right, bottom = text.position_x + text.width, text.position_y + text.height
            edge = cell.position_x + cell.border_width() if cell else page.width
            if text.position_x < -0.5 or right > min(edge + 1.0, page.width + 0.5) or bottom > floor + 1.0:
                found.append(text.text)
        found += [image.element.get("alt") for image in images(sheet) if _outside(image, page.width, floor)]
    assert found == []


def _outside(image: Box, width: float, floor: float) -> bool:
    clipped = "true" in (image.element.get("class") or "").split() and image.height < 8 * PX
    right = image.position_x + image.width
    return image.position_x < -0.5 or image.position_y + image.height > floor + 1.0 or (right > width and not clipped)


def test_black_on_white(printed: Printed) -> None:
    for page in printed.document.pages:
        for text, _ in texts(page._page_box):
            red, green, blue, *_ = (float(part) for part in text.style["color"].coordinates)
            assert (red, green, blue) in {(0, 0, 0), (1, 1, 1)} or (red, green, blue) == pytest.approx(
                (0, 69 / 255, 107 / 255)
            )


def test_fonts_are_embedded_and_tags_and_words_for_pictures_are_kept(printed: Printed) -> None:
    with pikepdf.open(io.BytesIO(printed.pdf)) as opened:
        items = [item for item in opened.objects if isinstance(item, pikepdf.Dictionary)]
        fonts = [item for item in items if item.get("/Type") == "/FontDescriptor"]
        figures = [item for item in items if item.get("/S") == "/Figure"]
        tables = [item for item in items if item.get("/S") == "/Table"]
        assert bool(opened.Root.MarkInfo.Marked)
        assert fonts
        assert all("/FontFile2" in font or "/FontFile3" in font for font in fonts)
        assert figures
        assert all(str(figure.get("/Alt", "")).strip() for figure in figures)
        assert tables


def test_pages_are_well_filled(printed: Printed) -> None:
    """Own choice: not more than every fifth page has its words in the upper third only."""
    empty = 0
    for page in printed.document.pages:
        sheet = page._page_box
        lowest = max((text.position_y for text, _ in texts(sheet.children[0])), default=0.0)
        lowest = max([lowest, *(image.position_y + image.height for image in images(sheet.children[0]))])
        empty += lowest < sheet.margin_top + sheet.height / 3
    assert empty <= len(printed.document.pages) / 5


def test_what_states_a_scale_keeps_it_on_the_large_page(printed: Printed) -> None:
    """The scale bar, the cutters at full size and the drawings are as wide on paper as they were drawn."""
    widths = {
        image.element.get("alt"): image.width / PX * load_theme("large").zoom
        for page in printed.document.pages
        for image in images(page._page_box)
        if "true" in (image.element.get("class") or "").split()
    }
    scaled = [picture for picture in _drawn_to_scale(printed.data) if picture.alt in widths]
    drawn = {title for title in widths if title and title.startswith(("Dimensioned drawing", "Maßzeichnung"))}
    assert not isinstance(printed.data, Booklet) or len(drawn) == len(printed.data.drawings)
    assert drawn <= {one.alt for one in scaled}
    assert [widths[picture.alt] for picture in scaled] == pytest.approx([p.width for p in scaled], rel=0.001)
    assert bool(scaled) == isinstance(printed.data, Booklet)


TALL = [
    ("a4", 142, 124),
    *(pytest.param(*one, marks=pytest.mark.soak) for one in (("a4", 160, 110), ("letter", 142, 124))),
]


def _choices(data: Booklet) -> list[Picture]:
    """Every drawing at every scale that the typesetter may choose."""
    return [page.picture for choice in data.drawing_choices for page in choice.drawings]


def _drawn_to_scale(data: Booklet | SettingsSheet) -> list[Picture]:
    if not isinstance(data, Booklet):
        return []
    return [data.scale_bar, *(tool.picture for tool in data.needs.cutters), *_choices(data)]


@pytest.mark.parametrize(("paper", "wide", "tall"), TALL)
def test_a_tall_cover_picture_stays_above_the_title(paper: str, wide: float, tall: float) -> None:
    from PIL import Image

    Image.new("RGB", (int(wide * 8), int(tall * 8)), "#777777").save(png := io.BytesIO(), "PNG")
    picture = Raster(png.getvalue(), "The cover.", wide, tall)
    data = said("puzzle-tray").booklet
    data = replace(data, cover=replace(data.cover, picture=picture))
    imprint = Imprint(morris.INFO.title, morris.INFO.author, "Test", morris.INFO.released)
    large = load_theme("large")
    alone = replace(large, files={**large.files, "theme.css": large.files["theme.css"] + b"section { display: none }"})
    cover = laid_out(manuscript(alone, "booklet.html", data, paper, imprint)).pages[0]._page_box
    (shown,) = images(cover)
    assert shown.width / shown.height == pytest.approx(wide / tall, rel=0.01)
    assert shown.position_y + shown.height < min(text.position_y for text, _ in texts(cover))


def test_a_theme_takes_from_its_base_what_it_lacks(tmp_path: Path) -> None:
    theme, plain = read_theme("mine", source(tmp_path, 'base = "plain"\nzoom = 1.5\n')), load_theme("plain")
    assert theme.zoom == 1.5
    assert theme.text("theme.css") == "/* mine */"
    assert {name: theme.files[name] for name in plain.files if name != "theme.css"} == {
        name: data for name, data in plain.files.items() if name != "theme.css"
    }


def test_the_large_theme_changes_no_words_but_those_of_pictures() -> None:
    """And it sets each step by itself, in the words of the plain theme."""
    own = Path(__file__).parents[2] / "templates" / "kitforge_large"
    named = {path.relative_to(own).as_posix() for path in own.rglob("*.html")}
    pictures = {"scaled.html", "booklet/cutters.html", "booklet/drawing.html"}
    assert named == pictures | {"booklet/step_pages.html"}
    assert "_(" not in (own / "booklet/step_pages.html").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("about", "words"),
    [
        ('base = "plain"\ncolour = "red"\nroom = 1\n', "unknown keys: colour, room; known: base, zoom"),
        ("zoom = 0.1", "zoom is a number from 0.5 to 3.0"),
        ("zoom = 9", "zoom is a number"),
        ("zoom = nan", "zoom is a number"),
        ("zoom = true", "zoom is a number"),
        ('zoom = "1.3"', "zoom is a number"),
        ("base = 3", "base is the name of a theme"),
        ('base = "mine"', "restyles itself"),
        ('base = "fancy"', "no theme 'fancy'.*plain"),
        ("base = ", "theme.toml of the theme 'mine' cannot be read"),
    ],
)
def test_a_mistake_in_theme_toml_is_one_plain_message(tmp_path: Path, about: str, words: str) -> None:
    with pytest.raises(ThemeError, match=words):
        read_theme("mine", source(tmp_path, about))


def test_a_link_in_place_of_theme_toml_is_not_followed(tmp_path: Path) -> None:
    (tmp_path / "other.toml").write_text("zoom = 2")
    (tmp_path / "theme.toml").symlink_to(tmp_path / "other.toml")
    assert read_theme("mine", tmp_path).zoom == 1.0
