"""Whether anything can be printed on this machine, asked before the work that would be lost."""

from __future__ import annotations

import contextlib
import io

from kitforge.print import fonts
from kitforge.print.errors import PrintError

PACKAGES = ("libpango-1.0-0", "libpangoft2-1.0-0", "libharfbuzz-subset0")
"""Debian packages with the libraries that the typesetter loads."""


def require_printing() -> None:
    """Load the typesetter and its typeface. Raises PrintError, one line that names what to install."""
    fonts.shipped_fonts()
    try:
        # the typesetter explains a missing library on standard output, in many lines
        with contextlib.redirect_stdout(io.StringIO()):
            import weasyprint  # noqa: F401
    except (ImportError, OSError) as error:
        raise PrintError(
            "Nothing can be printed: a library of the typesetter is missing. "
            f"Debian, Ubuntu: sudo apt-get install {' '.join(PACKAGES)}; macOS: brew install pango harfbuzz."
        ) from error
