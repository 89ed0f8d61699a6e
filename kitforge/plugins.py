"""Finding and loading plugins by entry point, and calling their hooks.

pluggy runs hooks last-registered-first, skips a second plugin of the same name silently and ignores a misspelt hook
unless asked; so plugins are registered in reverse order of their names, a name that two distributions claim is an
error, and unknown hooks are refused.
"""

from __future__ import annotations

import types
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from functools import cache
from importlib.metadata import Distribution, EntryPoint, entry_points
from typing import TYPE_CHECKING, TypeVar, cast

import pluggy

from kitforge import hooks as hookspecs
from kitforge.language import use_catalogues
from kitforge.model.errors import KitforgeError, PluginError
from kitforge.model.record import record
from kitforge.model.settings import AddedRows
from kitforge.model.workshop import Workshop

if TYPE_CHECKING:
    from pathlib import Path

    from pydantic import BaseModel

    from kitforge.model.drawing import Drawing
    from kitforge.model.findings import Finding
    from kitforge.model.kit import Kit
    from kitforge.model.pack import BuildOptions, PackFile
    from kitforge.model.plan import Plan
    from kitforge.model.steps import BlockedStep, Step, StepSettings
    from kitforge.model.workshop import MachineClass

GROUP = "kitforge"
_UNKNOWN = "an unknown distribution"
_T = TypeVar("_T")


@record
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
        self._modules = {_module_of(plugin): name for name, plugin in manager.list_name_plugin() if plugin}
        self.loaded = tuple(loaded)

    def workshop(self) -> Workshop:
        """Return the tables that plugins add. Raises PluginError for a key used twice and figures out of bounds."""
        from kitforge.workshop.bounds import faults_of

        merged = Workshop()
        for call in reversed(self._hook.kitforge_workshop.get_hookimpls()):
            with self._named():
                tables = cast("Workshop", call.function())
            if faults := list(faults_of(tables)):
                raise PluginError(f"{self._called(call.plugin_name)} adds what cannot be: {'; '.join(faults)}.")
            merge_workshop(merged, tables)
        return merged

    def catalogues(self) -> dict[str, Path]:
        """Return the folders with catalogues that plugins bring, by the plugins' names."""
        calls = self._hook.kitforge_catalogues.get_hookimpls()
        with self._named():
            return {call.plugin_name: cast("Path", call.function()) for call in reversed(calls)}

    def keys(self) -> Mapping[str, type[BaseModel]]:
        """Return the keys that plugins read from a kit, by the plugins' names."""
        calls = self._hook.kitforge_kit_keys.get_hookimpls()
        with self._named():
            return {call.plugin_name: cast("type[BaseModel]", call.function()) for call in reversed(calls)}

    def cutting_rows(self) -> tuple[AddedRows, ...]:
        """Return the rows that plugins add to the worksheet. Raises PluginError with everything wrong in them."""
        calls = self._hook.kitforge_cutting_rows.get_hookimpls()
        origins = {plugin.name: plugin.distribution for plugin in self.loaded}
        with self._named():
            added = tuple(
                AddedRows(call.plugin_name, origins.get(call.plugin_name, _UNKNOWN), str(call.function()))
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
        with self._named():
            drawing: Drawing | None = self._hook.kitforge_read_drawing(name=name, data=data, unit=unit, join=join)
        return drawing

    def step_settings(self, kit: Kit, step: Step, machine: MachineClass) -> StepSettings | BlockedStep | None:
        """Return the settings of a step on a machine class, or why there are none; None without such a plugin."""
        with self._named():
            settings: StepSettings | BlockedStep | None = self._hook.kitforge_step_settings(
                kit=kit, step=step, machine=machine
            )
        return settings

    def check(self, kit: Kit, plan: Plan, between: Callable[[], None] | None = None) -> list[Finding]:
        """Return all findings of all plugins. between: called after each of them; what it raises ends the check."""
        with self._named():
            return list(_watched(self._hook.kitforge_check(kit=kit, plan=plan), between))

    def render(self, kit: Kit, plan: Plan, findings: Sequence[Finding], options: BuildOptions) -> list[PackFile]:
        """Return the files that the plugins render for the pack."""
        with self._named():
            return _chained(self._hook.kitforge_render(kit=kit, plan=plan, findings=findings, options=options))

    def seal(self, kit: Kit, plan: Plan, files: Sequence[PackFile], options: BuildOptions) -> list[PackFile]:
        """Return the files that describe the files of the pack."""
        with self._named():
            return _chained(self._hook.kitforge_seal(kit=kit, plan=plan, files=files, options=options))

    @contextmanager
    def _named(self) -> Iterator[None]:
        """Say of what a plugin raises which one it was: in the message of a user's mistake, in a note to a bug."""
        try:
            yield
        except SystemExit as error:
            raise PluginError(f"{self._raised_by(error)} calls sys.exit; it has to raise an error instead.") from error
        except KitforgeError as error:
            if type(error) is KitforgeError and (where := self._raised_by(error, ours=False)):
                raise PluginError(f"{where}: {error}") from error
            raise
        except Exception as error:
            if where := self._raised_by(error):
                error.add_note(f"This was raised in {where[0].lower()}{where[1:]}.")
            raise

    def _raised_by(self, error: BaseException, *, ours: bool = True) -> str:
        """Return the plugin in whose code an error was raised, or ''; ours: also one that comes with kitforge."""
        trace = error.__traceback__
        while trace is not None:
            module = str(trace.tb_frame.f_globals.get("__name__", ""))
            name = self._modules.get(module.partition(".")[0]) or self._modules.get(module)
            if name is not None and (ours or self._distribution(name) != "kitforge"):
                return self._called(name)
            trace = trace.tb_next
        return ""

    def _called(self, name: str) -> str:
        return f"Plugin '{name}' of {self._distribution(name)}"

    def _distribution(self, name: str) -> str:
        return next((plugin.distribution for plugin in self.loaded if plugin.name == name), _UNKNOWN)


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
    plugins = Plugins(manager, loaded[::-1])
    use_catalogues(plugins.catalogues())
    return plugins


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
    except (Exception, SystemExit) as error:
        raise PluginError(f"{where} cannot be loaded: {type(error).__name__}: {error}.") from error
    try:
        manager.register(plugin, name=point.name)
    except (ValueError, pluggy.PluginValidationError) as error:
        raise PluginError(f"{where} does not fit the hooks: {error}.") from error
    hooks = sorted(caller.name for caller in manager.get_hookcallers(plugin) or ())
    version = _named(point.dist)[1] if point.dist else "unknown"
    return LoadedPlugin(point.name, _distribution(point), version, tuple(hooks))


def _name(point: EntryPoint) -> str:
    return point.name


def _distribution(point: EntryPoint) -> str:
    return _named(point.dist)[0] if point.dist else _UNKNOWN


@cache
def _named(distribution: Distribution) -> tuple[str, str]:
    """Return a distribution's name and version. Each look at them reads its whole description anew, hence kept."""
    about = distribution.metadata
    return about["Name"], about["Version"]


def _module_of(plugin: object) -> str:
    """Return the name of the module, or of the package, that a plugin's code lies in."""
    name = plugin.__name__ if isinstance(plugin, types.ModuleType) else type(plugin).__module__
    return name.partition(".")[0]


def _watched(results: Iterable[Iterable[_T]], between: Callable[[], None] | None) -> Iterator[_T]:
    for result in results:
        for item in result:
            if between is not None:
                between()
            yield item


def _chained(results: Iterable[Iterable[_T]]) -> list[_T]:
    return [item for result in results for item in result]
