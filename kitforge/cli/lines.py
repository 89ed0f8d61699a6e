"""The only way to print text, except through the console: what would steer a terminal is replaced.

Text of a kit, names of files and even arguments may hold characters that move the cursor or turn the direction of
reading, and some that cannot be encoded at all.
"""

from __future__ import annotations

import argparse
import sys
from typing import Any

from kitforge.model.characters import clean


def echo(line: str) -> None:
    """Print one line on standard output."""
    print(clean(line))


def echo_text(text: str) -> None:
    """Print a text of several lines, such as JSON, on standard output."""
    print(clean(text.rstrip("\n"), keep="\n"))


def echo_error(text: str) -> None:
    """Print a message of one or several lines on standard error."""
    print(clean(text, keep="\n"), file=sys.stderr)


class Parser(argparse.ArgumentParser):
    """A parser of arguments whose messages are cleaned as well; they repeat what was typed."""

    def _print_message(self, message: str, file: Any = None) -> None:  # noqa: ANN401 - as argparse has it
        super()._print_message(clean(message, keep="\n") if message else message, file)
