"""What can go wrong in print, in words for the person at the command line."""

from __future__ import annotations

from kitforge.model.errors import KitforgeError


class PrintError(KitforgeError):
    """A document cannot be printed: a missing character, a broken theme, a picture that is not there."""


class ThemeError(PrintError):
    """A theme cannot be found, is too large, or asks for something that a theme may not have."""
