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


def add_choice(parser: argparse.ArgumentParser, *, many: bool) -> None:
    """Add --size, which may be named more than once with `many`, and --set for parameters."""
    about = "only this size of the kit" + (
        ", may be given more than once (default: all)" if many else " (default: first)"
    )
    parser.add_argument("--size", metavar="NAME", action="append" if many else "store", help=about)
    parser.add_argument(
        "--set",
        metavar="NAME=VALUE",
        dest="values",
        type=_value,
        action="append",
        default=[],
        help="try a value for a parameter; nothing is written into the kit; may be given more than once",
    )


def _value(typed: str) -> tuple[str, str]:
    name, equals, value = typed.partition("=")
    if not equals or not name.strip() or not value.strip():
        raise argparse.ArgumentTypeError(f"'{typed}' is not NAME=VALUE, such as width=300mm")
    return name.strip(), value.strip()


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
