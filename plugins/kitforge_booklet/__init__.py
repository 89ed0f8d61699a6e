"""The booklet that the buyer holds: from buying the wood to the last coat, every sentence computed from the kit."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from kitforge.hookspecs import hookimpl

if TYPE_CHECKING:
    from kitforge.kit import Kit
    from kitforge.pack.records import BuildOptions, PackFile
    from kitforge.plan import Plan


@hookimpl
def kitforge_render(kit: Kit, plan: Plan, options: BuildOptions) -> Iterable[PackFile]:
    """Return `booklet-a4.pdf` and `booklet-letter.pdf`, as the options ask."""
    from kitforge.pack.records import PackFile
    from kitforge.print.render import Imprint, render_pdf
    from kitforge.print.themes import load_theme
    from kitforge_booklet.build import booklet

    data, theme = booklet(kit, plan, options), load_theme()
    imprint = Imprint(kit.info.title, kit.info.author, f"Booklet, version {kit.info.version}", kit.info.released)
    for paper in options.papers:
        pdf = render_pdf(theme, "booklet.html", data, paper, imprint)
        yield PackFile(
            f"booklet-{paper}.pdf", pdf, "How to make it, step by step, from buying the wood to the last coat."
        )
