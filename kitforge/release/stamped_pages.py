"""A discreet line on every page of a document that is finished, outside of what readers for the blind read out.

The line is drawn as outlines, for a face that is not embedded would break the promise of PDF/UA (ISO 14289-1, 7.21),
and marked as an artifact (ISO 32000-1, 14.8.2.2), so that the tags stay as they are. No picture, font or text of the
document is touched.
"""

from __future__ import annotations

import io
import math
import re
from collections.abc import Iterator, Mapping
from html import escape
from typing import TYPE_CHECKING

from kitforge.lettering.typeface import Contour, shipped_typeface
from kitforge.model.errors import KitforgeError

if TYPE_CHECKING:
    from pikepdf import Page

MOST_PAGES = 2000
SIZE, BASE = 1.6, 6.0
"""Height of a capital, and of the line above the lower edge of the page, mm: below what themes print, and within what
most printers reach (4.2 mm is usual; common practice, no source)."""
GREY = 0.45
_POINTS = 72 / 25.4
_CHOSEN = re.compile(rb'<div class="in ([a-z]{2})" lang="\1">')
_ROOT = re.compile(rb"<html\b[^>]*\blang=[\"']([a-z]{2})\b")
_HEAD = 500


def with_line(pdf: bytes, words: str, name: str) -> bytes:
    """Return a PDF with `words` at the foot of every page; the same bytes for the same PDF and words.

    Raises KitforgeError where the document, which may be a stranger's, cannot be read.
    """
    import pikepdf

    try:
        with pikepdf.open(io.BytesIO(pdf)) as document:
            if len(document.pages) > MOST_PAGES:
                raise KitforgeError(f"{name} has more than {MOST_PAGES} pages; no document of a pack has.")
            for page in document.pages:
                _mark(page, words)
            found = io.BytesIO()
            document.save(
                found,
                deterministic_id=True,
                fix_metadata_version=False,
                stream_decode_level=pikepdf.StreamDecodeLevel.none,
                object_stream_mode=pikepdf.ObjectStreamMode.preserve,
            )
            return found.getvalue()
    except (pikepdf.PdfError, pikepdf.ForeignObjectError, RuntimeError, ValueError, TypeError, KeyError) as error:
        raise KitforgeError(f"{name} cannot be read as a PDF: {str(error)[:200]}.") from None


def language_of(pdf: bytes) -> str:
    """Return the language that a PDF says it is in, such as 'de'; '' where it says none or cannot be read."""
    import pikepdf

    try:
        with pikepdf.open(io.BytesIO(pdf)) as document:
            return str(document.Root.get("/Lang", ""))[:2].lower()
    except (pikepdf.PdfError, RuntimeError, ValueError, TypeError, KeyError):
        return ""


def _mark(page: Page, words: str) -> None:
    """Add the line; what the page's own content sets of colours and places ends before it."""
    left, low, right, _high = (float(edge) for edge in page.mediabox)
    if not all(math.isfinite(edge) and abs(edge) < 20_000 for edge in (left, low, right)):
        raise ValueError("a page without a size")
    page.contents_add(b"q\n", prepend=True)
    page.contents_add(_drawn(words, (left + right) / 2, low + BASE * _POINTS))


def _drawn(words: str, middle: float, base: float) -> bytes:
    """Return the content that draws a line of text, centred at a point of the page."""
    face = shipped_typeface("Regular")
    glyphs = [face.glyph(sign) for sign in words]
    scale = SIZE * _POINTS / face.cap_height
    x = middle - scale * sum(glyph.advance for glyph in glyphs) / 2
    lines = [f"\nQ\n/Artifact BMC\nq\n{GREY:g} g\n{scale:.6f} 0 0 {scale:.6f} {x:.3f} {base:.3f} cm"]
    at = 0.0
    for glyph in glyphs:
        for contour in glyph.contours:
            lines += _closed(contour, at)
        at += glyph.advance
    return "\n".join([*lines, "f\nQ\nEMC\n"]).encode("ascii")


def _closed(contour: Contour, shift: float) -> Iterator[str]:
    yield f"{contour[0].p0[0] + shift:.2f} {contour[0].p0[1]:.2f} m"
    for curve in contour:
        ends = [f"{x + shift:.2f} {y:.2f}" for x, y in (curve.p1, curve.p2, curve.p3)]
        yield f"{' '.join(ends)} c"
    yield "h"


def languages_of_page(html: bytes) -> tuple[str, ...]:
    """Return the languages of a web page, such as ('en', 'de'): those that it lets choose, else the one it is in."""
    chosen = tuple(dict.fromkeys(found.decode() for found in _CHOSEN.findall(html)))
    told = _ROOT.search(html[:_HEAD])
    return chosen or ((told[1].decode(),) if told else ())


def with_line_in_page(html: bytes, lines: Mapping[str, str]) -> bytes:
    """Return a web page with a last paragraph: words by their languages, shown as the page shows its own.

    No style and no script is added, so that the sums by which a page's policy knows these stay true.
    """
    head, end, rest = html.rpartition(b"</body>")
    one = '<small class="in {0}" lang="{0}">' if len(lines) > 1 else '<small lang="{0}">' if all(lines) else "<small>"
    said = (f"{one.format(code)}{escape(words)}</small>" for code, words in lines.items())
    return head + f'<p class="licensed">{"".join(said)}</p>\n'.encode() + end + rest if end else html
