"""`kitforge defaults`: shows what kitforge.toml beside the kits sets, and what else holds."""

from __future__ import annotations

import argparse
import contextlib
import pathlib
from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from kitforge.cli.codes import FINE
from kitforge.cli.kits import folder_of
from kitforge.cli.lines import echo
from kitforge.model.errors import KitforgeError
from kitforge.release.defaults import DEFAULTS, OPTIONS, defaults_file, read_defaults

if TYPE_CHECKING:
    from kitforge.cli.common import Subparsers

Parsers = Mapping[str, argparse.ArgumentParser]
_BESIDE_EACH_OTHER = {"machine": "machine_file", "verbose": "quiet", "quiet": "verbose"}
"""Options of which one rules out the other: what is typed counts before what is written."""


def add_to(subparsers: Subparsers) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser("defaults", help=f"show what {DEFAULTS} beside the kits sets", description=__doc__)
    parser.add_argument("kit", metavar="KIT", type=folder_of, nargs="?", default="x", help="a kit (default: one here)")
    parser.set_defaults(run=run, parsers=subparsers.choices)


def run(chosen: argparse.Namespace) -> int:
    """Print the file, and every option that it may set with its value; return the exit code."""
    path = defaults_file([pathlib.Path(chosen.kit)])
    written = {} if path is None else read_defaults(path)
    beside = pathlib.Path(chosen.kit).resolve().parent
    echo(f"{path}:" if path is not None else f"There is no {DEFAULTS} in {beside}; built in:")
    for command, names in OPTIONS.items():
        for name in names:
            action = _action(chosen.parsers[command], name)
            own = written.get(command, {})
            value = _value(path, command, action, own[name]) if path is not None and name in own else action.default
            echo(f"  {command:9} {name:9} {_words(value)}{'' if name not in own else f'  ({DEFAULTS})'}")
    return FINE


def with_defaults(chosen: argparse.Namespace, typed: argparse.Namespace, command: str, parsers: Parsers) -> None:
    """Put what kitforge.toml says into `chosen` where nothing was typed. Raises KitforgeError for what it cannot say.

    typed: what was typed alone, without anything built in.
    """
    names = OPTIONS.get(command)
    kits = [getattr(chosen, "kit", None), *getattr(chosen, "kits", ())]
    path = defaults_file(folder_of(one) for one in kits if one is not None) if names else None
    if path is None:
        return
    for name, written in read_defaults(path).get(command, {}).items():
        action = _action(parsers[command], name)
        other = _BESIDE_EACH_OTHER.get(name, "")
        if not hasattr(typed, action.dest) and not getattr(typed, other, None):
            setattr(chosen, action.dest, _value(path, command, action, written))


def _action(parser: argparse.ArgumentParser, name: str) -> argparse.Action:
    return next(action for action in actions_of(parser) if f"--{name}" in action.option_strings)


def actions_of(parser: argparse.ArgumentParser) -> Sequence[argparse.Action]:
    """Return the options and arguments of a parser, which argparse tells nobody otherwise."""
    return parser._actions


def _value(path: pathlib.Path | None, command: str, action: argparse.Action, written: object) -> Any:  # noqa: ANN401
    """Return what stands in the file as the option would have it."""
    assert path is not None
    place = f"{path}: {action.dest} in [{command}]"
    if action.nargs == 0:
        if not isinstance(written, bool):
            raise KitforgeError(f"{place} is true or false.")
        return written
    many = isinstance(action, argparse._AppendAction)
    listed = written if many and isinstance(written, list) else [written]
    found = [_one(place, action, one) for one in listed]
    if action.dest == "output":
        return path.parent / found[0]
    return found if many else found[0]


def _one(place: str, action: argparse.Action, written: object) -> Any:  # noqa: ANN401
    text = str(written) if isinstance(written, str | int) and not isinstance(written, bool) else None
    if text is None:
        raise KitforgeError(f"{place} is a text or a number.")
    try:
        found = action.type(text) if callable(action.type) else text
    except argparse.ArgumentTypeError as error:
        raise KitforgeError(f"{place}: {error}.") from None
    if action.choices is not None and found not in action.choices:
        raise KitforgeError(f"{place}: '{text}' is none of {', '.join(map(str, action.choices))}.")
    return found


def _words(value: object) -> str:
    if isinstance(value, list | tuple):
        return ", ".join(map(str, value)) or "-"
    if value is None:
        return "-"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)


@contextlib.contextmanager
def only_typed(parser: argparse.ArgumentParser) -> Iterator[None]:
    """Let a parser tell for a while what is typed, and nothing that is built in."""
    before = [(action, action.default) for action in actions_of(parser)]
    for action, _default in before:
        action.default = argparse.SUPPRESS
    try:
        yield
    finally:
        for action, default in before:
            action.default = default
