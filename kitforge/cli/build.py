"""`kitforge build`: checks a kit and packs everything a beginner needs into one zip."""

from __future__ import annotations

import argparse
import os
import pathlib
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from kitforge.cli.common import add_choice, add_machine, add_units
from kitforge.cli.findings import add_findings, refuse_foreign, tell_all, tell_as_asked
from kitforge.cli.kits import add_kit, code_of, folders_of, worst
from kitforge.cli.lines import echo
from kitforge.cli.many import Tell, add_jobs, worked
from kitforge.language import SOURCE_LANGUAGE, languages
from kitforge.model.errors import KitforgeError

if TYPE_CHECKING:
    from kitforge.cli.common import Subparsers
    from kitforge.release.findings.rows import KitResult
    from kitforge.release.jobs import BuildJob

_PAPERS = {"a4": ("a4",), "letter": ("letter",), "both": ("a4", "letter")}


def add_to(subparsers: Subparsers) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser("build", help="check a kit and pack it into a release zip", description=__doc__)
    add_kit(parser, many=True)
    add_choice(parser, many=True)
    parser.add_argument(
        "-o", "--output", metavar="DIR", type=pathlib.Path, default="dist", help="where zips go (default: dist)"
    )
    add_machine(parser, many=True)
    add_units(parser, both=True)
    parser.add_argument(
        "--orders",
        metavar="FILE",
        type=pathlib.Path,
        help="a pack for each order of a CSV file, whose columns set texts and parameters of one kit",
    )
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
    add_findings(parser, formats=False)
    add_jobs(parser)
    parser.add_argument(
        "--no-cache", action="store_true", help="make everything anew and keep nothing: as a release is built"
    )
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Build every kit that can be built; return the exit code."""
    from kitforge.cli.machines import chosen_cutters, chosen_machine
    from kitforge.model.pack import BuildOptions
    from kitforge.pack.archive import fixed_time
    from kitforge.release.families import build_jobs
    from kitforge.release.jobs import BuildJob

    fixed_time(os.environ.get("SOURCE_DATE_EPOCH"))  # a malformed one is told now, not after all the work
    folders = folders_of(chosen.kits)
    refuse_foreign(chosen, folders)
    options = BuildOptions(
        machines=tuple(dict.fromkeys(chosen.machine)),
        units=chosen.units,
        papers=_PAPERS[chosen.paper],
        languages=chosen_languages(chosen.language),
        theme=chosen.theme,
    )
    machine, cutters = chosen_machine(chosen), chosen_cutters(chosen)
    whole = [
        BuildJob(
            folder,
            chosen.output,
            options,
            machine,
            chosen.strict,
            chosen.most,
            cached=not chosen.no_cache,
            cutters=cutters,
        )
        for folder in folders
    ]
    if chosen.orders is not None:
        jobs = _orders(whole, chosen)
    else:
        jobs = [job for one in whole for job in build_jobs(one, chosen.size or (), chosen.values)]
    results = _built(jobs, chosen, lambda result: _tell(result, chosen))
    tell_all(results, chosen)
    return worst([code_of(result, strict=chosen.strict) for result in results])


def _orders(whole: Sequence[BuildJob], chosen: argparse.Namespace) -> list[BuildJob]:
    """Return a job for each order. Raises KitforgeError for a call or a file that cannot be meant."""
    from kitforge.release.families import order_jobs

    if len(whole) != 1 or chosen.size or chosen.values:
        raise KitforgeError("--orders is for one kit, without --size and --set; the file says both in its columns.")
    jobs, left_out = order_jobs(whole[0], chosen.orders)
    if left_out and not chosen.quiet:
        echo(f"columns that are read over: {', '.join(left_out)}")
    return jobs


def chosen_languages(chosen: list[str] | None) -> tuple[str, ...]:
    """Return the codes of the languages named, each once; English where none is."""
    if not chosen:
        return (SOURCE_LANGUAGE,)
    return languages() if "all" in chosen else tuple(dict.fromkeys(chosen))


def _built(jobs: Sequence[BuildJob], chosen: argparse.Namespace, tell: Tell) -> list[KitResult]:
    """Return the results of all jobs, in their order; of kits with one name the first that can be built is kept."""
    from kitforge.release.work import last_result

    done = [last_result(job) for job in jobs]
    for result in done:
        if result is not None:
            tell(result)
    if None not in done:
        return [result for result in done if result is not None]
    again = _built_anew([job for job, result in zip(jobs, done, strict=True) if result is None], done, chosen, tell)
    return [result or again.pop(0) for result in done]


def _built_anew(
    jobs: Sequence[BuildJob], done: Sequence[KitResult | None], chosen: argparse.Namespace, tell: Tell
) -> list[KitResult]:
    from kitforge.release.naming import in_rounds
    from kitforge.release.work import build_one

    found: dict[pathlib.Path, list[KitResult]] = {}
    keep = {result.archive: result.folder for result in done if result is not None and result.archive is not None}
    for some in in_rounds(jobs):
        for result in worked(build_one, [replace(job, keep=dict(keep)) for job in some], chosen, tell):
            found.setdefault(result.folder, []).append(result)
            if result.archive is not None:
                keep[result.archive] = result.folder
    return [found[job.folder].pop(0) for job in jobs]


def _tell(result: KitResult, chosen: argparse.Namespace) -> None:
    tell_as_asked(result, chosen)
    if not chosen.quiet or result.archive is None:
        _tell_zip(result)
    if chosen.verbose and result.seconds:
        echo(f"  {result.seconds:.1f} s")


def _tell_zip(result: KitResult) -> None:
    if result.archive is not None:
        same = ", unchanged" if result.unchanged else ""
        echo(f"  {result.archive}: {result.files} files, {result.size / 1e6:.1f} MB{same}")
    elif not result.mistake:
        echo("  no zip was written; mend what is said above and build again")
