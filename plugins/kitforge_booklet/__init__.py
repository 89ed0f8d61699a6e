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
    from kitforge_booklet.records import Booklet


ABOUT = later("How to make it, step by step, from buying the wood to the last coat.")


@hookimpl
def kitforge_render(kit: Kit, plan: Plan, options: BuildOptions) -> Iterable[PackFile]:
    """Return `booklet-a4.pdf` and so on as the options ask, and the same for a screen in one file, `start.html`."""
    from kitforge.language import use_language
    from kitforge.model.own_words import in_language
    from kitforge.print.parallel import set_drafts
    from kitforge_booklet.build import booklet
    from kitforge_booklet.page.document import start_page

    booklets = {}
    for code in options.languages:
        with use_language(code):
            booklets[code] = booklet(*in_language((kit, plan), code), options)
    yield from set_drafts([draft for code, data in booklets.items() for draft in _drafts(kit, data, options, code)])
    yield start_page(kit, plan, options, booklets)


def _drafts(kit: Kit, data: Booklet, options: BuildOptions, code: str) -> list[DocumentJob]:
    """Return the documents of one language, one for each paper, ready to be set."""
    from kitforge.language import file_stem, say, use_language
    from kitforge.model.own_words import in_language
    from kitforge.print.parallel import DocumentJob
    from kitforge.print.render import Imprint, manuscript
    from kitforge.print.themes import load_theme

    info = in_language(kit.info, code)
    with use_language(code):
        theme = load_theme(options.theme)
        subject = say("Booklet, version {version}", version=info.version)
        imprint = Imprint(info.title, info.author, subject, info.released, code)
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
