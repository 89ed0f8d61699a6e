"""`kitforge lock`: writes the numbers of a kit into kit.lock, or says which ones are no longer those in it."""

from __future__ import annotations

import argparse
import pathlib
from typing import TYPE_CHECKING

from kitforge.cli.codes import FINDINGS, FINE, UNREADABLE
from kitforge.cli.kits import add_kit, folders_of, worst
from kitforge.cli.lines import echo, echo_error
from kitforge.model.errors import KitforgeError, UnreadableKitError

if TYPE_CHECKING:
    from kitforge.cli.common import Subparsers

_MOST = 200


def add_to(subparsers: Subparsers) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser("lock", help="write or check the numbers in kit.lock", description=__doc__)
    add_kit(parser, many=True)
    parser.add_argument(
        "--check", action="store_true", help="write nothing; say which numbers differ, by class, step and setting"
    )
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Write or check the lock of every kit; return the exit code."""
    return worst([_lock(folder, check=chosen.check) for folder in folders_of(chosen.kits)])


def _lock(folder: pathlib.Path, *, check: bool) -> int:
    from kitforge.cli.terminal import print_result
    from kitforge.pipeline import plan_kit
    from kitforge.release.findings.gather import unreadable_result
    from kitforge.release.lock import LOCK, changes, lock_of, read_lock, reason
    from kitforge.release.toml_files import UnfitTomlError
    from kitforge.release.work import plugins

    try:
        kit, plan = plan_kit(folder, plugins())
    except UnreadableKitError as error:
        print_result(unreadable_result(folder, error))
        return UNREADABLE
    try:
        old = read_lock(folder)
    except UnfitTomlError as error:
        if check:
            raise
        echo_error(f"kitforge: {folder}: {error} It is written anew.")
        old = None
    new = lock_of(kit, plan, old)
    if not check:
        _write(folder / LOCK, new)
        return FINE
    if old is None:
        echo(f"{folder}: there is no {LOCK}; write it with `kitforge lock`")
        return FINDINGS
    found = list(changes(old, new))
    for change in found[:_MOST]:
        echo(f"  {change}")
    if found[_MOST:]:
        echo(f"  and {len(found) - _MOST} more")
    echo(f"{folder}: {len(found)} numbers differ, because of {reason(old, new)}" if found else f"{folder}: as locked")
    return FINDINGS if found else FINE


def _write(path: pathlib.Path, lock: object) -> None:
    from kitforge.files.writing import write_whole
    from kitforge.release.lock import Lock, text_of

    assert isinstance(lock, Lock)
    try:
        write_whole(path, text_of(lock).encode("utf-8", "surrogatepass"))
    except OSError as problem:
        raise KitforgeError(f"Cannot write {path}: {problem.strerror or problem}.") from None
    echo(f"wrote {path}")
