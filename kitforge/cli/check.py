"""`kitforge check`: says everything that is wrong or risky in a kit, and writes nothing."""

from __future__ import annotations

import argparse
import pathlib
from typing import TYPE_CHECKING

from kitforge.cli.kits import Outcome, add_kit, unreadable, worst
from kitforge.errors import UnreadableKitError

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
    parser.add_argument("--strict", action="store_true", help="let warnings fail the check as well")
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Check every kit and print what was found; return the exit code."""
    from kitforge.plugins import load_plugins

    plugins = load_plugins()
    outcomes = [check(folder, plugins) for folder in chosen.kits]
    if chosen.format == "json":
        _print_json(outcomes)
    else:
        _print_text(outcomes)
    return worst([outcome.code(strict=chosen.strict) for outcome in outcomes])


def check(folder: pathlib.Path, plugins: Plugins) -> Outcome:
    """Return the findings of the kit in `folder`, readable or not."""
    from kitforge.pipeline import check_kit

    try:
        return Outcome(folder, check_kit(folder, plugins).findings)
    except UnreadableKitError as error:
        return unreadable(folder, error)


def _print_json(outcomes: list[Outcome]) -> None:
    from kitforge.cli.reports import as_json, kit_report

    print(as_json([kit_report(outcome.folder, outcome.findings) for outcome in outcomes]))


def _print_text(outcomes: list[Outcome]) -> None:
    from kitforge.cli.terminal import print_findings

    for outcome in outcomes:
        print_findings(outcome.folder, outcome.findings)
