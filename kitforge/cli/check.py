"""`kitforge check`: says everything that is wrong or risky in a kit; writes nothing but the report asked for."""

from __future__ import annotations

import argparse
import pathlib
from typing import TYPE_CHECKING

from kitforge.cli.kits import Outcome, add_kit, checked_outcome, unreadable, worst
from kitforge.model.errors import KitforgeError, UnreadableKitError

if TYPE_CHECKING:
    from kitforge.cli.common import Subparsers
    from kitforge.plugins import Plugins


def add_to(subparsers: Subparsers) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser("check", help="say what is wrong or risky in a kit", description=__doc__)
    add_kit(parser, many=True)
    parser.add_argument(
        "--format", choices=("text", "json"), default="text", help="for people (text) or programs (json)"
    )
    parser.add_argument("--verbose", action="store_true", help="tell what is true of nearly every kit as well")
    parser.add_argument("--strict", action="store_true", help="let warnings fail the check as well")
    parser.add_argument(
        "--report", metavar="FILE", type=pathlib.Path, help="also draw the findings of one kit: FILE.html, .pdf or .svg"
    )
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Check every kit and print what was found; return the exit code."""
    from kitforge.plugins import load_plugins

    _refuse_report(chosen.report, len(chosen.kits))
    plugins = load_plugins()
    outcomes = [check(folder, plugins, chosen.report) for folder in chosen.kits]
    if chosen.format == "json":
        _print_json(outcomes)
    else:
        _print_text(outcomes, verbose=chosen.verbose)
    return worst([outcome.code(strict=chosen.strict) for outcome in outcomes])


def check(folder: pathlib.Path, plugins: Plugins, report: pathlib.Path | None = None) -> Outcome:
    """Return the findings of the kit in `folder`, readable or not, and write the report if one is asked for."""
    from kitforge.pack.targets import refuse_what_is_read
    from kitforge.pipeline import check_kit
    from kitforge.report.write import write_report, write_unreadable

    try:
        checked = check_kit(folder, plugins)
    except UnreadableKitError as error:
        outcome = unreadable(folder, error)
        if report:
            write_unreadable(folder, outcome.findings, report)
        return outcome
    if report:
        refuse_what_is_read(report, folder, checked.kit.files)
        write_report(checked, report)
    return checked_outcome(folder, checked)


def _refuse_report(report: pathlib.Path | None, kits: int) -> None:
    """Raise KitforgeError before any work is done for a report that cannot be made."""
    from kitforge.report.write import require_report

    if report is None:
        return
    if kits > 1:
        raise KitforgeError(f"--report draws one kit, but {kits} were given; call it once for each.")
    require_report(report)


def _print_json(outcomes: list[Outcome]) -> None:
    from kitforge.cli.lines import echo_text
    from kitforge.cli.reports import as_json, kit_report

    echo_text(as_json([kit_report(outcome.folder, outcome.findings) for outcome in outcomes]))


def _print_text(outcomes: list[Outcome], *, verbose: bool) -> None:
    from kitforge.cli.terminal import print_findings

    for outcome in outcomes:
        print_findings(outcome.folder, outcome.findings, verbose=verbose)
