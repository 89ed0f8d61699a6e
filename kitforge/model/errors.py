"""Errors that a user's input causes; anything else that is raised is a bug and shows a traceback."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NoReturn

from kitforge.model.messages import Message

if TYPE_CHECKING:
    from types import FrameType

    from kitforge.model.findings import Finding


class Terminated(BaseException):
    """The process was told to end: unwinds what is being done, like an interruption from the keyboard.

    It is no error: no `except Exception` takes it, no plugin is blamed for it and nobody goes on after it.
    """


def terminated(_number: int, _frame: FrameType | None) -> NoReturn:
    """Raise Terminated: what a process does on the signal that ends it, so that nothing half-written is left."""
    raise Terminated


class KitforgeError(Exception):
    """A user's mistake in plain words: what is wrong and what to do. The command line exits with 2."""


class RefusedValueError(ValueError):
    """A value that cannot be used, with the message that says why, without a full stop."""

    def __init__(self, message: Message) -> None:
        super().__init__(str(message))
        self.message = message


def refusal(error: ValueError) -> Message:
    """Return why a value was refused, without a full stop."""
    return error.message if isinstance(error, RefusedValueError) else Message(str(error).rstrip("."))


class UnreadableKitError(KitforgeError):
    """The kit cannot be read. Carries every problem that was met, not only the first; units: the author's."""

    def __init__(self, problems: Sequence[Finding], units: str = "mm") -> None:
        super().__init__("\n".join(problem.as_line() for problem in problems))
        self.problems = tuple(problems)
        self.units = units


class PluginError(KitforgeError):
    """A plugin cannot be loaded or breaks its contract; names the plugin and its distribution."""
