"""The hooks: the one page a plugin author reads.

A plugin is a module (or an object) registered under the entry point group `kitforge`. It implements any of the
functions below, marked with `kitforge.hookimpl`. Hooks run in the order of the plugins' names. Everything that is
handed over is a frozen record; a plugin changes nothing, it returns what it has to say.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

import pluggy

from kitforge.model.findings import Finding
from kitforge.model.workshop import MachineClass, Workshop

if TYPE_CHECKING:
    from pathlib import Path

    from pydantic import BaseModel

    from kitforge.model.drawing import Drawing
    from kitforge.model.kit import Kit
    from kitforge.model.pack import BuildOptions, PackFile
    from kitforge.model.plan import Plan
    from kitforge.model.steps import BlockedStep, Step, StepSettings

hookspec = pluggy.HookspecMarker("kitforge")
hookimpl = pluggy.HookimplMarker("kitforge")


@hookspec
def kitforge_workshop() -> Workshop:
    """Return tables to add to the workshop. Called once, before a kit is resolved. A key that exists is an error."""
    raise NotImplementedError


@hookspec
def kitforge_catalogues() -> Path:
    """Return the folder with the translations of what you say: `de.po` for German, gettext PO files.

    Every message of your findings, every text of your templates and every `about` is looked up in them. Called once,
    when plugins are loaded. What kitforge says itself keeps its own translation.
    """
    raise NotImplementedError


@hookspec
def kitforge_kit_keys() -> type[BaseModel]:
    """Return the keys that you read from a kit: what stands in kit.yaml under `plugins:` and the name of your plugin.

    A class derived from `kitforge.api.KitKeys`. A mistake in the kit is told with its line, as for every other key;
    what was read, or your defaults, lies in `kit.plugin_keys` under your plugin's name. Called once, while a kit is
    resolved.
    """
    raise NotImplementedError


@hookspec
def kitforge_cutting_rows() -> str:
    """Return rows to add to the worksheet of the physics: limits, and the values that they are reckoned from.

    Called once, while a kit is resolved. How rows are written: `kitforge/cutting/worksheet/README.md`. The symbols of
    your values begin with the name of your plugin and an underscore. The limit is printed, explained and shown in pages
    like any other.
    """
    raise NotImplementedError


@hookspec(firstresult=True)
def kitforge_read_drawing(name: str, data: bytes, unit: str | None, join: float) -> Drawing | None:
    """Return the drawing in `data`, or None when the file is not of your kind.

    Called for every drawing that a kit names, while the kit is resolved. `unit` is what the kit says the drawing is
    in ('mm', 'in', ...) or None; gaps of up to `join` mm between ends are to be closed, which is 0 unless the kit asks
    for it. Raise `kitforge.api.DrawingError` for a file that cannot be read.
    """
    raise NotImplementedError


@hookspec(firstresult=True)
def kitforge_step_settings(kit: Kit, step: Step, machine: MachineClass) -> StepSettings | BlockedStep | None:
    """Return the settings of one step on one machine class, or why there are none.

    Called while planning, once per step and class. None leaves the step to the next plugin.
    """
    raise NotImplementedError


@hookspec
def kitforge_check(kit: Kit, plan: Plan) -> Iterable[Finding]:
    """Return everything that is wrong or risky. Called once per kit after planning; must not stop at the first."""
    raise NotImplementedError


@hookspec
def kitforge_render(kit: Kit, plan: Plan, findings: Sequence[Finding], options: BuildOptions) -> Iterable[PackFile]:
    """Return files for the pack. Called once per build, only when no finding is an error."""
    raise NotImplementedError


@hookspec
def kitforge_seal(kit: Kit, plan: Plan, files: Sequence[PackFile], options: BuildOptions) -> Iterable[PackFile]:
    """Return files that describe the other files (manifest, sums). Called after every file has been rendered."""
    raise NotImplementedError
