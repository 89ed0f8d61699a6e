"""Kitforge: one kit definition in, one release pack out."""

__version__ = "0.1.0"
