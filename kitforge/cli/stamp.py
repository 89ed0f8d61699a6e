"""`kitforge stamp`: makes a buyer's copy of a finished zip: licensed to an order, without building anything again."""

from __future__ import annotations

import argparse
import pathlib
from typing import TYPE_CHECKING

from kitforge.cli.codes import FINE
from kitforge.cli.lines import echo

if TYPE_CHECKING:
    from kitforge.cli.common import Subparsers


def add_to(subparsers: Subparsers) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser("stamp", help="make a buyer's copy of a finished zip", description=__doc__)
    parser.add_argument("zip", metavar="ZIP", type=pathlib.Path, help="the zip that `build` or `release` wrote")
    parser.add_argument(
        "--to",
        metavar="ORDER",
        required=True,
        help="number of the order, which stands on every page; no name or address",
    )
    parser.add_argument(
        "-o", "--output", metavar="DIR", type=pathlib.Path, help="where the copy goes (default: beside the zip)"
    )
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Write the copy and say where it is; return the exit code."""
    from kitforge.release.stamp import stamp

    found = stamp(chosen.zip, chosen.to, chosen.output)
    echo(f"{found.archive}: licensed to order {chosen.to} on the pages of {found.documents} documents")
    echo(f"  SHA-256 {found.sha256}")
    return FINE
