"""Fixtures of the booklet and sheet tests: the hand-made kit, its plan, and one rendering of each document."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import morris
import pytest
from plain_pictures import painted, plain_pictures  # noqa: F401 - a fixture
from small_pictures import small

from kitforge.model.kit import Kit
from kitforge.model.pack import BuildOptions
from kitforge.model.plan import Plan
from kitforge.print import parallel
from kitforge.print.typesetter import PdfJob, set_and_laid_out
from kitforge_booklet import kitforge_render as render_booklet
from kitforge_sheet import kitforge_render as render_sheet

if TYPE_CHECKING:
    from weasyprint import Document


@pytest.fixture(scope="session")
def kit() -> Kit:
    return morris.kit()


@pytest.fixture(scope="session")
def plan() -> Plan:
    return morris.plan()


@pytest.fixture(scope="session")
def printed(kit: Kit, plan: Plan, request: pytest.FixtureRequest) -> tuple[dict[str, bytes], dict[str, Document]]:
    """Every file of both plugins, with small pictures, and what was laid out for each PDF.

    The sheet is on both papers, the booklet on those of the files that a chosen test names: only the longer run's do.
    """
    asked = [item.nodeid for item in request.session.items if item.path.parent == Path(__file__).parent]
    papers = tuple(paper for paper in ("a4", "letter") if any(f"booklet-{paper}.pdf" in one for one in asked))
    laid: dict[bytes, Document] = {}

    def work(manuscript: PdfJob) -> bytes:
        pdf, laid_out = set_and_laid_out(manuscript)
        laid[pdf] = laid_out
        return pdf

    with painted(), small(), pytest.MonkeyPatch.context() as patch:
        patch.setattr(parallel, "render_pdf", work)
        made = [*render_sheet(kit, plan, BuildOptions())]
        made += render_booklet(kit, plan, BuildOptions(papers=papers)) if papers else []
    files = {file.name: file.data for file in made}
    return files, {name: laid[data] for name, data in files.items() if name.endswith(".pdf")}


@pytest.fixture(scope="session")
def files(printed: tuple[dict[str, bytes], dict[str, Document]]) -> dict[str, bytes]:
    """Every file of both plugins, with small pictures; which papers, `printed` says."""
    return printed[0]


@pytest.fixture(scope="session")
def documents(printed: tuple[dict[str, bytes], dict[str, Document]]) -> dict[str, Document]:
    """What was laid out for each PDF, by its name."""
    return printed[1]
