"""The booklet that the buyer holds: from buying the wood to the last coat, every sentence computed from the kit."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from kitforge.hooks import hookimpl
from kitforge.language import later

if TYPE_CHECKING:
    from kitforge.model.kit import Kit
    from kitforge.model.pack import BuildOptions, PackFile
    from kitforge.model.plan import Plan
    from kitforge.print.parallel import DocumentJob


ABOUT = later("How to make it, step by step, from buying the wood to the last coat.")


@hookimpl
def kitforge_render(kit: Kit, plan: Plan, options: BuildOptions) -> Iterable[PackFile]:
    """Return `booklet-a4.pdf` and `booklet-letter.pdf`, and `booklet-de-a4.pdf` and so on, as the options ask."""
    from kitforge.print.parallel import set_drafts

    yield from set_drafts([draft for code in options.languages for draft in _drafts(kit, plan, options, code)])


def _drafts(kit: Kit, plan: Plan, options: BuildOptions, code: str) -> list[DocumentJob]:
    """Return the documents of one language, one for each paper, ready to be set."""
    from kitforge.language import file_stem, say, use_language
    from kitforge.print.parallel import DocumentJob
    from kitforge.print.render import Imprint, manuscript
    from kitforge.print.themes import load_theme
    from kitforge_booklet.build import booklet

    with use_language(code):
        data, theme = booklet(kit, plan, options), load_theme(options.theme)
        subject = say("Booklet, version {version}", version=kit.info.version)
        imprint = Imprint(kit.info.title, kit.info.author, subject, kit.info.released, code)
        return [
            DocumentJob(
                f"{file_stem('booklet')}-{paper}.pdf",
                manuscript(theme, "booklet.html", data, paper, imprint),
                ABOUT,
                code,
                guide=True,
            )
            for paper in options.papers
        ]
