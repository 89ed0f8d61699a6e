"""`kitforge lock`: writes the numbers of a kit into kit.lock, or says which ones are no longer those in it."""

from __future__ import annotations

import argparse
import pathlib
from typing import TYPE_CHECKING

from kitforge.cli.codes import FINDINGS, FINE, UNREADABLE
from kitforge.cli.common import add_choice
from kitforge.cli.kits import add_kit, folders_of, worst
from kitforge.cli.lines import echo, echo_error
from kitforge.model.errors import KitforgeError, UnreadableKitError

if TYPE_CHECKING:
    from kitforge.cli.common import Subparsers
    from kitforge.release.lock import Lock, Locks

_MOST = 200
LOCK = "kit.lock"


def add_to(subparsers: Subparsers) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser("lock", help="write or check the numbers in kit.lock", description=__doc__)
    add_kit(parser, many=True)
    add_choice(parser, many=True)
    parser.add_argument(
        "--check", action="store_true", help="write nothing; say which numbers differ, by class, step and setting"
    )
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Write or check the lock of every kit; return the exit code."""
    return worst([_lock(folder, chosen) for folder in folders_of(chosen.kits)])


def _lock(folder: pathlib.Path, chosen: argparse.Namespace) -> int:
    from kitforge.cli.terminal import print_result
    from kitforge.pipeline import plan_kit
    from kitforge.release.families import choices_of, sizes_of
    from kitforge.release.findings.gather import unreadable_result
    from kitforge.release.lock import lock_of
    from kitforge.release.work import plugins

    if chosen.values and not chosen.check:
        raise KitforgeError("--set tries a value; kit.lock holds those of the kit. Write it into kit.yaml, or --check.")
    known = _known(folder, check=chosen.check)
    sizes, old = sizes_of(folder) or ("",), known or {}
    new: dict[str, Lock] = {size: old[size] for size in sizes if size in old}
    codes = []
    for choice in choices_of(folder, chosen.size or (), chosen.values):
        try:
            kit, plan = plan_kit(folder, plugins(), choice=choice, whole=False)
        except UnreadableKitError as error:
            print_result(unreadable_result(folder, error, size=choice.size))
            codes.append(UNREADABLE)
            continue
        new[choice.size] = lock_of(kit, plan, old.get(choice.size))
        if chosen.check:
            codes.append(_told(folder, choice.size, known, new[choice.size]))
    if not chosen.check and not codes:
        _write(folder / LOCK, new)
    return worst(codes)


def _known(folder: pathlib.Path, *, check: bool) -> Locks | None:
    from kitforge.release.lock import read_locks
    from kitforge.release.toml_files import UnfitTomlError

    try:
        return read_locks(folder)
    except UnfitTomlError as error:
        if check:
            raise
        echo_error(f"kitforge: {folder}: {error} It is written anew.")
        return None


def _told(folder: pathlib.Path, size: str, known: Locks | None, new: Lock) -> int:
    from kitforge.release.lock import changes, reason

    name = f"{folder} ({size})" if size else str(folder)
    if known is None or size not in known:
        echo(f"{name}: there is no {LOCK}; write it with `kitforge lock`")
        return FINDINGS
    found = list(changes(known[size], new))
    for change in found[:_MOST]:
        echo(f"  {change}")
    if found[_MOST:]:
        echo(f"  and {len(found) - _MOST} more")
    echo(
        f"{name}: {len(found)} numbers differ, because of {reason(known[size], new)}" if found else f"{name}: as locked"
    )
    return FINDINGS if found else FINE


def _write(path: pathlib.Path, locks: Locks) -> None:
    from kitforge.files.writing import write_whole
    from kitforge.release.lock import text_of

    try:
        write_whole(path, text_of(locks).encode("utf-8", "surrogatepass"))
    except OSError as problem:
        raise KitforgeError(f"Cannot write {path}: {problem.strerror or problem}.") from None
    echo(f"wrote {path}")
