"""Errors that a user's input causes; anything else that is raised is a bug and shows a traceback."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from kitforge.model.findings import Finding


class KitforgeError(Exception):
    """A user's mistake in plain words: what is wrong and what to do. The command line exits with 2."""


class UnreadableKitError(KitforgeError):
    """The kit cannot be read. Carries every problem that was met, not only the first; units: the author's."""

    def __init__(self, problems: Sequence[Finding], units: str = "mm") -> None:
        super().__init__("\n".join(problem.as_line() for problem in problems))
        self.problems = tuple(problems)
        self.units = units


class PluginError(KitforgeError):
    """A plugin cannot be loaded or breaks its contract; names the plugin and its distribution."""
