"""From a theme, a template and data to a PDF, the same bytes every time."""

from __future__ import annotations

import hashlib
import logging
import os
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, fields, is_dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING, TypeVar
from urllib.parse import unquote, urlsplit

from kitforge.print import fonts
from kitforge.print.errors import PrintError, ThemeError
from kitforge.print.pictures.raster import Raster
from kitforge.print.pictures.svg import Picture
from kitforge.print.templates import fill_template

if TYPE_CHECKING:
    from weasyprint import HTML, Document
    from weasyprint.urls import URLFetcher

    from kitforge.print.themes import Theme

T = TypeVar("T")
PAPERS = ("a4", "letter")
_BASE = "http://kit.invalid/"
_MEDIA = {
    "svg": "image/svg+xml",
    "png": "image/png",
    "jpg": "image/jpeg",
    "jpeg": "image/jpeg",
    "css": "text/css; charset=utf-8",
    "ttf": "font/ttf",
    "otf": "font/otf",
}


@dataclass(frozen=True, slots=True)
class Imprint:
    """What the file says about itself: title, author, subject, language and release date (YYYY-MM-DD)."""

    title: str
    author: str
    subject: str
    released: str | None = None
    language: str = "en"
    keywords: tuple[str, ...] = ()


def render_pdf(theme: Theme, template: str, data: object, paper: str, imprint: Imprint) -> bytes:
    """Return a tagged PDF (PDF/UA-1 structure, bookmarks, language, title) of a theme's template.

    data: a dataclass whose fields become the template's names; every Picture in it can be shown by its `src`.
    paper: 'a4' or 'letter'. Raises PrintError for a character without a glyph, a missing picture, a face that was not
    shipped or anything else that the typesetter warns about, and ThemeError for a fault of the theme.
    """
    with _fixed_clock(imprint.released):
        document = _typeset(theme, template, data, paper, imprint)
        pdf = _guarded(lambda: document.write_pdf(pdf_identifier=_identity(imprint, paper), pdf_variant="pdf/ua-1"))
    _require_families(theme, document)
    return bytes(pdf)


def lay_out(theme: Theme, template: str, data: object, paper: str, imprint: Imprint) -> Document:
    """Return the laid-out document, for checks of pages and boxes."""
    with _fixed_clock(imprint.released):
        return _typeset(theme, template, data, paper, imprint)


def _typeset(theme: Theme, template: str, data: object, paper: str, imprint: Imprint) -> Document:
    if paper not in PAPERS:
        raise PrintError(f"There is no paper '{paper}'; use one of {', '.join(PAPERS)}.")
    pictures = {picture.src: picture for picture in _pictures(data)}
    html = fill_template(theme, template, _values(data, paper, imprint))
    _require_all_glyphs(theme, html, pictures.values())
    source = _html(html, _assets(theme, pictures))
    return _guarded(lambda: source.render(pdf_variant="pdf/ua-1"))


def _values(data: object, paper: str, imprint: Imprint) -> dict[str, object]:
    if not is_dataclass(data):
        raise TypeError("the data of a template must be a dataclass")
    values = {field.name: getattr(data, field.name) for field in fields(data)}
    return values | {"paper": paper, "imprint": imprint, "date": _date(imprint.released).strftime("%Y-%m-%d")}


def _pictures(value: object) -> Iterator[Picture | Raster]:
    if isinstance(value, Picture | Raster):
        yield value
    elif is_dataclass(value) and not isinstance(value, type):
        for field in fields(value):
            yield from _pictures(getattr(value, field.name))
    elif isinstance(value, tuple | list):
        for item in value:
            yield from _pictures(item)


def _assets(theme: Theme, pictures: Mapping[str, Picture | Raster]) -> dict[str, bytes]:
    shipped = {f"fonts/{name}": data for name, data in fonts.shipped_fonts().items()}
    drawn = {src: p.png if isinstance(p, Raster) else p.svg.encode("utf-8") for src, p in pictures.items()}
    return {**theme.files, **shipped, **drawn, "fonts.css": fonts.font_face_css().encode("utf-8")}


