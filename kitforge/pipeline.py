"""The pipeline: one kit definition in, one release zip out. A newcomer reads this file first.

    read -> resolve -> plan -> check -> render -> pack

Each stage is a function from one typed record to the next; only `read` and `pack` touch the disk.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from kitforge.model.errors import KitforgeError
from kitforge.model.family import AS_WRITTEN, KitChoice
from kitforge.model.findings import Finding, Severity
from kitforge.model.pack import BuildOptions
from kitforge.model.record import record

if TYPE_CHECKING:
    from kitforge.model.info import KitInfo
    from kitforge.model.kit import Cutter, Kit
    from kitforge.model.pack import PackFile
    from kitforge.model.plan import Plan
    from kitforge.model.workshop import MachineClass
    from kitforge.plugins import Plugins

STAGES = ("read", "resolve", "plan", "check", "render", "pack")
Progress = Callable[[str], None]


@record
class CheckedKit:
    """A kit that was read, resolved, planned and checked."""

    kit: Kit
    plan: Plan
    findings: tuple[Finding, ...]

    def fails(self, *, strict: bool = False) -> bool:
        """Return whether a finding forbids a release: an error, or with `strict` also a warning."""
        forbidden = (Severity.ERROR, Severity.WARNING) if strict else (Severity.ERROR,)
        return any(finding.severity in forbidden for finding in self.findings)


@record
class Built:
    """What a build made: the zip with its SHA-256, or None when findings forbid a release."""

    checked: CheckedKit
    archive: Path | None
    files: tuple[PackFile, ...] = ()
    sha256: str = ""


def quiet(_stage: str) -> None:
    """Report no progress."""


def load_kit(folder: Path, plugins: Plugins, progress: Progress = quiet, choice: KitChoice = AS_WRITTEN) -> Kit:
    """Read and resolve the kit in `folder`. Raises UnreadableKitError with every problem found.

    choice: which of its sizes, the first one where none is named, and values for parameters.
    """
    from kitforge.stages.choosing import choose
    from kitforge.stages.read import read
    from kitforge.stages.resolve import resolve

    progress("read")
    definition = choose(read(folder), choice)
    progress("resolve")
    return resolve(definition, plugins)


def plan_kit(
    folder: Path,
    plugins: Plugins,
    progress: Progress = quiet,
    machine: MachineClass | None = None,
    cutters: Sequence[Cutter] = (),
    choice: KitChoice = AS_WRITTEN,
    *,
    whole: bool = True,
) -> tuple[Kit, Plan]:
    """Read, resolve and plan the kit in `folder`, for its machine classes or for one `machine` of the reader's.

    cutters: of the reader's, in the place of the kit's of the same keys; choice as in `load_kit`; whole: with trial
    pieces and with the plans of other thicknesses, which take most of the time where there are some. Raises
    UnreadableKitError when the kit cannot be read, and KitforgeError where a cutter cannot stand in.
    """
    from kitforge.stages.choosing import choose
    from kitforge.stages.planning import plan
    from kitforge.stages.read import read
    from kitforge.stages.resolve import resolve
    from kitforge.stages.whole import planned_whole, to_plan

    progress("read")
    written = read(folder)
    progress("resolve")
    kit = resolve(choose(written, choice), plugins)
    if machine is not None:
        kit = replace(kit, machines=(machine,), machines_named=True)
    rungs = to_plan(written, choice, kit, plugins)
    kit = rungs.kit
    progress("plan")
    planned = plan(kit, plugins)
    if not cutters:
        return planned_whole(rungs, kit, planned, plugins) if whole else (kit, planned)
    from kitforge.planning.own_cutters import refuse_untrue, refuse_without_settings, with_cutters

    refuse_untrue(kit, planned, cutters)
    kit = with_cutters(kit, cutters)
    changed = plan(kit, plugins)
    refuse_without_settings(planned, changed, cutters)
    return planned_whole(rungs, kit, changed, plugins, cutters) if whole else (kit, changed)


def check_kit(
    folder: Path,
    plugins: Plugins,
    progress: Progress = quiet,
    machine: MachineClass | None = None,
    cutters: Sequence[Cutter] = (),
    choice: KitChoice = AS_WRITTEN,
    languages: Sequence[str] = (),
) -> CheckedKit:
    """Read, resolve, plan and check the kit in `folder`; everything else, and what is raised, as in `plan_kit`.

    languages: in which it is to be built; texts that it lacks in one of them are found.
    """
    from kitforge.stages.checking import check

    kit, planned = plan_kit(folder, plugins, progress, machine, cutters, choice)
    progress("check")
    return CheckedKit(kit, planned, tuple(check(kit, planned, plugins, languages)))


def build_kit(
    folder: Path,
    output: Path,
    plugins: Plugins,
    options: BuildOptions | None = None,
    progress: Progress = quiet,
    machine: MachineClass | None = None,
    keep: Mapping[Path, Path] | None = None,
    allowed: Callable[[CheckedKit], bool] | None = None,
    released: Callable[[Path, KitInfo], str] | None = None,
    cutters: Sequence[Cutter] = (),
    choice: KitChoice = AS_WRITTEN,
) -> Built:
    """Build the release zip of the kit in `folder` into the folder `output`; `machine` and `cutters` as in `plan_kit`.

    keep: zips that must not be replaced, with the kits they are of. allowed: whether the findings allow a release;
    without it nothing is written when one is an error. released: the sum of the zip by which a version and size of the
    kit in a folder was released, or ''; another never takes its place.
    Raises UnreadableKitError when the kit cannot be read; KitforgeError, before anything is rendered, when its zip is
    one to keep or would take the place of another file, when there is no room for it, or when nothing can be printed.
    """
    from kitforge.pack.archive import write_zip
    from kitforge.pack.targets import require_room
    from kitforge.stages.sizes_shown import with_sizes_shown

    require_room(output)
    options = options or BuildOptions()
    checked = check_kit(folder, plugins, progress, machine, cutters, choice, options.languages)
    if checked.fails() if allowed is None else not allowed(checked):
        return Built(checked, None)
    archive = archive_of(checked, output, _readers(machine, cutters), keep or {})
    options = ready_options(checked, options)
    progress("render")
    (kit,) = with_sizes_shown(folder, [checked.kit], plugins)
    checked = replace(checked, kit=kit)
    files = render_files(checked, plugins, options)
    progress("pack")
    kept = released(folder, checked.kit.info) if released is not None else ""
    return Built(checked, archive, tuple(files), write_zip(archive, archive.stem, files, kept))


def _readers(machine: MachineClass | None, cutters: Sequence[Cutter]) -> str | None:
    """Return what the name of a pack says of a reader's machine and cutters: the keys of their files."""
    from kitforge.stages.read_machine import key_of_file

    keys = ([machine.key] if machine else []) + [key_of_file(Path(one.source.file)) for one in cutters[:1]]
    return "-".join(keys) or None


