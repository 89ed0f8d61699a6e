"""A document of a plugin: its own template in the theme of the build, one PDF for each language and paper."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from kitforge.language import file_stem, render_text, use_language
from kitforge.model.own_words import in_language
from kitforge.print.parallel import DocumentJob, set_drafts
from kitforge.print.render import Imprint, manuscript
from kitforge.print.themes import load_theme

if TYPE_CHECKING:
    from kitforge.model.kit import Kit
    from kitforge.model.messages import Text
    from kitforge.model.pack import BuildOptions, PackFile


def themed_documents(
    kit: Kit, options: BuildOptions, stem: str, template: Path, data: Callable[[], object], about: Text
) -> list[PackFile]:
    """Return `<stem>-<paper>.pdf` for every paper, in other languages `<stem>-<language>-<paper>.pdf`.

    template: HTML for Jinja2 that extends the theme's `base.html`. A theme that has a file `<stem>.html` itself
    restyles the document. data: makes the dataclass whose fields the template knows, called once for each language.
    An author's texts in it take the language of the document. about: what the document is, for its title and the list
    of files. Raises ThemeError for a fault of the template.
    """
    found = load_theme(options.theme)
    theme = replace(found, files={f"{stem}.html": template.read_bytes(), **found.files})
    drafts = []
    for code in options.languages:
        with use_language(code):
            filled, info = in_language((data(), kit.info), code)
            imprint = Imprint(info.title, kit.info.author, render_text(about), kit.info.released, code)
            for paper in options.papers:
                job = manuscript(theme, f"{stem}.html", filled, paper, imprint)
                drafts.append(DocumentJob(f"{file_stem(stem)}-{paper}.pdf", job, about, code))
    return set_drafts(drafts)
