"""Kitforge: one kit definition in, one release pack out."""

from kitforge.hooks import hookimpl

__version__ = "0.2.0"
__all__ = ["__version__", "hookimpl"]
