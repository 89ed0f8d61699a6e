"""The check stage: everything that is wrong or risky, collected, never only the first."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING

from kitforge.model.findings import Finding, sort_findings
from kitforge.stages.naming import unfit_names
from kitforge.stages.one_fault import each_once
from kitforge.stages.own_languages import untranslated
from kitforge.stages.piece_names import naming_pieces
from kitforge.stages.rungs import rung_findings
from kitforge.stages.trials import trial_findings

if TYPE_CHECKING:
    from kitforge.model.kit import Kit
    from kitforge.model.plan import Plan
    from kitforge.plugins import Plugins


def check(
    kit: Kit,
    plan: Plan,
    plugins: Plugins,
    languages: Iterable[str] = (),
    between: Callable[[], None] | None = None,
) -> list[Finding]:
    """Return the findings of all plugins on a planned kit, with those met while resolving, worst first, each once.

    languages: in which the kit is to be built. between: called between findings; what it raises ends the check.
    """
    found = [*kit.problems, *unfit_names(kit, plan), *untranslated(kit, languages), *plugins.check(kit, plan, between)]
    told = each_once(list(dict.fromkeys(found)), kit)
    told += trial_findings(plan, told, plugins, between)
    every = [*told, *rung_findings(kit, plan, told, plugins, between)]
    return sort_findings(naming_pieces(every, kit))
