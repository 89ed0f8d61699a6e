"""What a build is asked for and what it puts into the archive."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class BuildOptions:
    """machines: keys of the classes to print, empty for all of the kit's; units 'mm', 'in' or 'both';
    papers: 'a4' and/or 'letter'."""

    machines: tuple[str, ...] = ()
    units: str = "both"
    papers: tuple[str, ...] = ("a4", "letter")


@dataclass(frozen=True, slots=True)
class PackFile:
    """A file of the pack: relative name with forward slashes, bytes, and what it is for in one sentence."""

    name: str
    data: bytes
    about: str
