"""How the command line is called by the tests of releases."""

from __future__ import annotations

from collections.abc import Callable

Call = Callable[..., tuple[int, str, str]]
