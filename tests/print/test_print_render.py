"""The typesetting wrapper: only what was handed over gets in, everything that goes wrong is an error."""

from __future__ import annotations

import gc
import os
from dataclasses import dataclass
from math import ceil
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitforge.lettering.typeface import shipped_face
from kitforge.print.errors import PrintError, ThemeError
from kitforge.print.fonts import require_glyphs, shipped_characters, visible_text
from kitforge.print.render import Imprint, document_pdf
from kitforge.print.svg import Picture, SvgCanvas
from kitforge.print.templates import halves
from kitforge.print.themes import Theme, load_theme, read_theme
from kitforge.print.typesetter import without_collecting

IMPRINT = Imprint("A title", "An author", "A subject", "2026-03-31")
FONTS = '<link rel="stylesheet" href="fonts.css"><style>html { font-family: "Source Sans Pro" }</style>'


@dataclass(frozen=True)
class Data:
    text: str = "words"
    pictures: tuple[Picture, ...] = ()


def theme(body: str, **files: bytes) -> Theme:
    page = f'<html lang="en"><head><title>T</title>{FONTS}</head><body>{body}</body></html>'
    return Theme("test", {"page.html": page.encode(), **files})


def render(body: str, data: Data | None = None, **files: bytes) -> bytes:
    return document_pdf(theme(body, **files), "page.html", data or Data(), "a4", IMPRINT)


def test_a_plain_page_renders() -> None:
    assert render("<h1>{{ text }}</h1>").startswith(b"%PDF-1.7")


@pytest.mark.parametrize(
    "address",
    ["file:///etc/hostname", "http://example.org/a.png", "../../etc/hostname", "ftp://example.org/a", "missing.svg"],
)
def test_nothing_outside_the_theme_can_be_shown(address: str) -> None:
    with pytest.raises(ThemeError, match="neither in the theme nor drawn"):
        render(f'<img src="{address}" alt="x">')


def test_a_style_sheet_cannot_fetch_either() -> None:
    with pytest.raises(ThemeError, match="neither in the theme nor drawn"):
        render('<p style="background: url(file:///etc/hostname)">x</p>')


@pytest.mark.parametrize(
    "attack",
    [
        "{{ text.__class__.__mro__ }}",
        "{{ ''.__class__ }}",
        "{{ cycler.__init__.__globals__ }}",
        "{% include '/etc/hostname' %}",
        "{% include '../../../etc/hostname' %}",
        "{{ 'a' * 999999999 }}",
        "{{ 9 ** 9 ** 9 }}",
        "{{ open('/etc/hostname') }}",
        "{{ '%99999999d' % 1 }}",
        "{{ '{0.__class__.__mro__}'.format(text) }}",
    ],
)
def test_a_template_cannot_leave_its_sandbox(attack: str) -> None:
    with pytest.raises(ThemeError):
        render(attack)


def test_a_name_that_the_data_does_not_have_is_an_error_with_the_line() -> None:
    with pytest.raises(ThemeError, match=r"page\.html.*nothing"):
        render("{{ nothing }}")


def test_text_of_the_kit_is_escaped() -> None:
    assert render("<p>{{ text }}</p>", Data(text="<img src='file:///etc/hostname'> & more"))


def test_a_template_that_writes_without_end_is_stopped() -> None:
    loops = "{% for a in range(99999) %}{% for b in range(99999) %}xxxxxxxxxxxxxxxx{% endfor %}{% endfor %}"
    with pytest.raises(ThemeError, match="without end"):
        render(loops)


@pytest.mark.parametrize(("sign", "advice"), [("⌀", "Ø"), ("⚠", "WARNING"), ("漢", "CJK")])
def test_a_character_without_a_glyph_is_named(sign: str, advice: str) -> None:
    with pytest.raises(PrintError, match=f"U\\+{ord(sign):04X}.*{advice}"):
        render("<p>{{ text }}</p>", Data(text=f"hole {sign} 6"))


def test_a_character_without_a_glyph_in_a_picture_is_named_too() -> None:
    canvas = SvgCanvas(20, 20)
    canvas.text(1, 1, "⌀ 6")
    data = Data(pictures=(canvas.finish("a hole"),))
    with pytest.raises(PrintError, match="a hole"):
        render("<p>x</p>", data)


