"""Findings as a subcommand tells them: on the terminal, or in a form for programs, and to files in several forms."""

from __future__ import annotations

import argparse
import pathlib
from collections.abc import Sequence
from typing import TYPE_CHECKING

from kitforge.model.findings import KIT_FILE
from kitforge.release.findings.rows import MOST_FINDINGS
from kitforge.release.findings.write import FORMATS, FindingsFile, findings_file

if TYPE_CHECKING:
    from kitforge.release.findings.rows import KitResult


def add_findings(parser: argparse.ArgumentParser, *, formats: bool) -> None:
    """Add --save, --most, --strict, --verbose and --quiet, with `formats` also --format."""
    if formats:
        parser.add_argument("--format", choices=FORMATS, default="text", help="for people (text) or for programs")
    parser.add_argument(
        "--save",
        metavar="FORM=FILE",
        type=_saved,
        action="append",
        default=[],
        help=f"also write the findings to FILE, in one of the forms {', '.join(FORMATS)}; may be given more than once",
    )
    parser.add_argument(
        "--most", metavar="N", type=_count, default=MOST_FINDINGS, help="findings told of a kit (default: %(default)s)"
    )
    parser.add_argument("--strict", action="store_true", help="let warnings fail as well")
    how_much = parser.add_mutually_exclusive_group()
    how_much.add_argument("--verbose", action="store_true", help="tell what is true of nearly every kit as well")
    how_much.add_argument(
        "--quiet", action="store_true", help="tell only what forbids a release, nothing where all is well"
    )


def refuse_foreign(chosen: argparse.Namespace, folders: Sequence[pathlib.Path]) -> None:
    """Raise KitforgeError before any work is done for files that must not be written."""
    from kitforge.release.findings.write import refuse_foreign_findings

    if chosen.save:
        refuse_foreign_findings(chosen.save, [folder / KIT_FILE for folder in folders])


def tell(result: KitResult, *, verbose: bool = False) -> None:
    """Print what is to be said of one kit, for people."""
    from kitforge.cli.lines import echo_error
    from kitforge.cli.terminal import print_result

    if result.mistake:
        echo_error(f"kitforge: {result.folder}: {result.mistake}")
    else:
        print_result(result, verbose=verbose)


def tell_as_asked(result: KitResult, chosen: argparse.Namespace) -> None:
    """Print what is to be said of one kit by --verbose and --quiet."""
    if not chosen.quiet:
        tell(result, verbose=chosen.verbose)
    elif result.mistake or not result.readable or result.fails(strict=chosen.strict):
        tell(result.forbidding(strict=chosen.strict))


def tell_all(results: Sequence[KitResult], chosen: argparse.Namespace) -> None:
    """Print the findings in the form for programs that was asked for, if one was, and write the files."""
    from kitforge.cli.lines import echo_text
    from kitforge.release.findings.write import in_form, save

    form = getattr(chosen, "format", "text")
    if form != "text" and (text := in_form(form, results, strict=chosen.strict)):
        echo_text(text)
    save(chosen.save, results, strict=chosen.strict)


def _saved(typed: str) -> FindingsFile:
    try:
        return findings_file(typed)
    except ValueError:
        forms = ", ".join(FORMATS)
        raise argparse.ArgumentTypeError(f"'{typed}' is not FORM=FILE with a form of {forms}") from None


def _count(typed: str) -> int:
    if not typed.isascii() or not typed.isdigit() or not 0 < int(typed) <= 25_000:
        raise argparse.ArgumentTypeError(f"'{typed}' is no number from 1 to 25000")
    return int(typed)
