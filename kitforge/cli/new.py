"""`kitforge new`: writes a small working kit with comments, to change into your own, or a first kit from a drawing."""

from __future__ import annotations

import argparse
import pathlib
from collections.abc import Mapping
from importlib import resources
from typing import TYPE_CHECKING

from kitforge.model.errors import KitforgeError
from kitforge.model.findings import KIT_FILE

if TYPE_CHECKING:
    from kitforge.cli.common import Subparsers

SCHEMA_FILE = "kit.schema.json"
UNITS = ("mm", "cm", "m", "in", "ft", "pt")
SMALLEST_JOIN, WIDEST_JOIN = 0.01, 2.0


def add_to(subparsers: Subparsers) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser("new", help="write a commented starter kit", description=__doc__)
    parser.add_argument("folder", metavar="DIR", type=pathlib.Path, help="folder to make; must not hold anything yet")
    parser.add_argument(
        "--from",
        metavar="DRAWING",
        dest="drawing",
        type=pathlib.Path,
        help="a DXF or SVG drawing to make the kit from; it is copied into DIR",
    )
    parser.add_argument("--units", choices=UNITS, help="the drawing's unit (default: what the drawing says)")
    parser.add_argument(
        "--join", metavar="MM", type=float, default=0.0, help="close gaps in the drawing's lines up to so many mm"
    )
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Write the kit; return the exit code."""
    from kitforge.cli.codes import FINE
    from kitforge.cli.lines import echo

    if chosen.drawing is None:
        if chosen.units or chosen.join:
            raise KitforgeError("--units and --join are about a drawing. Name it with --from.")
        written = write_starter(chosen.folder)
    else:
        written = write_from_drawing(chosen.folder, chosen.drawing, chosen.units, chosen.join)
    for path in written:
        echo(f"wrote {path}")
    echo(f"next: kitforge check {chosen.folder}; kitforge build {chosen.folder}")
    return FINE


def write_starter(folder: pathlib.Path) -> list[pathlib.Path]:
    """Write the starter kit and the schema for editors into `folder` and return what was written.

    Raises KitforgeError when the folder holds something already or cannot be written.
    """
    starter = resources.files("kitforge.cli").joinpath("starter", KIT_FILE).read_bytes()
    return _written(folder, {KIT_FILE: starter})


def write_from_drawing(
    folder: pathlib.Path, drawing: pathlib.Path, unit: str | None = None, join: float = 0.0
) -> list[pathlib.Path]:
    """Print what a drawing holds, write a first kit for it into `folder` and return what was written.

    Raises KitforgeError when the drawing cannot be read or holds no part, or the folder cannot be written.
    """
    from kitforge.cli.lines import echo
    from kitforge.drafting.first_kit import first_kit
    from kitforge.drafting.listing import doubted, listing, words_for
    from kitforge.drafting.source import read_source
    from kitforge.plugins import load_plugins

    _refuse_full(folder)
    if join and not SMALLEST_JOIN <= join <= WIDEST_JOIN:
        raise KitforgeError(f"--join {join:g}: give a gap between {SMALLEST_JOIN} and {WIDEST_JOIN} mm.")
    plugins = load_plugins()
    source = read_source(drawing, plugins, unit, join)
    for line in listing(source):
        echo(line)
    kit = first_kit(drawing, source)
    for line in doubted(kit.doubts, words_for(source)):
        echo(line)
    return _written(folder, {KIT_FILE: kit.text.encode(), source.name: source.data})


def _refuse_full(folder: pathlib.Path) -> None:
    try:
        if folder.exists() and any(folder.iterdir()):
            raise KitforgeError(f"{folder} is not empty. Name a folder that does not exist yet.")
    except OSError as problem:
        raise KitforgeError(f"Cannot write {folder}: {problem.strerror}. Name another folder.") from None


def _written(folder: pathlib.Path, files: Mapping[str, bytes]) -> list[pathlib.Path]:
    """Write the files and the schema for editors into a folder that holds nothing yet; return their paths."""
    from kitforge.cli.schema import schema_text

    _refuse_full(folder)
    whole = {**files, SCHEMA_FILE: schema_text().encode()}
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, data in whole.items():
            (folder / name).write_bytes(data)
    except OSError as problem:
        raise KitforgeError(f"Cannot write {folder}: {problem.strerror}. Name another folder.") from None
    return [folder / name for name in whole]
