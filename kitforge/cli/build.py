"""`kitforge build`: checks a kit and packs everything a beginner needs into one zip."""

from __future__ import annotations

import argparse
import contextlib
import os
import pathlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kitforge.cli.codes import UNREADABLE
from kitforge.cli.common import add_machine, add_units
from kitforge.cli.kits import Outcome, add_kit, checked_outcome, unreadable, worst
from kitforge.cli.lines import echo, echo_error
from kitforge.language import SOURCE_LANGUAGE, languages
from kitforge.model.errors import KitforgeError, PluginError, UnreadableKitError

if TYPE_CHECKING:
    from kitforge.cli.common import Subparsers
    from kitforge.model.pack import BuildOptions
    from kitforge.model.workshop import MachineClass
    from kitforge.pipeline import Built
    from kitforge.plugins import Plugins

_PAPERS = {"a4": ("a4",), "letter": ("letter",), "both": ("a4", "letter")}


@dataclass(frozen=True, slots=True)
class _Call:
    output: pathlib.Path
    options: BuildOptions
    plugins: Plugins
    machine: MachineClass | None


def add_to(subparsers: Subparsers) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser("build", help="check a kit and pack it into a release zip", description=__doc__)
    add_kit(parser, many=True)
    parser.add_argument(
        "-o", "--output", metavar="DIR", type=pathlib.Path, default="dist", help="where zips go (default: dist)"
    )
    add_machine(parser, many=True)
    add_units(parser, both=True)
    parser.add_argument(
        "--paper", choices=tuple(_PAPERS), default="both", help="paper of what is printed (default: both)"
    )
    parser.add_argument(
        "--language",
        choices=(*languages(), "all"),
        action="append",
        help="language of what is printed, may be given more than once (default: en)",
    )
    parser.add_argument("--theme", metavar="NAME", default="plain", help="installed theme of what is printed")
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Build every kit that can be built; return the exit code."""
    from kitforge.cli.machines import chosen_machine
    from kitforge.model.pack import BuildOptions
    from kitforge.pack.archive import fixed_time
    from kitforge.plugins import load_plugins

    fixed_time(os.environ.get("SOURCE_DATE_EPOCH"))  # a malformed one is told now, not after all the work
    options = BuildOptions(
        machines=tuple(dict.fromkeys(chosen.machine)),
        units=chosen.units,
        papers=_PAPERS[chosen.paper],
        languages=_languages(chosen.language),
        theme=chosen.theme,
    )
    call = _Call(chosen.output, options, load_plugins(), chosen_machine(chosen))
    written: dict[pathlib.Path, pathlib.Path] = {}
    return worst([_build_or_say_why_not(folder, call, written) for folder in chosen.kits])


def _languages(chosen: list[str] | None) -> tuple[str, ...]:
    if not chosen:
        return (SOURCE_LANGUAGE,)
    return languages() if "all" in chosen else tuple(dict.fromkeys(chosen))


def _build_or_say_why_not(folder: pathlib.Path, call: _Call, written: dict[pathlib.Path, pathlib.Path]) -> int:
    try:
        return _build(folder, call, written)
    except PluginError:
        raise
    except KitforgeError as mistake:
        echo_error(f"kitforge: {folder}: {mistake}")
        return UNREADABLE


def _build(folder: pathlib.Path, call: _Call, written: dict[pathlib.Path, pathlib.Path]) -> int:
    from kitforge.cli.terminal import print_findings

    outcome, built = _attempt(folder, call, written)
    print_findings(folder, outcome.findings)
    if built is None or built.archive is None:
        echo("  no zip was written; mend the errors above and build again")
        return outcome.code()
    written[built.archive] = folder
    size = built.archive.stat().st_size
    echo(f"  {built.archive}: {len(built.files)} files, {size / 1e6:.1f} MB")
    return outcome.code()


def _attempt(
    folder: pathlib.Path, call: _Call, written: dict[pathlib.Path, pathlib.Path]
) -> tuple[Outcome, Built | None]:
    from kitforge.pipeline import build_kit
    from kitforge.print.parallel import other_processes

    try:
        with _progress(folder) as report, other_processes():
            built = build_kit(folder, call.output, call.plugins, call.options, report, call.machine, written)
    except UnreadableKitError as error:
        return unreadable(folder, error), None
    return checked_outcome(folder, built.checked), built


@contextlib.contextmanager
def _progress(folder: pathlib.Path) -> Iterator[Callable[[str], None]]:
    """Give a function that is told each stage; it draws a bar on a terminal and is silent elsewhere."""
    from rich.progress import BarColumn, Progress, TextColumn

    from kitforge.cli.terminal import console
    from kitforge.model.characters import clean
    from kitforge.pipeline import STAGES

    err = console(error=True)
    columns = (
        TextColumn("{task.fields[kit]}", markup=False),
        BarColumn(20),
        TextColumn("{task.description}", markup=False),
    )
    with Progress(*columns, console=err, transient=True, disable=not err.is_terminal) as progress:
        task = progress.add_task("", total=len(STAGES), kit=clean(folder.name))
        yield lambda stage: progress.update(task, description=stage, completed=STAGES.index(stage))
