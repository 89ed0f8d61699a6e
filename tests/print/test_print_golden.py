"""The comparison with golden pictures: blind to how a reader smooths letters, not to what has moved or gone."""

from __future__ import annotations

from pathlib import Path

import golden
import pytest
from golden import COMPUTED, READ, compare, difference, within
from PIL import Image, ImageDraw
from poppler import drawn

from kitforge.print import fonts
from kitforge.print.svg import SvgCanvas
from kitforge.print.typesetter import PdfJob, render_pdf


@pytest.fixture(scope="module")
def pdf() -> bytes:
    canvas = SvgCanvas(100, 60)
    canvas.box(5, 5, 60, 40, fill="#e3c89c", stroke="#000000")
    canvas.line(5, 50, 90, 50)
    picture = canvas.finish("a board").svg.encode()
    assets = {f"fonts/{name}": data for name, data in fonts.shipped_fonts().items()}
    assets |= {"fonts.css": fonts.font_face_css().encode(), "board.svg": picture}
    html = (
        '<html lang="en"><head><title>A page</title><link rel="stylesheet" href="fonts.css">'
        f"<style>html {{ font: 10pt/14pt '{fonts.FAMILY}' }} @page {{ size: A4; margin: 20mm }}</style></head><body>"
        f"<h1>Heading</h1><p>{'Words of a page that is set in type. ' * 40}</p>"
        '<img src="board.svg" alt="a board" style="width: 100mm"></body></html>'
    )
    return render_pdf(PdfJob(html, assets, None, b"0" * 32, frozenset({fonts.FAMILY})))


@pytest.fixture(scope="module")
def page(pdf: bytes) -> Image.Image:
    return drawn(pdf, 1, 360)


def test_another_way_to_smooth_lines_is_allowed(pdf: bytes, page: Image.Image) -> None:
    """Stronger than what another version of the reader changes."""
    assert within(difference(page, drawn(pdf, 1, 360, "-aaVector", "no")), READ)


def moved(pdf: bytes, x: int, y: int) -> Image.Image:
    """The page moved by half dots to the left and upwards."""
    fine = drawn(pdf, 1, 720)
    aside = fine.transform(fine.size, Image.Transform.AFFINE, (1, 0, x, 0, 1, y))
    return aside.resize((fine.width // 2, fine.height // 2), Image.Resampling.BOX)


def test_a_page_half_a_dot_aside_is_allowed(pdf: bytes, page: Image.Image) -> None:
    assert within(difference(page, moved(pdf, 1, 1)), READ)


def test_a_page_two_millimetres_aside_is_told(pdf: bytes, page: Image.Image) -> None:
    assert not within(difference(page, moved(pdf, 0, 8)), READ)


def test_a_picture_in_another_colour_is_told(page: Image.Image) -> None:
    """The board of the picture, pale brown, becomes green."""
    other = page.copy()
    brown = [(x, y) for x in range(page.width) for y in range(page.height) if page.getpixel((x, y)) == (227, 200, 156)]
    ImageDraw.floodfill(other, brown[len(brown) // 2], (60, 120, 60), thresh=8)
    assert not within(difference(page, other), READ)


def test_a_picture_that_has_gone_is_told(page: Image.Image) -> None:
    other = page.copy()
    brown = [y for y in range(page.height) if page.getpixel((90, y)) == (227, 200, 156)]
    ImageDraw.Draw(other).rectangle((0, min(brown) - 5, page.width, max(brown) + 5), fill="white")
    assert not within(difference(page, other), READ)


def test_a_computed_picture_that_gets_darker_is_told(page: Image.Image) -> None:
    assert within(difference(page, page.point([min(255, v + 1) for v in range(256)] * 3)), COMPUTED)
    assert not within(difference(page, page.point([max(0, v - 5) for v in range(256)] * 3)), COMPUTED)


def test_what_differs_is_left_behind_and_named(
    page: Image.Image, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(golden, "ROOT", tmp_path)
    monkeypatch.setattr(golden, "LEFT", tmp_path / "build" / "golden")
    monkeypatch.setenv("WRITE_GOLDEN", "1")
    compare(tmp_path / "golden" / "page.png", page, READ)
    monkeypatch.delenv("WRITE_GOLDEN")
    compare(tmp_path / "golden" / "page.png", page, READ)
    with pytest.raises(AssertionError, match=r"page\.png differs by .* build/golden/page-difference\.png"):
        compare(tmp_path / "golden" / "page.png", page.point([255 - v for v in range(256)] * 3), READ)
    assert sorted(path.name for path in (tmp_path / "build" / "golden").iterdir()) == [
        "page-difference.png",
        "page.png",
    ]
    with pytest.raises(AssertionError, match="missing"):
        compare(tmp_path / "golden" / "other.png", page, READ)
