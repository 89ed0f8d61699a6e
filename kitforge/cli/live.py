"""`kitforge live`: a page in the browser that follows the saved kit: the piece after each step, settings, findings."""

from __future__ import annotations

import argparse
import sys
from typing import TYPE_CHECKING

from kitforge.cli.common import add_choice
from kitforge.cli.kits import add_kit
from kitforge.language import SOURCE_LANGUAGE, languages
from kitforge.model.errors import KitforgeError

if TYPE_CHECKING:
    from kitforge.cli.common import Subparsers


def add_to(subparsers: Subparsers) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser("live", help="a page in the browser that follows the saved kit", description=__doc__)
    add_kit(parser)
    add_choice(parser, many=False)
    parser.add_argument(
        "--port", type=_port, default=0, help="port of 127.0.0.1 where the page is (default: one that is free)"
    )
    parser.add_argument(
        "--language", choices=languages(), default=SOURCE_LANGUAGE, help="language of the page (default: en)"
    )
    parser.add_argument("--no-open", action="store_true", help="print the address only; open no browser")
    parser.set_defaults(run=run)


def _port(typed: str) -> int:
    if not typed.isascii() or not typed.isdigit() or not 1024 <= int(typed) <= 65535:
        raise argparse.ArgumentTypeError(f"'{typed}' is no port from 1024 to 65535")
    return int(typed)


def run(chosen: argparse.Namespace) -> int:
    """Follow the kit until interrupted; return 0."""
    import threading
    import webbrowser

    from kitforge.cli.codes import FINE
    from kitforge.cli.lines import echo, echo_error
    from kitforge.live.session import LiveSession, following
    from kitforge.plugins import load_plugins
    from kitforge.release.families import one_choice

    choice = one_choice(chosen.kit, chosen.size, chosen.values)
    words = [*(["--size", chosen.size] if chosen.size else []), *_typed(chosen.values)]
    try:
        session = LiveSession(chosen.kit, choice, load_plugins(), chosen.port, words, echo_error, chosen.language)
    except OSError as problem:
        raise KitforgeError(
            f"The port {chosen.port} cannot be had: {problem.strerror or problem}. Choose another, or none."
        ) from None
    with following(session):
        echo(f"{session.server.address}")
        echo("  follows what is saved; only this machine can open it. Control and C end it.")
        sys.stdout.flush()
        if not chosen.no_open:
            webbrowser.open(session.server.address)
        try:
            threading.Event().wait()
        except KeyboardInterrupt:
            echo("ended")
    return FINE


def _typed(values: list[tuple[str, str]]) -> list[str]:
    return [word for name, value in values for word in ("--set", f"{name}={value}")]
