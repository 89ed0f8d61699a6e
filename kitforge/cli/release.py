"""`kitforge release`: builds the zip of a version as it is sold, strictly and anew, and notes it in releases.toml."""

from __future__ import annotations

import argparse
import pathlib
from typing import TYPE_CHECKING

from kitforge.cli.build import chosen_languages
from kitforge.cli.codes import UNREADABLE
from kitforge.cli.findings import tell
from kitforge.cli.kits import add_kit, code_of, worst
from kitforge.cli.lines import echo
from kitforge.language import languages
from kitforge.model.errors import UnreadableKitError

if TYPE_CHECKING:
    from kitforge.cli.common import Subparsers
    from kitforge.release.jobs import BuildJob


def add_to(subparsers: Subparsers) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser("release", help="build a version as it is sold, and note it", description=__doc__)
    add_kit(parser)
    parser.add_argument("--size", metavar="NAME", action="append", help="only this size of the kit (default: all)")
    parser.add_argument(
        "-o", "--output", metavar="DIR", type=pathlib.Path, default="dist", help="where the zip goes (default: dist)"
    )
    parser.add_argument(
        "--language",
        choices=(*languages(), "all"),
        action="append",
        help="language of what is printed, may be given more than once (default: en)",
    )
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Release the kit, every size of it though one fails; return the exit code."""
    from kitforge.model.pack import BuildOptions
    from kitforge.release.families import build_jobs
    from kitforge.release.jobs import BuildJob

    job = BuildJob(chosen.kit, chosen.output, BuildOptions(languages=chosen_languages(chosen.language)))
    return worst([_release(one) for one in build_jobs(job, chosen.size or (), ())])


def _release(job: BuildJob) -> int:
    from kitforge.cli.terminal import print_result
    from kitforge.print.parallel import other_processes
    from kitforge.release.findings.gather import unreadable_result
    from kitforge.release.publish import release_kit

    try:
        with other_processes():
            found = release_kit(job)
    except UnreadableKitError as error:
        print_result(unreadable_result(job.folder, error, size=job.choice.size))
        return UNREADABLE
    tell(found.result)
    if found.result.archive is None:
        echo("  nothing was released; a release has no errors and no warnings that are not waived")
        return code_of(found.result, strict=True)
    echo(f"  {found.result.archive}: SHA-256 {found.result.sha256}")
    echo(f"  {found.statement}")
    echo("  noted in releases.toml; commit it" if found.added else "  released already, and these are the same bytes")
    return code_of(found.result, strict=True)
