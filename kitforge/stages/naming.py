"""Names of a kit from which files of the pack are named: those that some system cannot unpack, or that clash."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from kitforge.definition import kinds
from kitforge.model.findings import Finding
from kitforge.model.messages import msg
from kitforge.pack.names import LONGEST_PART, clashes, name_problem, pack_name
from kitforge.planning.layers import drawing_names

if TYPE_CHECKING:
    from kitforge.model.info import KitInfo
    from kitforge.model.kit import Kit, Part, Stock
    from kitforge.model.plan import Plan
    from kitforge.resolve.values import ResolveContext

_FOLDER = "drawings"
_ENDING = ".dxf"  # as long as the other one, .svg


def report_folder_name(sheet: ResolveContext, entry: KitInfo) -> None:
    """Report a slug, version and size that give no name for the folder in the pack."""
    name = pack_name(entry.slug, entry.version, size=entry.size)
    problem = name_problem(name)
    if problem is not None:
        key = "slug" if len(entry.slug) > len(entry.version) and len(name) > LONGEST_PART else "version"
        message = msg("The folder of the pack cannot be named '{name}': {why}.", name=name, why=problem)
        advice = msg("Change the kit's {key}.", key=key)
        sheet.add(kinds.NAME_UNFIT.new(message, advice, source=sheet.where.of("kit", key)), stops=False)


def unfit_names(kit: Kit, plan: Plan) -> Iterator[Finding]:
    """Yield every part and stock whose drawing cannot be named, or takes the name of another one's."""
    named: dict[str, Part | Stock] = {}
    for drawing, owner in drawing_names(plan, kit.parts):
        name = f"{_FOLDER}/{drawing}{_ENDING}"
        problem = name_problem(name) or next(iter(clashes([*named, name])), None)
        if problem is None:
            named[name] = owner
        else:
            message = msg("'{key}' gives a drawing a name that will not do: {why}.", key=owner.key, why=problem)
            yield kinds.NAME_UNFIT.new(message, msg("Give it another key."), source=owner.source)
