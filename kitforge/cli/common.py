"""What the subcommands share in their arguments."""

from __future__ import annotations

import argparse
import pathlib
from typing import TYPE_CHECKING, TypeAlias

if TYPE_CHECKING:
    Subparsers: TypeAlias = argparse._SubParsersAction[argparse.ArgumentParser]


def add_units(parser: argparse.ArgumentParser, *, both: bool) -> None:
    """Add --units; with `both` a build may print both systems, which is then the default."""
    choices = ("mm", "in", "both") if both else ("mm", "in")
    default = "both" if both else None
    parser.add_argument(
        "--units", choices=choices, default=default, help=f"units to print (default: {default or 'as the kit'})"
    )


def add_machine(parser: argparse.ArgumentParser, *, many: bool) -> None:
    """Add --machine, the key of a class (with `many` more than one), or --machine-file for a machine of one's own."""
    about = "only this machine class" + (", may be given more than once" if many else "")
    group = parser.add_mutually_exclusive_group()
    group.add_argument(
        "--machine", metavar="CLASS", action="append" if many else "store", default=[] if many else None, help=about
    )
    group.add_argument(
        "--machine-file", metavar="FILE", type=pathlib.Path, help="a YAML file that describes your own machine"
    )
    parser.add_argument(
        "--cutter-file",
        metavar="FILE",
        type=pathlib.Path,
        help="a YAML file with your own cutters for those of the kit",
    )
