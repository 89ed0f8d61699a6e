"""From HTML and what it shows to a PDF: the typesetter in a closed room, without network, files or a clock."""

from __future__ import annotations

import gc
import hashlib
import logging
import os
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import field
from datetime import UTC, datetime
from typing import TYPE_CHECKING, TypeVar
from urllib.parse import unquote, urlsplit

from kitforge.model.record import record
from kitforge.print.courses import composed
from kitforge.print.errors import PrintError, ThemeError
from kitforge.print.raster import DRAWN
from kitforge.print.ready import load_typesetter

if TYPE_CHECKING:
    from weasyprint import HTML, Document
    from weasyprint.urls import URLFetcher

T = TypeVar("T")
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


@record
class PdfJob:
    """A document ready to be set: HTML, every file it may ask for, release date, identifier, typefaces, zoom."""

    html: str
    assets: Mapping[str, bytes] = field(repr=False)
    released: str | None
    identifier: bytes
    families: frozenset[str]
    zoom: float = 1.0


def render_pdf(manuscript: PdfJob) -> bytes:
    """Return the manuscript as a tagged PDF, the same bytes every time.

    Raises PrintError for whatever the typesetter warns about and for a typeface that was not shipped.
    """
    return set_and_laid_out(manuscript)[0]


def set_and_laid_out(manuscript: PdfJob) -> tuple[bytes, Document]:
    """Return the PDF of `render_pdf` with the laid-out document it was written from, for checks of its boxes."""
    load_typesetter()
    with _fixed_clock(manuscript.released), without_collecting():
        document = _laid_out(manuscript)
        pdf = _guarded(
            lambda: document.write_pdf(
                zoom=manuscript.zoom, pdf_identifier=manuscript.identifier, pdf_variant="pdf/ua-1"
            )
        )
    _require_families(manuscript, document)
    return bytes(pdf), document


def laid_out(manuscript: PdfJob) -> Document:
    """Return the laid-out document, for checks of pages and boxes."""
    load_typesetter()
    with _fixed_clock(manuscript.released), without_collecting():
        return _laid_out(manuscript)


@contextmanager
def without_collecting() -> Iterator[None]:
    """Put off the search for unused cycles until the block ends.

    A document is millions of objects that are all in use until it is written: looking through them again and again
    takes a seventh of the time of setting it, and frees nothing.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def _laid_out(manuscript: PdfJob) -> Document:
    def lay_out(html: str) -> Document:
        source = _html(html, manuscript.assets)
        return _guarded(lambda: source.render(pdf_variant="pdf/ua-1"))

    def look(html: str) -> Document:
        """A part is measured alone, without the targets of its links; what else is at fault the whole says too."""
        source = _html(html, manuscript.assets)
        return _guarded(lambda: source.render(pdf_variant="pdf/ua-1"), strict=False)

    return composed(manuscript.html, lay_out, look, _shown(manuscript.assets))


def _shown(assets: Mapping[str, bytes]) -> Callable[[str], bytes]:
    """Return what says all that a text is laid out with: styles and typefaces, and the pictures that it names."""
    sums = {name: name.encode() + hashlib.sha256(data).digest() for name, data in sorted(assets.items())}
    drawn = [name for name in sums if name.startswith(DRAWN)]
    always = b"".join(sums[name] for name in sums if not name.startswith(DRAWN))

    def shown(html: str) -> bytes:
        return always + b"".join(sums[name] for name in drawn if name in html)

    return shown


def date_of(released: str | None) -> datetime:
    """Return the release date, or 1980-01-01 without one. Raises PrintError for a text that is no date."""
    try:
        return datetime.strptime(released or "1980-01-01", "%Y-%m-%d").replace(tzinfo=UTC)
    except ValueError as error:
        raise PrintError(f"The release date '{released}' is not a date; write it like 2026-03-31.") from error


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
    os.environ["SOURCE_DATE_EPOCH"] = str(int(date_of(released).timestamp()))
    try:
        yield
    finally:
        if before is None:
            del os.environ["SOURCE_DATE_EPOCH"]
        else:
            os.environ["SOURCE_DATE_EPOCH"] = before


class _Listener(logging.Handler):
    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.messages: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.messages.append(record.getMessage())


def _guarded(work: Callable[[], T], *, strict: bool = True) -> T:
    """Run a step of the typesetter; what it would only log becomes an error, if strict."""
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
    if strict and listener.messages:
        raise PrintError("The typesetter complains:\n" + "\n".join(dict.fromkeys(listener.messages)))
    return result


def _asked(error: BaseException) -> str:
    return f"“{error}”"


def _require_families(manuscript: PdfJob, document: Document) -> None:
    """A face from the machine's own collection would make the same kit look different elsewhere."""
    foreign = sorted({str(font.family) for font in document.fonts.values()} - manuscript.families)
    if foreign:
        raise PrintError(
            f"The document uses the typeface {', '.join(foreign)}, which is not shipped; name only shipped ones."
        )
