"""The layout that lies beside kit.yaml, if one does: taken over where it holds on the outlines as they are now."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from kitforge.definition import kinds
from kitforge.model.findings import Finding, Source, sort_findings
from kitforge.model.kit import Kit
from kitforge.model.layout import layout_file
from kitforge.model.messages import msg


def with_layout(kit: Kit, files: Mapping[str, bytes]) -> Kit:
    """Return the kit with the layout of its layout.lock, or with what is wrong with that among its problems."""
    name = layout_file(kit.info.size)
    if name not in files:
        return kit
    from kitforge.planning.nesting.held import is_older, misfits
    from kitforge.planning.nesting.locked import UnfitLayoutError, layout_in

    again = msg("Nest again with `kitforge nest`, or delete {file}.", file=name)
    source = Source(name)
    try:
        layout = layout_in(files[name])
    except UnfitLayoutError as unfit:
        said = msg("{file} cannot be used: {why}.", file=name, why=unfit.why)
        return _with(kit, kinds.LAYOUT_UNREADABLE.new(said, again, source=source))
    wrong = [
        kinds.LAYOUT_UNFIT.new(
            msg("The layout of {file} cannot be cut: {why}.", file=name, why=why), again, source=source
        )
        for why in misfits(kit, layout)
    ]
    if wrong:
        return _with(kit, *wrong)
    kit = replace(kit, layout=layout.sheets)
    if not is_older(kit, layout):
        return kit
    said = msg("The kit has changed since {file} was written; its layout still holds and is used.", file=name)
    return _with(kit, kinds.LAYOUT_OLDER.new(said, msg("Nest again to see whether less wood does."), source=source))


def _with(kit: Kit, *findings: Finding) -> Kit:
    return replace(kit, problems=tuple(sort_findings([*kit.problems, *findings])))
