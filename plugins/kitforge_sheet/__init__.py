"""The settings sheet for the shop wall, one page for each class of machine, and the same numbers as a table."""

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


ABOUT_TABLE = later("The settings of every step on the classes of machine that the kit fits, unrounded, as a table.")
ABOUT_RUNG = later("The same table for the thickness that the folder is named after: depths and passes follow it.")
ABOUT_SHEET = later("Settings for each class of machine, to pin up beside yours.")


@hookimpl
def kitforge_render(kit: Kit, plan: Plan, options: BuildOptions) -> Iterable[PackFile]:
    """Return `settings-a4.pdf` and `settings-letter.pdf` in each language, as the options ask, and `settings.csv`."""
    from kitforge.model.pack import PackFile
    from kitforge.planning.layers import rung_folders
    from kitforge.print.parallel import set_drafts
    from kitforge.print.settings import shown_machines
    from kitforge_sheet.table import settings_table

    table = settings_table(plan, shown_machines(plan, options.machines))
    yield PackFile("settings.csv", table, ABOUT_TABLE)
    for folder, rung in zip(rung_folders(plan), plan.rungs, strict=True):
        machines = shown_machines(rung.plan, options.machines)
        yield PackFile(f"{folder}/settings.csv", settings_table(rung.plan, machines), ABOUT_RUNG)
    yield from set_drafts([draft for code in options.languages for draft in _drafts(kit, plan, options, code)])


def _drafts(kit: Kit, plan: Plan, options: BuildOptions, code: str) -> list[DocumentJob]:
    """Return the documents of one language, one for each paper, ready to be set."""
    from kitforge.language import file_stem, say, use_language
    from kitforge.model.own_words import in_language
    from kitforge.print.parallel import DocumentJob
    from kitforge.print.render import Imprint, manuscript
    from kitforge.print.themes import load_theme
    from kitforge_sheet.sheet import settings_sheet

    kit, plan = in_language((kit, plan), code)
    with use_language(code):
        data, theme = settings_sheet(kit, plan, options), load_theme(options.theme)
        subject = say("Settings, version {version}", version=kit.info.version)
        imprint = Imprint(kit.info.title, kit.info.author, subject, kit.info.released, code)
        return [
            DocumentJob(
                f"{file_stem('settings')}-{paper}.pdf",
                manuscript(theme, "settings.html", data, paper, imprint),
                ABOUT_SHEET,
                code,
            )
            for paper in options.papers
        ]
