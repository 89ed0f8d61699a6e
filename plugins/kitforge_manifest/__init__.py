"""Seals a pack: manifest.json says what was made from what, SHA256SUMS lets anyone check that it arrived whole."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from importlib.metadata import EntryPoint, entry_points
from typing import TYPE_CHECKING, TypedDict

from kitforge import __version__, hookimpl
from kitforge.model.pack import PackFile
from kitforge.pack.sums import MANIFEST, SUMS, FileEntry, entries_of, sums_of
from kitforge.plugins import GROUP

if TYPE_CHECKING:
    from kitforge.model.kit import Kit
    from kitforge.model.pack import BuildOptions
    from kitforge.model.plan import Plan
    from kitforge.pack.facts import KitFacts

SCHEMA = 1


class PluginEntry(TypedDict):
    """A plugin that took part in the build."""

    name: str
    distribution: str
    version: str


class OptionsEntry(TypedDict):
    """What the build was asked for, with everything that was left open filled in."""

    machines: list[str]
    units: str
    papers: list[str]
    languages: list[str]
    theme: str


class Manifest(TypedDict):
    """manifest.json, in the order of its keys.

    `flattening_tolerance_mm`: how far the lines and arcs that stand for splines, Bezier curves and ellipses of a
    drawing may lie from them; arcs and circles stay exact. `libraries`: versions of all that can change a pack's bytes;
    `tables`: a sum over the workshop's tables; `inputs`: the files of the kit that were read; `facts`: sizes, wood,
    cutters, joints, order and settings, for comparing packs; `kit` has `size` where it has sizes, and `set` where
    parameters were set for this pack alone. A buyer's copy has `licensed_to` as well, the order.
    """

    schema: int
    kit: dict[str, str | list[str] | None]
    tool: dict[str, str]
    options: OptionsEntry
    flattening_tolerance_mm: float
    plugins: list[PluginEntry]
    libraries: dict[str, str]
    tables: str
    facts: KitFacts
    inputs: list[FileEntry]
    files: list[FileEntry]


@hookimpl
def kitforge_seal(kit: Kit, plan: Plan, files: Sequence[PackFile], options: BuildOptions) -> Iterable[PackFile]:
    """Return manifest.json for `files` and SHA256SUMS for `files` and the manifest."""
    manifest = PackFile(
        MANIFEST, _as_json(manifest_of(kit, plan, files, options)), "What was built from what, for programs"
    )
    yield manifest
    yield PackFile(
        SUMS,
        sums_of({file.name: file.data for file in [*files, manifest]}),
        "A SHA-256 sum for every other file, to check the pack",
    )


def manifest_of(kit: Kit, plan: Plan, files: Sequence[PackFile], options: BuildOptions) -> Manifest:
    """Return the manifest. It holds no time, path or host, so that equal input gives equal bytes."""
    from kitforge.geometry.biarc import FIT_TOLERANCE
    from kitforge.pack.facts import facts_of, library_versions, tables_sum
    from kitforge.pack.options import chosen_machines

    info = kit.info
    return {
        "schema": SCHEMA,
        "kit": {
            "slug": info.slug,
            "version": info.version,
            "title": info.title,
            "author": info.author,
            "licence": info.licence,
            "released": info.released,
            **_of_family(kit),
        },
        "tool": {"name": "kitforge", "version": __version__},
        "options": {
            "machines": list(options.machines or (machine.machine.key for machine in plan.machines)),
            "units": options.units,
            "papers": list(options.papers),
            "languages": list(options.languages),
            "theme": options.theme,
        },
        "flattening_tolerance_mm": FIT_TOLERANCE,
        "plugins": _plugin_entries(),
        "libraries": library_versions(),
        "tables": tables_sum(),
        "facts": facts_of(kit, plan, chosen_machines(plan, options.machines)),
        "inputs": entries_of(kit.files),
        "files": entries_of({file.name: file.data for file in files}),
    }


def _of_family(kit: Kit) -> dict[str, str | list[str] | None]:
    """Return the size and the names of the parameters that the call set, where there are any; never their values, for
    a text may be a buyer's."""
    found: dict[str, str | list[str] | None] = {}
    if kit.info.size:
        found["size"] = kit.info.size
    if kit.family.values:
        found["set"] = sorted(name for name, _value in kit.family.values)
    return found


def _plugin_entries() -> list[PluginEntry]:
    # a distribution can be on the path twice (editable and installed); the loader takes it once as well
    by_name = {point.name: _plugin_entry(point) for point in entry_points(group=GROUP)}
    return [by_name[name] for name in sorted(by_name)]


def _plugin_entry(point: EntryPoint) -> PluginEntry:
    dist = point.dist
    return {
        "name": point.name,
        "distribution": dist.name if dist else "unknown",
        "version": dist.version if dist else "unknown",
    }


def _as_json(manifest: Manifest) -> bytes:
    return (json.dumps(manifest, indent=2, ensure_ascii=False) + "\n").encode()
