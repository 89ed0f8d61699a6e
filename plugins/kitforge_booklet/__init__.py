"""The booklet that the buyer holds: from buying the wood to the last coat, every sentence computed from the kit."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from kitforge.hookspecs import hookimpl
from kitforge.language import later

if TYPE_CHECKING:
    from kitforge.kit import Kit
    from kitforge.pack.records import BuildOptions, PackFile
    from kitforge.plan import Plan


ABOUT = later("How to make it, step by step, from buying the wood to the last coat.")


@hookimpl
def kitforge_render(kit: Kit, plan: Plan, options: BuildOptions) -> Iterable[PackFile]:
    """Return `booklet-a4.pdf` and `booklet-letter.pdf`, and `booklet-de-a4.pdf` and so on, as the options ask."""
    from kitforge.language import speaking

    for code in options.languages:
        with speaking(code):
            files = _in_one_language(kit, plan, options, code)
        yield from files


def _in_one_language(kit: Kit, plan: Plan, options: BuildOptions, code: str) -> list[PackFile]:
    from kitforge.language import file_stem, say
    from kitforge.pack.records import PackFile
    from kitforge.print.render import Imprint, render_pdf
    from kitforge.print.themes import load_theme
    from kitforge_booklet.build import booklet

    data, theme = booklet(kit, plan, options), load_theme()
    subject = say("Booklet, version {version}", version=kit.info.version)
    imprint = Imprint(kit.info.title, kit.info.author, subject, kit.info.released, code)
    return [
        PackFile(
            f"{file_stem('booklet')}-{paper}.pdf", render_pdf(theme, "booklet.html", data, paper, imprint), ABOUT, code
        )
        for paper in options.papers
    ]
