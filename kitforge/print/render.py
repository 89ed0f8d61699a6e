"""From a theme, a template and data to a PDF, the same bytes every time."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields, is_dataclass
from typing import TYPE_CHECKING

from kitforge.model.record import every
from kitforge.print import fonts
from kitforge.print.errors import PrintError
from kitforge.print.raster import Raster
from kitforge.print.svg import Picture
from kitforge.print.templates import fill_template
from kitforge.print.typesetter import PdfJob, date_of, laid_out, render_pdf
from kitforge.print.unparted import unparted

if TYPE_CHECKING:
    from weasyprint import Document

    from kitforge.print.themes import Theme

PAPERS = ("a4", "letter")


@dataclass(frozen=True, slots=True)
class Imprint:
    """What the file says about itself: title, author, subject, language and release date (YYYY-MM-DD)."""

    title: str
    author: str
    subject: str
    released: str | None = None
    language: str = "en"
    keywords: tuple[str, ...] = ()


def document_pdf(theme: Theme, template: str, data: object, paper: str, imprint: Imprint) -> bytes:
    """Return a tagged PDF (PDF/UA-1 structure, bookmarks, language, title) of a theme's template; see `manuscript`."""
    return render_pdf(manuscript(theme, template, data, paper, imprint))


def lay_out(theme: Theme, template: str, data: object, paper: str, imprint: Imprint) -> Document:
    """Return the laid-out document, for checks of pages and boxes."""
    return laid_out(manuscript(theme, template, data, paper, imprint))


def manuscript(theme: Theme, template: str, data: object, paper: str, imprint: Imprint) -> PdfJob:
    """Return a document ready to be set, in the language in use.

    data: a dataclass whose fields become the template's names; every Picture in it can be shown by its `src`.
    paper: 'a4' or 'letter'. Raises PrintError for a character without a glyph and ThemeError for a fault of the theme.
    """
    if paper not in PAPERS:
        raise PrintError(f"There is no paper '{paper}'; use one of {', '.join(PAPERS)}.")
    shown: list[Picture | Raster] = [*every(Picture, data, once=True), *every(Raster, data, once=True)]
    pictures = {picture.src: picture for picture in shown}
    html = unparted(fill_template(theme, template, _values(data, paper, imprint)))
    _require_all_glyphs(theme, html, pictures.values())
    shipped = fonts.families_of([*fonts.shipped_fonts().values(), *theme.fonts.values()])
    families = frozenset({fonts.FAMILY, *shipped, *theme.families})
    return PdfJob(html, _assets(theme, pictures), imprint.released, _identity(imprint, paper), families, theme.zoom)


def _values(data: object, paper: str, imprint: Imprint) -> dict[str, object]:
    if not is_dataclass(data):
        raise TypeError("the data of a template must be a dataclass")
    values = {field.name: getattr(data, field.name) for field in fields(data)}
    return values | {"paper": paper, "imprint": imprint, "date": date_of(imprint.released).strftime("%Y-%m-%d")}


def _assets(theme: Theme, pictures: Mapping[str, Picture | Raster]) -> dict[str, bytes]:
    shipped = {f"fonts/{name}": data for name, data in fonts.shipped_fonts().items()}
    drawn = {src: p.data if isinstance(p, Raster) else p.svg.encode("utf-8") for src, p in pictures.items()}
    return {**theme.files, **shipped, **drawn, "fonts.css": fonts.font_face_css().encode("utf-8")}


def _require_all_glyphs(theme: Theme, html: str, pictures: Iterable[Picture | Raster]) -> None:
    own = [fonts.characters_of(font) for font in theme.fonts.values()]
    known = frozenset.intersection(*own) if own else fonts.shipped_characters()
    fonts.require_glyphs(fonts.visible_text(html), known, "The text")
    for picture in (found for found in pictures if isinstance(found, Picture)):
        fonts.require_glyphs(fonts.visible_text(picture.svg), fonts.shipped_characters(), f"Picture “{picture.alt}”")


def _identity(imprint: Imprint, paper: str) -> bytes:
    text = "\n".join((imprint.title, imprint.subject, imprint.released or "", paper))
    return hashlib.sha256(text.encode("utf-8")).hexdigest()[:32].encode("ascii")
