"""Whether anything can be printed on this machine, asked before the work that would be lost."""

from __future__ import annotations

import contextlib
import io
import sys

from kitforge.print.errors import PrintError

PACKAGES = ("libpango-1.0-0", "libpangoft2-1.0-0", "libharfbuzz-subset0")
"""Debian packages with the libraries that the typesetter loads."""


def load_typesetter() -> None:
    """Import the typesetter without running any other program.

    It asks for its libraries by several names each, and the standard library looks for those that the loader does not
    know by starting a compiler and a linker. The names that the loader knows are among them, so nothing is looked for.
    """
    if "weasyprint" in sys.modules or not sys.platform.startswith("linux"):
        import weasyprint
    else:
        import ctypes.util

        before = ctypes.util.find_library
        ctypes.util.find_library = _found_by_nobody
        try:
            import weasyprint  # noqa: F401
        finally:
            ctypes.util.find_library = before
    _drop_space_above_tables()


def _drop_space_above_tables() -> None:
    """Let `margin-break: discard` hold for tables too: their margins are those of the box around them, it is not.

    The typesetter takes every page that has a name, as those on Letter have, for one that was begun on purpose, and
    keeps the space above what comes first on it otherwise.
    """
    from weasyprint.css.properties import TABLE_WRAPPER_BOX_PROPERTIES

    TABLE_WRAPPER_BOX_PROPERTIES.add("margin_break")


def _found_by_nobody(name: str) -> str | None:  # noqa: ARG001 - called by name
    return None


def require_printing() -> None:
    """Load the typesetter and its typeface. Raises PrintError, one line that names what to install."""
    from kitforge.print import fonts

    fonts.shipped_fonts()
    try:
        # the typesetter explains a missing library on standard output, in many lines
        with contextlib.redirect_stdout(io.StringIO()):
            load_typesetter()
    except (ImportError, OSError) as error:
        raise PrintError(
            "Nothing can be printed: a library of the typesetter is missing. "
            f"Debian, Ubuntu: sudo apt-get install {' '.join(PACKAGES)}; macOS: brew install pango harfbuzz."
        ) from error
