"""`kitforge compare`: what differs between two packs, or a pack and a kit, in the order in which a buyer asks."""

from __future__ import annotations

import argparse
import json
import pathlib
from typing import TYPE_CHECKING

from kitforge.cli.codes import FINE, UNREADABLE
from kitforge.cli.lines import echo, echo_text
from kitforge.model.errors import UnreadableKitError

if TYPE_CHECKING:
    from kitforge.cli.common import Subparsers
    from kitforge.release.compare import Comparison


def add_to(subparsers: Subparsers) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser("compare", help="say what differs between two packs or kits", description=__doc__)
    parser.add_argument("old", metavar="OLD", type=pathlib.Path, help="the zip that buyers have, or a kit's folder")
    parser.add_argument("new", metavar="NEW", type=pathlib.Path, help="the zip or the kit's folder to come")
    parser.add_argument(
        "--size", metavar="NAME", help="the size of a kit's folder (default: that of the pack, or the first)"
    )
    parser.add_argument(
        "--format",
        choices=("text", "changes", "errata", "json"),
        default="text",
        help="what differs (text, json), a draft for `changes` in kit.yaml, or a notice for buyers of the old pack",
    )
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Print what differs; return the exit code."""
    from kitforge.cli.terminal import print_result
    from kitforge.release.compare import changes_entry, compare, errata_notice, next_version, told
    from kitforge.release.findings.gather import unreadable_result
    from kitforge.release.findings.waivers import today
    from kitforge.release.state import size_of, state_of

    states = []
    size = chosen.size or size_of(chosen.old) or size_of(chosen.new)
    for place in (chosen.old, chosen.new):
        try:
            states.append(state_of(place, size))
        except UnreadableKitError as error:
            print_result(unreadable_result(place, error))
            return UNREADABLE
    found = compare(*states)
    if chosen.format == "json":
        echo_text(json.dumps(_as_data(found, next_version(found.old.version, found.weight)), indent=2))
    elif chosen.format == "changes":
        echo_text(changes_entry(found, today().isoformat()))
    elif chosen.format == "errata":
        echo_text(errata_notice(found))
    else:
        told(found, echo)
        echo(f"Next version: {next_version(found.old.version, found.weight)}" if found.changed else "Nothing differs.")
    return FINE


def _as_data(found: Comparison, version: str) -> dict[str, object]:
    topics = [{"question": one.question, "answer": one.answer, "lines": list(one.lines)} for one in found.topics]
    return {"old": found.old.version, "new": found.new.version, "topics": topics, "next_version": version}
