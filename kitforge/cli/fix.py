"""`kitforge fix`: the change of kit.yaml that mends a finding, where it is known, as a difference to look at first."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from kitforge.cli.common import add_choice
from kitforge.cli.kits import add_kit
from kitforge.model.errors import KitforgeError, UnreadableKitError
from kitforge.model.findings import KIT_FILE

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from kitforge.cli.common import Subparsers
    from kitforge.model.family import KitChoice
    from kitforge.model.findings import Finding


def add_to(subparsers: Subparsers) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser("fix", help="show or write what mends a finding", description=__doc__)
    add_kit(parser)
    parser.add_argument("code", metavar="CODE", help="code of the findings, as `kitforge check` prints it")
    add_choice(parser, many=False)
    group = parser.add_mutually_exclusive_group()
    group.add_argument("--diff", action="store_true", help="print the difference and write nothing (default)")
    group.add_argument("--write", action="store_true", help="also write it into kit.yaml")
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Print the difference, and write it where asked for; return the exit code."""
    from kitforge.cli.codes import FINE, UNREADABLE
    from kitforge.cli.lines import echo_text
    from kitforge.cli.terminal import print_result
    from kitforge.files.writing import write_whole
    from kitforge.release.families import one_choice
    from kitforge.release.findings.gather import unreadable_result
    from kitforge.stages.mending import difference, mended
    from kitforge.stages.read import read

    choice = one_choice(chosen.kit, chosen.size, chosen.values)
    try:
        written = read(chosen.kit)
        findings = _found(chosen.kit, choice, chosen.code)
    except UnreadableKitError as error:
        print_result(unreadable_result(chosen.kit, error, size=choice.size))
        return UNREADABLE
    text = mended(written, _meant(chosen.code, findings))
    found = difference(written, text)
    if not found:
        raise KitforgeError(f"What would mend '{chosen.code}' is not written at an entry of {KIT_FILE}.")
    echo_text(found)
    if chosen.write:
        if read(chosen.kit).text != written.text:
            raise KitforgeError(f"{KIT_FILE} has changed meanwhile; nothing was written. Call it again.")
        mark = b"\xef\xbb\xbf" if written.files[KIT_FILE].startswith(b"\xef\xbb\xbf") else b""
        write_whole(chosen.kit / KIT_FILE, mark + text.encode("utf-8"))
    return FINE


def _found(kit: Path, choice: KitChoice, code: str) -> Sequence[Finding]:
    """Return what the check finds. Raises UnreadableKitError where that is in the way and no change of it is known."""
    from kitforge.pipeline import check_kit
    from kitforge.plugins import load_plugins

    try:
        return check_kit(kit, load_plugins(), choice=choice).findings
    except UnreadableKitError as error:
        if any(one.code == code and one.mend is not None for one in error.problems):
            return error.problems
        raise


def _meant(code: str, findings: Sequence[Finding]) -> list[Finding]:
    """Return the findings with a code that know what mends them. Raises KitforgeError where there are none."""
    found = [one for one in findings if one.code == code]
    known = [one for one in found if one.mend is not None]
    if known:
        return known
    codes = sorted({one.code for one in findings if one.mend is not None})
    others = f" Known for: {', '.join(codes)}." if codes else ""
    if not found:
        raise KitforgeError(f"The check finds no '{code}' in this kit.{others}")
    raise KitforgeError(f"No change of {KIT_FILE} is known that mends '{code}'; the check says what to do.{others}")
