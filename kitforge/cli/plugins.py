"""`kitforge plugins`: lists what is loaded, from which distribution, and which hooks it serves."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from kitforge.cli.common import Subparsers


def add_to(subparsers: Subparsers) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser("plugins", help="list the plugins that are loaded", description=__doc__)
    parser.set_defaults(run=run)


def run(_chosen: argparse.Namespace) -> int:
    """Print one row per plugin; return the exit code."""
    from kitforge.cli.codes import FINE
    from kitforge.cli.terminal import console, table
    from kitforge.model.characters import clean
    from kitforge.plugins import load_plugins

    rows = table(None, ("plugin", "distribution", "hooks"))
    for plugin in load_plugins().loaded:
        rows.add_row(clean(plugin.name), clean(f"{plugin.distribution} {plugin.version}"), ", ".join(plugin.hooks))
    console().print(rows)
    return FINE
