"""`kitforge completion`: prints a script by which a shell completes commands, options and what these may be."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from typing import TYPE_CHECKING

from kitforge.cli.codes import FINE
from kitforge.cli.defaults import Parsers, actions_of
from kitforge.cli.lines import echo_text

if TYPE_CHECKING:
    from kitforge.cli.common import Subparsers

_HOW = (
    'bash: eval "$(kitforge completion bash)" in ~/.bashrc; zsh the same in ~/.zshrc, after compinit; fish: kitforge \
completion fish > ~/.config/fish/completions/kitforge.fish'
)


def add_to(subparsers: Subparsers) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser(
        "completion", help="print a script by which a shell completes what is typed", description=__doc__, epilog=_HOW
    )
    parser.add_argument("shell", choices=("bash", "zsh", "fish"))
    parser.set_defaults(run=run, parsers=subparsers.choices)


def run(chosen: argparse.Namespace) -> int:
    """Print the script; return the exit code."""
    lines = _fish(chosen.parsers) if chosen.shell == "fish" else _bash(chosen.parsers, zsh=chosen.shell == "zsh")
    echo_text("\n".join(lines))
    return FINE


def _bash(parsers: Parsers, *, zsh: bool) -> Iterator[str]:
    """Yield a function that looks at the command and at the word before; zsh runs it by its own layer for bash."""
    if zsh:
        yield "autoload -U +X bashcompinit && bashcompinit"
    yield "_kitforge() {"
    yield '  local word="${COMP_WORDS[COMP_CWORD]}" before="${COMP_WORDS[COMP_CWORD-1]}" words=""'
    yield '  if [ "$COMP_CWORD" -eq 1 ]; then'
    yield f'    COMPREPLY=($(compgen -W "{" ".join(parsers)} --help --version" -- "$word")); return'
    yield "  fi"
    yield '  case "${COMP_WORDS[1]} $before" in'
    for command, parser in parsers.items():
        for action in actions_of(parser):
            if action.option_strings and action.nargs != 0:
                places = "|".join(f'"{command} {one}"' for one in action.option_strings)
                yield f"    {places}) {_told(action)}; return;;"
    yield "  esac"
    yield '  case "${COMP_WORDS[1]}" in'
    for command, parser in parsers.items():
        yield f'    {command}) words="{" ".join(_words(parser))}";;'
    yield "  esac"
    yield '  case "$word" in'
    yield '    -*) COMPREPLY=($(compgen -W "$words" -- "$word"));;'
    yield '    *) COMPREPLY=($(compgen -W "$(printf "%s\\n" "$words" | tr " " "\\n" | grep -v "^-")" -- "$word")'
    yield '        $(compgen -f -- "$word"));;'
    yield "  esac"
    yield "}"
    yield "complete -o filenames -F _kitforge kitforge"


def _told(action: argparse.Action) -> str:
    """Return what completes the value of an option: its choices, else files."""
    if action.choices is not None:
        return f'COMPREPLY=($(compgen -W "{" ".join(map(str, action.choices))}" -- "$word"))'
    return 'COMPREPLY=($(compgen -f -- "$word"))'


def _words(parser: argparse.ArgumentParser) -> Iterator[str]:
    """Yield the options of a command, and what a place without an option may be."""
    for action in actions_of(parser):
        yield from action.option_strings
        if not action.option_strings and action.choices is not None:
            yield from map(str, action.choices)


def _fish(parsers: Parsers) -> Iterator[str]:
    yield "complete -c kitforge -n __fish_use_subcommand -f -a " + f"'{' '.join(parsers)}'"
    for command, parser in parsers.items():
        seen = f"-n '__fish_seen_subcommand_from {command}'"
        for action in actions_of(parser):
            for option in (one for one in action.option_strings if one.startswith("--")):
                value = f" -x -a '{' '.join(map(str, action.choices))}'" if action.choices is not None else " -r"
                yield f"complete -c kitforge {seen} -l {option[2:]}{'' if action.nargs == 0 else value}"
            if not action.option_strings and action.choices is not None:
                yield f"complete -c kitforge {seen} -f -a '{' '.join(map(str, action.choices))}'"
