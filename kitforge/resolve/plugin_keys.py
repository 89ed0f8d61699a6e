"""What a kit tells its plugins: each part of `plugins:` read by the keys that its plugin knows."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from kitforge.definition import kinds
from kitforge.definition.reader import entry_of, nearest
from kitforge.model.messages import NO_ADVICE, listed, msg

if TYPE_CHECKING:
    from pydantic import BaseModel

    from kitforge.resolve.values import ResolveContext


def resolve_plugin_keys(
    sheet: ResolveContext, given: Mapping[str, object], known: Mapping[str, type[BaseModel]]
) -> Mapping[str, BaseModel]:
    """Return what every plugin with keys of its own is told, by its name; with defaults where the kit says nothing."""
    found = {}
    for name, schema in known.items():
        entry, problems = entry_of(schema, given.get(name, {}), sheet.where, ("plugins", name))
        for problem in problems:
            sheet.add(problem)
        if entry is not None:
            found[name] = entry
    for name in given:
        if name not in known:
            _unknown(sheet, name, known)
    return found


def _unknown(sheet: ResolveContext, name: str, known: Mapping[str, object]) -> None:
    said = msg("plugins: no plugin '{name}' that is installed here reads anything from a kit.", name=name)
    others = msg("Those that do: {names}", names=listed(sorted(known))) if known else NO_ADVICE
    advice = nearest(name, known) or others or msg("Install it, or take the key out.")
    sheet.report(kinds.UNKNOWN_NAME, ("plugins", name), said, advice, key=True)
