"""`kitforge`: the arguments of every subcommand, and the exit codes.

Exit codes: 0 fine; 1 findings forbid a release; 2 the kit or the call cannot be read; 3 a bug, with its traceback;
130 interrupted. Nothing heavy is imported here, so that `kitforge --help` answers at once.
"""

from __future__ import annotations

import argparse
import os
import signal
import sys
import traceback
from collections.abc import Callable, Sequence
from types import FrameType
from typing import NoReturn

from kitforge import __version__
from kitforge.cli import (
    build,
    cache,
    check,
    compare,
    explain,
    lock,
    new,
    plugins,
    release,
    schema,
    settings,
    tables,
)  # fmt: skip
from kitforge.cli.codes import BROKEN_PIPE, BUG, INTERRUPTED, TERMINATED, UNREADABLE
from kitforge.cli.lines import Parser, echo_error
from kitforge.model.errors import KitforgeError

_SUBCOMMANDS = (check, settings, explain, build, new, tables, plugins, schema, lock, compare, release, cache)

Run = Callable[[argparse.Namespace], int]


def entry() -> NoReturn:
    """Run the command line and leave the process with its exit code."""
    _print_what_the_terminal_cannot_show()
    signal.signal(signal.SIGTERM, _terminate)
    sys.exit(main())


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line with `arguments` (the process's own by default) and return the exit code."""
    parser = _parser()
    chosen = parser.parse_args(arguments)
    run: Run | None = getattr(chosen, "run", None)
    if run is None:
        parser.print_help(sys.stderr)
        return UNREADABLE
    return _guarded(run, chosen)


def _parser() -> argparse.ArgumentParser:
    parser = Parser(
        prog="kitforge",
        description="From one kit definition to a release pack for hobby CNC router projects.",
        epilog="Exit codes: 0 fine, 1 findings forbid a release, 2 the kit or the call cannot be read, 3 a bug.",
    )
    parser.add_argument("--version", action="version", version=f"kitforge {__version__}")
    subparsers = parser.add_subparsers(title="commands", metavar="COMMAND")
    for command in _SUBCOMMANDS:
        command.add_to(subparsers)
    return parser


def _guarded(run: Run, chosen: argparse.Namespace) -> int:
    try:
        code = run(chosen)
        sys.stdout.flush()
    except KitforgeError as mistake:
        echo_error(f"kitforge: {mistake}")
        return UNREADABLE
    except KeyboardInterrupt:
        echo_error("kitforge: interrupted; nothing half-written is left behind")
        return INTERRUPTED
    except BrokenPipeError:
        # the reader has gone (as in `kitforge check kit | head`): keep the interpreter from complaining at its exit
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return BROKEN_PIPE
    except Exception:
        echo_error(traceback.format_exc().rstrip())
        echo_error("kitforge: this is a bug, not a mistake of yours; please report it with the lines above")
        return BUG
    return code


def _terminate(_number: int, _frame: FrameType | None) -> NoReturn:
    sys.exit(TERMINATED)  # unwinds, so that a half-written zip is removed


def _print_what_the_terminal_cannot_show() -> None:
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")
