"""The door for plugins: keys of their own, errors that name them, tables within bounds, scripts without a guard."""

from __future__ import annotations

import subprocess
import sys
import types
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pluggy
import pytest
from pydantic import Field
from smaller import IN_A_SCRIPT

from kitforge import hooks
from kitforge.api import (
    Finding,
    KitforgeError,
    KitKeys,
    PluginError,
    Span,
    UnreadableKitError,
    Workshop,
    hookimpl,
    library_machine,
)
from kitforge.pipeline import check_kit
from kitforge.plugins import LoadedPlugin, Plugins, load_plugins
from kitforge.testing import SmallKit, differing

CODE = """
from kitforge.api import KitforgeError, hookimpl

@hookimpl
def kitforge_check(kit, plan):
    {what}
    return []
"""


class Keys(KitKeys):
    limit: float = Field(default=2.0, gt=0, le=10)
    names: list[str] = Field(default=[])


def with_plugin(**hook: Callable[..., object]) -> Plugins:
    """The shipped plugins, and one called 'probe' of the distribution 'probe-plugin'."""
    module = types.ModuleType("probe_plugin")
    for name, function in hook.items():
        setattr(module, name, hookimpl(function))
    return _loaded(module)


def running(what: str) -> Plugins:
    """The shipped plugins, and one whose check runs a statement."""
    module = types.ModuleType("probe_plugin")
    exec(CODE.format(what=what), module.__dict__)
    return _loaded(module)


def _loaded(module: types.ModuleType) -> Plugins:
    shipped = load_plugins()
    manager = pluggy.PluginManager("kitforge")
    manager.add_hookspecs(hooks)
    manager.register(module, name="probe")
    for plugin in reversed(shipped.loaded):
        manager.register(sys.modules[f"kitforge_{plugin.name}"], name=plugin.name)
    return Plugins(manager, [*shipped.loaded, LoadedPlugin("probe", "probe-plugin", "1.0", ())])


def told(folder: Path, plugins: Plugins) -> list[Finding]:
    with pytest.raises(UnreadableKitError) as error:
        check_kit(folder, plugins)
    return list(error.value.problems)


def test_keys_of_a_plugin_are_read_or_have_their_defaults(tmp_path: Path) -> None:
    plugins = with_plugin(kitforge_kit_keys=lambda: Keys)
    kit = SmallKit(tmp_path)
    assert check_kit(kit.folder, plugins).kit.plugin_keys == {"probe": Keys()}
    kit.plugin("probe", limit=4.5, names=["a"])
    assert check_kit(kit.folder, plugins).kit.plugin_keys == {"probe": Keys(limit=4.5, names=["a"])}


@pytest.mark.parametrize(
    ("keys", "code", "said"),
    [
        (
            {"limit": 11.0},
            "wrong-value",
            "plugins / probe / limit: the number 11.0 is out of range; at most 10.0 is wanted.",
        ),
        ({"limit": "x"}, "wrong-value", "plugins / probe / limit: a number is wanted, not 'x'."),
        ({"limmit": 1.0}, "unknown-key", "The key 'limmit' is not known in 'plugins / probe'."),
        ({"names": [1]}, "wrong-value", "plugins / probe / names / 1: a text is wanted, not the number 1."),
    ],
)
def test_a_mistake_in_the_keys_is_told_with_its_line(
    tmp_path: Path, keys: dict[str, object], code: str, said: str
) -> None:
    kit = SmallKit(tmp_path).plugin("probe", **keys)
    lines = kit.file.read_text().splitlines()
    (found,) = told(kit.folder, with_plugin(kitforge_kit_keys=lambda: Keys))
    assert (found.code, str(found.message)) == (code, said)
    assert next(iter(keys)) in " ".join(lines[found.source.line - 1 : found.source.line]) or found.source.line > 1


def test_a_name_that_no_plugin_reads_is_told_with_the_nearest(tmp_path: Path) -> None:
    kit = SmallKit(tmp_path).plugin("prob", limit=1.0)
    (found,) = told(kit.folder, with_plugin(kitforge_kit_keys=lambda: Keys))
    assert (found.code, str(found.advice)) == ("unknown-name", "Did you mean 'probe'?")
    (found,) = told(kit.folder, load_plugins())
    assert (found.code, str(found.advice)) == ("unknown-name", "Install it, or take the key out.")


