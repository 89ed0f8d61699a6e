"""`kitforge check`: says everything that is wrong or risky in a kit; writes nothing but the report asked for."""

from __future__ import annotations

import argparse
import pathlib
from typing import TYPE_CHECKING

from kitforge.cli.common import add_choice
from kitforge.cli.findings import add_findings, refuse_foreign, tell_all, tell_as_asked
from kitforge.cli.kits import add_kit, code_of, folders_of, worst
from kitforge.cli.many import add_jobs, worked
from kitforge.language import SOURCE_LANGUAGE, languages
from kitforge.model.errors import KitforgeError

if TYPE_CHECKING:
    from kitforge.cli.common import Subparsers
    from kitforge.release.findings.rows import KitResult


def add_to(subparsers: Subparsers) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser("check", help="say what is wrong or risky in a kit", description=__doc__)
    add_kit(parser, many=True)
    add_choice(parser, many=True)
    add_findings(parser, formats=True)
    add_jobs(parser)
    parser.add_argument(
        "--language", choices=languages(), default=SOURCE_LANGUAGE, help="language of the findings (default: en)"
    )
    parser.add_argument(
        "--report", metavar="FILE", type=pathlib.Path, help="also draw the findings of one kit: FILE.html, .pdf or .svg"
    )
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Check every kit and tell what was found, each as it ends; return the exit code."""
    from kitforge.release.families import choices_of
    from kitforge.release.jobs import CheckJob
    from kitforge.release.work import check_one

    folders = folders_of(chosen.kits)
    refuse_foreign(chosen, folders)
    jobs = [
        CheckJob(folder, chosen.report, chosen.most, chosen.language, choice)
        for folder in folders
        for choice in choices_of(folder, chosen.size or (), chosen.values)
    ]
    _refuse_report(chosen.report, len(folders), len(jobs))
    results = worked(check_one, jobs, chosen, lambda one: _tell(one, chosen))
    tell_all(results, chosen)
    return worst([code_of(result, strict=chosen.strict) for result in results])


def _tell(result: KitResult, chosen: argparse.Namespace) -> None:
    if chosen.format == "text":
        tell_as_asked(result, chosen)


def _refuse_report(report: pathlib.Path | None, kits: int, jobs: int) -> None:
    """Raise KitforgeError before any work is done for a report that cannot be made."""
    if report is None:
        return
    from kitforge.report.write import require_report

    if kits > 1:
        raise KitforgeError(f"--report draws one kit, but {kits} were given; call it once for each.")
    if jobs > 1:
        raise KitforgeError(f"--report draws one size, but the kit has {jobs}; name one with --size.")
    require_report(report)
