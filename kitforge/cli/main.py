"""`kitforge`: the arguments of every subcommand, and the exit codes.

Exit codes: 0 fine; 1 findings forbid a release; 2 the kit or the call cannot be read; 3 a bug, with its traceback;
74 what was to be said could not be written (EX_IOERR of sysexits.h); 130 interrupted. Nothing heavy is imported here,
so that `kitforge --help` answers at once.
"""

from __future__ import annotations

import argparse
import errno
import gc
import os
import signal
import sys
import traceback
from collections.abc import Callable, Sequence
from typing import NoReturn

from kitforge import __version__
from kitforge.cli import (
    build,
    buy,
    cache,
    check,
    compare,
    completion,
    cost,
    defaults,
    explain,
    fix,
    live,
    lock,
    nest,
    new,
    plugins,
    release,
    schema,
    settings,
    sizes,
    stamp,
    tables,
)  # fmt: skip
from kitforge.cli.codes import BROKEN_PIPE, BUG, INTERRUPTED, OUTPUT_FAILED, TERMINATED, UNREADABLE
from kitforge.cli.lines import Parser, echo_error
from kitforge.model.errors import KitforgeError, Terminated, terminated

_SUBCOMMANDS = (
    check,
    settings,
    sizes,
    explain,
    build,
    fix,
    live,
    new,
    tables,
    plugins,
    schema,
    lock,
    nest,
    buy,
    cost,
    compare,
    release,
    stamp,
    cache,
    defaults,
    completion,
)

_TYPED_AS = {"tables": "list"}
"""Commands that are typed otherwise than their module is called."""

_COLLECTED_AFTER = (50_000, 20, 20)
"""Objects and rounds after which the collector looks for circles.

Modules, classes and records, which most of a short run makes, are never garbage; the interpreter's own figures look
through them again and again (measured: 4 % of a check).
"""

_FULL = frozenset({errno.ENOSPC, errno.EIO, errno.EDQUOT, errno.EFBIG})
_BUG_WORDS = "kitforge: this is a bug, not a mistake of yours; please report it with the lines above"

Run = Callable[[argparse.Namespace], int]


def entry() -> NoReturn:
    """Run the command line and leave the process with its exit code."""
    gc.set_threshold(*_COLLECTED_AFTER)
    _open_what_is_closed()
    _print_what_the_terminal_cannot_show()
    signal.signal(signal.SIGTERM, terminated)
    try:
        code = main()
    except Terminated:
        code = TERMINATED
    sys.exit(code)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line with `arguments` (the process's own by default) and return the exit code."""
    parser, parsers = _parser()
    words = list(sys.argv[1:] if arguments is None else arguments)
    _hint_at_command(words)
    chosen = parser.parse_args(words)
    run: Run | None = getattr(chosen, "run", None)
    if run is None:
        parser.print_help(sys.stderr)
        return UNREADABLE
    return _guarded(lambda one: run(_complete(one, words, parser, parsers)), chosen)


def _complete(
    chosen: argparse.Namespace, words: Sequence[str], parser: argparse.ArgumentParser, parsers: defaults.Parsers
) -> argparse.Namespace:
    """Return what was chosen with the defaults from beside the kits where nothing was typed."""
    with defaults.only_typed(parsers[chosen.command]):
        typed = parser.parse_args(words)
    defaults.with_defaults(chosen, typed, chosen.command, parsers)
    return chosen


def _parser() -> tuple[argparse.ArgumentParser, defaults.Parsers]:
    parser = Parser(
        prog="kitforge",
        description="From one kit definition to a release pack for hobby CNC router projects.",
        epilog="Exit codes: 0 fine, 1 findings forbid a release, 2 the kit or the call cannot be read, 3 a bug.",
    )
    parser.add_argument("--version", action="version", version=f"kitforge {__version__}")
    subparsers = parser.add_subparsers(title="commands", metavar="COMMAND", dest="command")
    for command in _SUBCOMMANDS:
        command.add_to(subparsers)
    return parser, subparsers.choices


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
        _speak_no_more()
        return BROKEN_PIPE
    except OSError as problem:
        if problem.filename is None and problem.errno in _FULL:
            _speak_no_more()
            echo_error(f"kitforge: what was to be said could not be written: {problem.strerror}")
            return OUTPUT_FAILED
        echo_error(traceback.format_exc().rstrip())
        echo_error(_BUG_WORDS)
        return BUG
    except Exception:
        echo_error(traceback.format_exc().rstrip())
        echo_error(_BUG_WORDS)
        return BUG
    return code


def _hint_at_command(arguments: Sequence[str]) -> None:
    """Say which command may be meant where the first word is none; the parser then refuses it."""
    typed = arguments[0] if arguments else "-"
    names = [command.__name__.rpartition(".")[2] for command in _SUBCOMMANDS]
    if typed.startswith("-"):
        return
    import difflib

    known = [_TYPED_AS.get(name, name) for name in names]
    near = [] if typed in known else difflib.get_close_matches(typed, known, 1)
    if near:
        echo_error(f"kitforge: there is no command '{typed}'. Did you mean '{near[0]}'?")


def _speak_no_more() -> None:
    """Let nothing more be written on standard output, which the interpreter would try, and complain, at its exit."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _open_what_is_closed() -> None:
    """Give a process that was started with closed streams somewhere to write, so that no file takes their places."""
    for name, number in (("stdin", 0), ("stdout", 1), ("stderr", 2)):
        if getattr(sys, name) is None:
            descriptor = os.open(os.devnull, os.O_RDWR)
            if descriptor != number:
                os.dup2(descriptor, number)
                os.close(descriptor)
            setattr(sys, name, open(number, "r" if number == 0 else "w", encoding="utf-8"))  # noqa: PTH123, SIM115


def _print_what_the_terminal_cannot_show() -> None:
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")
