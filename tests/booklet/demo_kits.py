"""The demo kits, checked and planned once for the tests that read their booklets."""

from __future__ import annotations

import io
from functools import cache
from pathlib import Path

from pypdf import PdfReader

from kitforge.pack.records import BuildOptions
from kitforge.pipeline import Checked, check_kit
from kitforge.plugins import load_plugins
from kitforge.print.render import Imprint, render_pdf
from kitforge.print.themes import load_theme
from kitforge_booklet.build import booklet
from kitforge_booklet.records import Booklet

KITS = Path(__file__).parents[2] / "kits"
READ = ("bedside-lamp", "morris-board")
"""Cut from both faces and of two stocks, and glued up and flattened by the router: most of what a booklet can hold."""


@cache
def checked(name: str) -> Checked:
    """Return a demo kit, checked."""
    return check_kit(KITS / name, load_plugins())


@cache
def made(name: str) -> Booklet:
    """Return what the booklet of a demo kit says."""
    kit = checked(name)
    return booklet(kit.kit, kit.plan, BuildOptions())


@cache
def pdf_of(name: str, paper: str = "a4") -> bytes:
    """Return the booklet of a demo kit."""
    info = checked(name).kit.info
    return render_pdf(load_theme(), "booklet.html", made(name), paper, Imprint(info.title, info.author, "Booklet"))


@cache
def pages_of(name: str, paper: str = "a4") -> tuple[str, ...]:
    """Return the text of each page of a booklet, its white space made single."""
    reader = PdfReader(io.BytesIO(pdf_of(name, paper)))
    return tuple(" ".join(page.extract_text().split()) for page in reader.pages)
