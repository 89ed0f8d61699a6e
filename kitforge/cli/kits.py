"""Kits as arguments: from what was typed to folders, and the exit code of a call."""

from __future__ import annotations

import argparse
import pathlib
from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING

from kitforge.cli.codes import FINDINGS, FINE, UNREADABLE
from kitforge.cli.lines import echo, echo_error
from kitforge.model.errors import UnreadableKitError
from kitforge.model.findings import KIT_FILE

if TYPE_CHECKING:
    from kitforge.model.family import KitChoice
    from kitforge.release.findings.rows import KitResult

_DRAWINGS = frozenset({".dxf", ".svg"})
_BESIDE = frozenset({"waivers.toml", "kit.lock", "releases.toml", "layout.lock"})


def code_of(result: KitResult, *, strict: bool = False) -> int:
    """Return the exit code for one kit alone."""
    if not result.readable:
        return UNREADABLE
    return FINDINGS if result.fails(strict=strict) else FINE


def add_kit(parser: argparse.ArgumentParser, *, many: bool = False) -> None:
    """Add the KIT argument: a kit's folder, the kit.yaml in it, or a drawing of it; with `many` at least one."""
    about = "folder of a kit, the kit.yaml in it, or a drawing below it"
    parser.add_argument(
        "kits" if many else "kit",
        metavar="KIT",
        type=pathlib.Path if many else folder_of,
        nargs="+" if many else None,
        help=about,
    )


def folder_of(typed: str | pathlib.Path) -> pathlib.Path:
    """Return the kit's folder: what was typed, its parent for a kit.yaml, the nearest kit's above a drawing."""
    path = pathlib.Path(typed)
    if path.name == KIT_FILE and not path.is_dir():
        return path.parent
    return (_kit_above(path) or path) if _is_of_a_kit(path) else path


def folders_of(typed: Sequence[pathlib.Path]) -> list[pathlib.Path]:
    """Return the folder of every kit that is meant, in the order in which they were typed.

    Files of one kit lead to it once. Drawings that belong to no kit, and other files among several arguments (as
    `kits/*` gives them), are told on standard error and left out.
    """
    found: list[pathlib.Path] = []
    known: set[pathlib.Path] = set()
    for path in _kits_among(typed):
        folder = folder_of(path)
        place = folder.resolve()
        if path.is_dir() or place not in known:
            found.append(folder)
        known.add(place)
    return found


def worst(codes: Sequence[int]) -> int:
    """Return the exit code of a call from those of its kits."""
    return max(codes, default=FINE)


def for_each(folder: pathlib.Path, choices: Sequence[KitChoice], work: Callable[[KitChoice], int]) -> int:
    """Do the work for each size that a call means, under its name; return the worst exit code.

    A size that cannot be read is told and hinders no other.
    """
    return worst([_worked(folder, choice, work) for choice in choices])


def _worked(folder: pathlib.Path, choice: KitChoice, work: Callable[[KitChoice], int]) -> int:
    if choice.size:
        echo(f"{choice.size}:")
    try:
        return work(choice)
    except UnreadableKitError as error:
        from kitforge.cli.terminal import print_result
        from kitforge.release.findings.gather import unreadable_result

        print_result(unreadable_result(folder, error, size=choice.size))
        return UNREADABLE


def _kits_among(typed: Sequence[pathlib.Path]) -> Iterator[pathlib.Path]:
    for path in typed:
        if _is_of_a_kit(path) and _kit_above(path) is None:
            echo_error(f"kitforge: {path} belongs to no kit; left out")
        elif len(typed) > 1 and path.is_file() and path.name != KIT_FILE and not _is_of_a_kit(path):
            echo_error(f"kitforge: {path} is no kit; left out")
        else:
            yield path


def _is_of_a_kit(path: pathlib.Path) -> bool:
    """Return whether a file leads to the kit that it is part of: a drawing, or a file that lies beside kit.yaml."""
    return (path.suffix.lower() in _DRAWINGS or path.name in _BESIDE) and not path.is_dir()


def _kit_above(path: pathlib.Path) -> pathlib.Path | None:
    """Return the nearest folder above a file that holds a kit.yaml, as it was typed where it can be."""
    whole = pathlib.Path.cwd() / path
    for typed, real in zip((*path.parents, *whole.parents[len(path.parents) :]), whole.parents, strict=False):
        if (real / KIT_FILE).is_file():
            return typed
    return None