def test_the_signs_that_the_documents_use_are_all_shipped() -> None:
    require_glyphs("Ø ° – — · × ½ ⅛ ² ³ “ ” ’ … ± ≤ ≥ → ✓ µ é ü ß ñ", shipped_characters(), "signs")


def test_styles_and_scripts_are_no_visible_text() -> None:
    assert visible_text("<style>⌀</style><p>a &amp; b</p>") == "a & b"


def test_a_foreign_typeface_is_refused() -> None:
    with pytest.raises(PrintError, match="typeface"):
        render('<p style="font-family: DejaVu Sans, Liberation Sans, serif">words</p>')


def test_what_the_typesetter_only_warns_about_is_an_error() -> None:
    with pytest.raises(PrintError, match="complains"):
        render('<p style="colour: red">words</p>')


def test_pictures_are_shown_from_memory() -> None:
    canvas = SvgCanvas(20, 20)
    canvas.box(1, 1, 5, 5, fill="#000000")
    picture = canvas.finish("a box")
    body = '{% for p in pictures %}<img src="{{ p.src }}" alt="{{ p.alt }}">{% endfor %}'
    assert len(render(body, Data(pictures=(picture,)))) > len(render("<p></p>", Data(pictures=(picture,))))


def test_the_clock_setting_is_put_back() -> None:
    before = os.environ.get("SOURCE_DATE_EPOCH")
    render("<p>x</p>")
    assert os.environ.get("SOURCE_DATE_EPOCH") == before


def test_unused_cycles_are_looked_for_again_after_a_document_and_after_one_that_failed() -> None:
    with without_collecting():
        assert not gc.isenabled()
        with without_collecting():
            pass
        assert not gc.isenabled()
    assert gc.isenabled()
    with pytest.raises(ZeroDivisionError), without_collecting():
        raise ZeroDivisionError
    assert gc.isenabled()


def test_an_unknown_paper_and_a_wrong_date_are_plain_errors() -> None:
    with pytest.raises(PrintError, match="paper 'a3'"):
        document_pdf(theme("x"), "page.html", Data(), "a3", IMPRINT)
    with pytest.raises(PrintError, match="not a date"):
        document_pdf(theme("x"), "page.html", Data(), "a4", Imprint("t", "a", "s", "31 March"))


def test_the_shipped_theme_is_found_without_running_it() -> None:
    assert {"booklet.html", "settings.html", "style.css"} <= set(load_theme("plain").files)


def test_a_missing_theme_names_the_installed_ones() -> None:
    with pytest.raises(ThemeError, match=r"no theme 'fancy'.*plain"):
        load_theme("fancy")


def test_a_theme_folder_is_read_without_links_and_code(tmp_path: Path) -> None:
    secret = tmp_path / "secret.html"
    secret.write_text("secret")
    folder = tmp_path / "theme"
    folder.mkdir()
    (folder / "page.html").write_text("<p>x</p>")
    (folder / "run.py").write_text("raise SystemExit")
    (folder / "link.html").symlink_to(secret)
    assert list(read_theme("t", folder).files) == ["page.html"]


def test_a_theme_that_is_too_large_is_refused(tmp_path: Path) -> None:
    for index in range(501):
        (tmp_path / f"f{index}.css").write_text("")
    with pytest.raises(ThemeError, match="larger"):
        read_theme("t", tmp_path)


def test_a_theme_may_bring_its_own_typeface() -> None:
    own = shipped_face("SourceSansPro-Black.otf")
    css = b"@font-face { font-family: Own; src: url(own.otf) }"
    body = '<link rel="stylesheet" href="own.css"><p style="font-family: Own">words</p>'
    assert render(body, None, **{"own.otf": own, "own.css": css})


@given(st.lists(st.text(alphabet="abc ", max_size=300), min_size=1, max_size=12))
def test_two_columns_keep_all_items_in_order_and_no_other_cut_is_shorter(items: list[str]) -> None:
    left, right = halves(items, 44)
    assert [*left, *right] == items
    assert left
    tall = [ceil(len(text) / 44) + 0.4 for text in items]
    cuts = [max(sum(tall[:at]), sum(tall[at:])) for at in range(1, len(items) + 1)]
    assert max(sum(tall[: len(left)]), sum(tall[len(left) :])) == min(cuts)
