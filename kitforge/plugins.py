"""Finding and loading plugins by entry point, and calling their hooks.

pluggy runs hooks last-registered-first, skips a second plugin of the same name silently and ignores a misspelt hook
unless asked; so plugins are registered in reverse order of their names, a name that two distributions claim is an
error, and unknown hooks are refused.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from importlib.metadata import EntryPoint, entry_points
from typing import TYPE_CHECKING, TypeVar

import pluggy

from kitforge import hooks as hookspecs
from kitforge.model.errors import PluginError
from kitforge.model.settings import AddedRows
from kitforge.model.workshop import Workshop

if TYPE_CHECKING:
    from kitforge.model.drawing import Drawing
    from kitforge.model.findings import Finding
    from kitforge.model.kit import Kit
    from kitforge.model.pack import BuildOptions, PackFile
    from kitforge.model.plan import BlockedStep, Plan, Step, StepSettings
    from kitforge.model.workshop import MachineClass

GROUP = "kitforge"
_T = TypeVar("_T")


@dataclass(frozen=True, slots=True)
class LoadedPlugin:
    """A plugin as loaded: its entry point name, the distribution and version it came from, the hooks it serves."""

    name: str
    distribution: str
    version: str
    hooks: tuple[str, ...]


class Plugins:
    """The loaded plugins. Each method calls one hook and returns what the plugins said, in order of their names."""

    def __init__(self, manager: pluggy.PluginManager, loaded: Sequence[LoadedPlugin]) -> None:
        self._hook = manager.hook
        self.loaded = tuple(loaded)

    def workshop(self) -> Workshop:
        """Return the tables that plugins add. Raises PluginError where two of them use the same key."""
        merged = Workshop()
        for tables in self._hook.kitforge_workshop():
            merge_workshop(merged, tables)
        return merged

    def cutting_rows(self) -> tuple[AddedRows, ...]:
        """Return the rows that plugins add to the worksheet. Raises PluginError with everything wrong in them."""
        calls = self._hook.kitforge_cutting_rows.get_hookimpls()
        origins = {plugin.name: plugin.distribution for plugin in self.loaded}
        added = tuple(
            AddedRows(call.plugin_name, origins.get(call.plugin_name, "an unknown distribution"), str(call.function()))
            for call in reversed(calls)
        )
        if added:
            from kitforge.cutting.worksheet.program import settings_program
            from kitforge.cutting.worksheet.rows import SheetError

            try:
                settings_program(added)
            except SheetError as error:
                raise PluginError(f"Rows that a plugin adds are wrong: {error}.") from error
        return added

    def read_drawing(self, name: str, data: bytes, unit: str | None, join: float = 0.0) -> Drawing | None:
        """Return the drawing as the first plugin that knows the file reads it, or None."""
        drawing: Drawing | None = self._hook.kitforge_read_drawing(name=name, data=data, unit=unit, join=join)
        return drawing

    def step_settings(self, kit: Kit, step: Step, machine: MachineClass) -> StepSettings | BlockedStep | None:
        """Return the settings of a step on a machine class, or why there are none; None without such a plugin."""
        settings: StepSettings | BlockedStep | None = self._hook.kitforge_step_settings(
            kit=kit, step=step, machine=machine
        )
        return settings

    def check(self, kit: Kit, plan: Plan) -> list[Finding]:
        """Return all findings of all plugins."""
        return _chained(self._hook.kitforge_check(kit=kit, plan=plan))

    def render(self, kit: Kit, plan: Plan, findings: Sequence[Finding], options: BuildOptions) -> list[PackFile]:
        """Return the files that the plugins render for the pack."""
        return _chained(self._hook.kitforge_render(kit=kit, plan=plan, findings=findings, options=options))

    def seal(self, kit: Kit, plan: Plan, files: Sequence[PackFile], options: BuildOptions) -> list[PackFile]:
        """Return the files that describe the files of the pack."""
        return _chained(self._hook.kitforge_seal(kit=kit, plan=plan, files=files, options=options))


def load_plugins(group: str = GROUP) -> Plugins:
    """Load every plugin registered under `group`.

    Raises PluginError for a name claimed twice, a plugin that cannot be imported, or a hook that does not exist.
    """
    manager = pluggy.PluginManager("kitforge")
    manager.add_hookspecs(hookspecs)
    loaded = [_register(manager, point) for point in sorted(_unique_points(group), key=_name, reverse=True)]
    try:
        manager.check_pending()
    except pluggy.PluginValidationError as error:
        raise PluginError(f"A plugin implements a hook that does not exist: {error}.") from error
    return Plugins(manager, loaded[::-1])


def merge_workshop(into: Workshop, tables: Workshop) -> None:
    """Add `tables` to `into`. Raises PluginError for a key that is there already."""
    for field in ("materials", "machines", "hold_downs", "finishes"):
        known, new = getattr(into, field), getattr(tables, field)
        twice = sorted(known.keys() & new.keys())
        if twice:
            raise PluginError(f"A plugin adds {field} that exist already: {', '.join(twice)}. Give them other keys.")
        known.update(new)


def _unique_points(group: str) -> list[EntryPoint]:
    by_name: dict[str, EntryPoint] = {}
    for point in entry_points(group=group):
        first = by_name.setdefault(point.name, point)
        if (first.value, _distribution(first)) != (point.value, _distribution(point)):
            raise PluginError(
                f"Two distributions register a plugin named '{point.name}': {_distribution(first)} and "
                f"{_distribution(point)}. Remove one of them."
            )
    return list(by_name.values())


def _register(manager: pluggy.PluginManager, point: EntryPoint) -> LoadedPlugin:
    where = f"Plugin '{point.name}' of {_distribution(point)}"
    try:
        plugin = point.load()
    except Exception as error:
        raise PluginError(f"{where} cannot be loaded: {type(error).__name__}: {error}.") from error
    try:
        manager.register(plugin, name=point.name)
    except (ValueError, pluggy.PluginValidationError) as error:
        raise PluginError(f"{where} does not fit the hooks: {error}.") from error
    hooks = sorted(caller.name for caller in manager.get_hookcallers(plugin) or ())
    version = point.dist.version if point.dist else "unknown"
    return LoadedPlugin(point.name, _distribution(point), version, tuple(hooks))


def _name(point: EntryPoint) -> str:
    return point.name


def _distribution(point: EntryPoint) -> str:
    return point.dist.name if point.dist else "an unknown distribution"


def _chained(results: Iterable[Iterable[_T]]) -> list[_T]:
    return [item for result in results for item in result]