@pytest.mark.parametrize("what", ["import sys; sys.exit(3)", "raise SystemExit"])
def test_a_plugin_that_ends_the_program_is_a_plain_error(tmp_path: Path, what: str) -> None:
    with pytest.raises(PluginError, match=r"Plugin 'probe' of probe-plugin calls sys\.exit"):
        check_kit(SmallKit(tmp_path).folder, running(what))


def test_a_users_mistake_told_by_a_plugin_names_it(tmp_path: Path) -> None:
    with pytest.raises(PluginError, match="Plugin 'probe' of probe-plugin: The list is empty"):
        check_kit(SmallKit(tmp_path).folder, running("raise KitforgeError('The list is empty.')"))


def test_a_bug_of_a_plugin_names_it_in_a_note(tmp_path: Path) -> None:
    with pytest.raises(ZeroDivisionError) as error:
        check_kit(SmallKit(tmp_path).folder, running("1 / 0"))
    assert error.value.__notes__ == ["This was raised in plugin 'probe' of probe-plugin."]


def test_a_generator_that_fails_late_names_its_plugin(tmp_path: Path) -> None:
    module = types.ModuleType("probe_plugin")
    exec(CODE.format(what="yield from ()\n    1 / 0"), module.__dict__)
    with pytest.raises(ZeroDivisionError) as error:
        check_kit(SmallKit(tmp_path).folder, _loaded(module))
    assert error.value.__notes__ == ["This was raised in plugin 'probe' of probe-plugin."]


def faulty_tables() -> Iterator[tuple[Workshop, str]]:
    machine = library_machine("light_router")
    for field in ("feed", "plunge", "side_force", "cutter_power", "acceleration", "z_travel", "clearance", "nut"):
        minus: dict[str, Any] = {field: Span(-5, -5)}
        nothing: dict[str, Any] = {field: Span(float("nan"), 20)}
        yield Workshop(machines={"odd": replace(machine, key="odd", **minus)}), "-5 to -5"
        yield Workshop(machines={"odd": replace(machine, key="odd", **nothing)}), "nan to 20"
    yield Workshop(machines={"odd": replace(machine, key="odd", area=(Span(1e9, 1e9), Span(500, 500)))}), "area"
    yield Workshop(machines={"odd": replace(machine, key="odd", lowest_speed=Span(30000, 30000))}), "lowest speed"


@pytest.mark.parametrize(("tables", "said"), list(faulty_tables()))
def test_tables_have_the_bounds_of_an_authors_own_machine(tables: Workshop, said: str) -> None:
    with pytest.raises(PluginError, match="Plugin 'probe' of probe-plugin adds what cannot be") as error:
        with_plugin(kitforge_workshop=lambda: tables).workshop()
    assert said in str(error.value)


def test_the_library_itself_lies_within_the_bounds() -> None:
    from kitforge.workshop.bounds import faults_of
    from kitforge.workshop.load import load_workshop

    assert list(faults_of(load_workshop())) == []


@pytest.mark.soak
def test_a_script_needs_no_guard(tmp_path: Path) -> None:
    """It builds twice in one process, on the top level of a file."""
    kit = SmallKit(tmp_path / "kit")
    script = tmp_path / "script.py"
    script.write_text(
        f"{IN_A_SCRIPT}from kitforge.api import BuildOptions, build\n"
        f"print(build({str(kit.folder)!r}, {str(tmp_path / 'out')!r}, BuildOptions(papers=('a4',))).archive)\n"
    )
    done = subprocess.run([sys.executable, str(script)], capture_output=True, text=True, check=False, timeout=300)
    assert (done.returncode, done.stdout.strip(), done.stderr) == (0, f"{tmp_path}/out/name-signs-0.1.0.zip", "")


def test_packs_are_compared_by_name() -> None:
    assert differing({"a": b"1", "b": b"2"}, {"a": b"1", "b": b"3", "c": b""}) == ["b", "c"]


def test_a_kit_changes_only_where_it_is_told(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="0 times"):
        SmallKit(tmp_path).change("no such text", "x")
    with pytest.raises(KitforgeError):
        SmallKit(tmp_path).change("kitforge: 1", "kitforge: 9").check()
