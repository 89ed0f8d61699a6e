"""The console that everything for people is printed on. Apart, because it loads rich."""

from __future__ import annotations

from typing import NoReturn

from rich.console import Console


class Screen(Console):
    """A console that leaves it to the command line what happens when the reader has gone."""

    def on_broken_pipe(self) -> NoReturn:
        """Raise BrokenPipeError; rich itself would leave with 1, which means findings here."""
        raise BrokenPipeError