def ready_options(checked: CheckedKit, options: BuildOptions) -> BuildOptions:
    """Return the options with the names of today for machine classes. Raises KitforgeError for a class the kit is not
    planned for, and where nothing can be printed."""
    from kitforge.files.artefacts import current
    from kitforge.files.builder import finds_the_typesetters_libraries
    from kitforge.pack.options import chosen_machines
    from kitforge.print.ready import require_printing

    if options.machines:
        chosen = chosen_machines(checked.plan, options.machines)
        options = replace(options, machines=tuple(one.machine.key for one in chosen))
    if current() is None or not finds_the_typesetters_libraries():  # else only when a document must be set
        require_printing()
    return options


def archive_of(
    checked: CheckedKit, output: Path, readers: str | None, keep: Mapping[Path, Path], *, together: bool = False
) -> Path:
    """Return where the zip goes; together: the one of all sizes. Raises KitforgeError where it cannot be named so or
    must not be written."""
    from kitforge.pack.names import name_problem, pack_name
    from kitforge.pack.targets import refuse_foreign_pack

    info = checked.kit.info
    name = pack_name(info.slug, info.version, readers, "" if together else info.size, checked.kit.family.order)
    if problem := name_problem(name):
        raise KitforgeError(
            f"The pack cannot be named {name}: {problem}. Change the kit's slug or the name of your file."
        )
    archive = output / f"{name}.zip"
    if archive in keep:
        raise KitforgeError(f"{keep[archive]} was packed as {archive.name} as well. Change the slug or version of one.")
    refuse_foreign_pack(archive)
    return archive


def render_files(checked: CheckedKit, plugins: Plugins, options: BuildOptions) -> Sequence[PackFile]:
    """Return every file of the pack, in memory."""
    from kitforge.stages.rendering import render

    return render(checked.kit, checked.plan, checked.findings, options, plugins)
