"""`kitforge cache`: shows what earlier builds left for later ones, and clears it."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from kitforge.cli.codes import FINE
from kitforge.cli.lines import echo

if TYPE_CHECKING:
    from kitforge.cli.common import Subparsers


def add_to(subparsers: Subparsers) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser("cache", help="show or clear what builds keep for later ones", description=__doc__)
    parser.add_argument("--clear", action="store_true", help="remove everything that is kept")
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Print where the cache is and how much it holds; return the exit code."""
    from kitforge.files.builder import builder
    from kitforge.files.cache import MOST_BYTES, SWITCH_OFF, problem_of, users_cache, users_folder

    folder, cache = users_folder(), users_cache()
    if cache is None:
        why = "there is no home folder" if folder is None else problem_of(folder) or f"{SWITCH_OFF} is set"
        echo(f"nothing is kept: {why}")
        return FINE
    if chosen.clear:
        gone = cache.clear()
        echo(f"{cache.folder}: {gone.entries} entries, {gone.size / 1e6:.1f} MB removed")
        return FINE
    use = cache.use()
    echo(f"{cache.folder}: {use.entries} entries, {use.size / 1e6:.1f} MB of at most {MOST_BYTES / 1e6:.0f} MB")
    if not builder():
        echo("nothing is kept now: a plugin of others is installed so that its code may change at any time")
    return FINE
