"""The settings sheet for the shop wall, one page for each class of machine, and the same numbers as a table."""

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
    """Return `settings-a4.pdf` and `settings-letter.pdf`, as the options ask, and `settings.csv`."""
    from kitforge.pack.records import PackFile
    from kitforge.print.render import Imprint, render_pdf
    from kitforge.print.settings import shown_machines
    from kitforge.print.themes import load_theme
    from kitforge_sheet.sheet import settings_sheet
    from kitforge_sheet.table import settings_table

    table = settings_table(plan, shown_machines(plan, options.machines))
    yield PackFile("settings.csv", table, "The settings of every step and class of machine, unrounded, as a table.")
    data, theme = settings_sheet(kit, plan, options), load_theme()
    imprint = Imprint(kit.info.title, kit.info.author, f"Settings, version {kit.info.version}", kit.info.released)
    for paper in options.papers:
        pdf = render_pdf(theme, "settings.html", data, paper, imprint)
        yield PackFile(f"settings-{paper}.pdf", pdf, "Settings for each class of machine, to pin up beside yours.")
