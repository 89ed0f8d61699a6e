"""`kitforge new`: writes a small working kit with comments, to change into your own."""

from __future__ import annotations

import argparse
import pathlib
from importlib import resources
from typing import TYPE_CHECKING

from kitforge.errors import KitforgeError

if TYPE_CHECKING:
    from kitforge.cli.common import Subparsers

SCHEMA_FILE = "kit.schema.json"


def add_to(subparsers: Subparsers) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser("new", help="write a commented starter kit", description=__doc__)
    parser.add_argument("folder", metavar="DIR", type=pathlib.Path, help="folder to make; must not hold anything yet")
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Write the starter kit; return the exit code."""
    from kitforge.cli.codes import FINE

    for path in write_starter(chosen.folder):
        print(f"wrote {path}")
    print(f"next: kitforge check {chosen.folder}; kitforge build {chosen.folder}")
    return FINE


def write_starter(folder: pathlib.Path) -> list[pathlib.Path]:
    """Write the starter kit and the schema for editors into `folder` and return what was written.

    Raises KitforgeError when the folder holds something already or cannot be written.
    """
    from kitforge.cli.schema import schema_text

    starter = resources.files("kitforge.cli").joinpath("starter", "kit.yaml").read_text("utf-8")
    texts = {"kit.yaml": starter, SCHEMA_FILE: schema_text()}
    try:
        folder.mkdir(parents=True, exist_ok=True)
        if any(folder.iterdir()):
            raise KitforgeError(f"{folder} is not empty. Name a folder that does not exist yet.")
        for name, text in texts.items():
            (folder / name).write_text(text, encoding="utf-8", newline="\n")
    except OSError as problem:
        raise KitforgeError(f"Cannot write {folder}: {problem.strerror}. Name another folder.") from None
    return [folder / name for name in texts]
