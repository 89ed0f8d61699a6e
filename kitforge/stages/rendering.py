"""The render stage: every file of the pack as bytes in memory."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from kitforge.language import use_language
from kitforge.model.own_words import in_language
from kitforge.pack.readme import licence_file, read_me_first
from kitforge.print.parallel import typesetters

if TYPE_CHECKING:
    from kitforge.model.findings import Finding
    from kitforge.model.kit import Kit
    from kitforge.model.pack import BuildOptions, PackFile
    from kitforge.model.plan import Plan
    from kitforge.plugins import Plugins


def render(
    kit: Kit, plan: Plan, findings: Sequence[Finding], options: BuildOptions, plugins: Plugins
) -> list[PackFile]:
    """Return the pack: what the plugins render, the licence, the read-me, and last the files that seal them."""
    with typesetters(len(options.papers) * len(options.languages)):
        files = [*plugins.render(kit, plan, findings, options), licence_file(kit)]
    files += list(_read_me_files(kit, plan, files, options))
    files.extend(plugins.seal(kit, plan, files, options))
    return sorted(files, key=lambda file: file.name)


def _read_me_files(kit: Kit, plan: Plan, files: Sequence[PackFile], options: BuildOptions) -> Iterator[PackFile]:
    for code in options.languages:
        with use_language(code):
            made = read_me_first(*in_language((kit, plan), code), files, options.machines)
        yield made