def _require_all_glyphs(theme: Theme, html: str, pictures: Iterable[Picture | Raster]) -> None:
    own = [fonts.characters_of(font) for font in theme.fonts.values()]
    known = frozenset.intersection(*own) if own else fonts.shipped_characters()
    fonts.require_glyphs(fonts.visible_text(html), known, "The text")
    for picture in (found for found in pictures if isinstance(found, Picture)):
        fonts.require_glyphs(fonts.visible_text(picture.svg), fonts.shipped_characters(), f"Picture “{picture.alt}”")


def _html(html: str, assets: Mapping[str, bytes]) -> HTML:
    from weasyprint import HTML

    return HTML(string=html, base_url=_BASE, url_fetcher=_fetcher(assets))


def _fetcher(assets: Mapping[str, bytes]) -> URLFetcher:
    """Serve what is in memory under the base address, and nothing else."""
    from weasyprint.urls import FatalURLFetchingError, URLFetcher, URLFetcherResponse

    class Memory(URLFetcher):  # type: ignore[misc]
        def fetch(self, url: str, _headers: object = None) -> URLFetcherResponse:
            parts = urlsplit(url)
            name = unquote(parts.path).lstrip("/")
            if f"{parts.scheme}://{parts.netloc}/" != _BASE or name not in assets:
                raise FatalURLFetchingError(url)
            media = _MEDIA.get(name.rsplit(".", 1)[-1].lower(), "application/octet-stream")
            return URLFetcherResponse(url, assets[name], {"Content-Type": media})

    return Memory(allowed_protocols=(), fail_on_errors=True)


@contextmanager
def _fixed_clock(released: str | None) -> Iterator[None]:
    """Set SOURCE_DATE_EPOCH, which the font subsetter reads, and put back what was there."""
    before = os.environ.get("SOURCE_DATE_EPOCH")
    os.environ["SOURCE_DATE_EPOCH"] = str(int(_date(released).timestamp()))
    try:
        yield
    finally:
        if before is None:
            del os.environ["SOURCE_DATE_EPOCH"]
        else:
            os.environ["SOURCE_DATE_EPOCH"] = before


def _date(released: str | None) -> datetime:
    try:
        return datetime.strptime(released or "1980-01-01", "%Y-%m-%d").replace(tzinfo=UTC)
    except ValueError as error:
        raise PrintError(f"The release date '{released}' is not a date; write it like 2026-03-31.") from error


def _identity(imprint: Imprint, paper: str) -> bytes:
    text = "\n".join((imprint.title, imprint.subject, imprint.released or "", paper))
    return hashlib.sha256(text.encode("utf-8")).hexdigest()[:32].encode("ascii")


class _Listener(logging.Handler):
    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.messages: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.messages.append(record.getMessage())


def _guarded(work: Callable[[], T]) -> T:
    """Run a step of the typesetter; what it would only log becomes an error."""
    from weasyprint.urls import FatalURLFetchingError

    listener = _Listener()
    logger = logging.getLogger("weasyprint")
    logger.addHandler(listener)
    try:
        result = work()
    except FatalURLFetchingError as error:
        raise ThemeError(f"The document asks for {_asked(error)}, which is neither in the theme nor drawn.") from error
    finally:
        logger.removeHandler(listener)
    if listener.messages:
        raise PrintError("The typesetter complains:\n" + "\n".join(dict.fromkeys(listener.messages)))
    return result


def _asked(error: BaseException) -> str:
    return f"“{error}”"


def _require_families(theme: Theme, document: Document) -> None:
    """A face from the machine's own collection would make the same kit look different elsewhere."""
    shipped = fonts.families_of([*fonts.shipped_fonts().values(), *theme.fonts.values()])
    foreign = sorted({str(font.family) for font in document.fonts.values()} - {fonts.FAMILY, *shipped, *theme.families})
    if foreign:
        raise PrintError(
            f"The document uses the typeface {', '.join(foreign)}, which is not shipped; name only shipped ones."
        )
