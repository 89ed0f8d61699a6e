"""What a build is asked for and what it puts into the archive."""

from __future__ import annotations

from kitforge.model.messages import Text
from kitforge.model.record import record


@record
class BuildOptions:
    """machines: keys of the classes to print, empty for all of the kit's; units 'mm', 'in' or 'both';
    papers: 'a4' and/or 'letter'; languages: codes of the languages to print in, see `kitforge.language`; theme: the
    name of an installed theme."""

    machines: tuple[str, ...] = ()
    units: str = "both"
    papers: tuple[str, ...] = ("a4", "letter")
    languages: tuple[str, ...] = ("en",)
    theme: str = "plain"


@record
class PackFile:
    """A file of the pack: relative name with forward slashes, bytes, and what it is for in one sentence.

    about: a message, or a text of the catalogue; language: the code of a file that is written in one, '' of others;
    guide: whether it leads through the whole job and is to be read first.
    """

    name: str
    data: bytes
    about: Text
    language: str = ""
    guide: bool = False
