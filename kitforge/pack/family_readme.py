"""READ-ME-FIRST.txt of a pack of several sizes: which folder is which size, and what differs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING

from kitforge import __version__
from kitforge.language import current_language, decimal, later, say
from kitforge.model.pack import PackFile
from kitforge.model.units import format_length
from kitforge.pack.readme import LICENCE, plain, read_me_name
from kitforge.pack.sizes import size_lines
from kitforge.pack.wording import encode, heading, numbered, paragraph, printable

if TYPE_CHECKING:
    from kitforge.model.family import SizeFacts
    from kitforge.model.info import KitInfo

_ABOUT = later("Start here: which folder holds which size")


def family_read_me(title: str, info: KitInfo, sizes: Sequence[SizeFacts]) -> PackFile:
    """Return READ-ME-FIRST.txt for a pack with a folder for each size, in the language in use.

    title: what the family is called; info: of one of the sizes, which all share.
    """
    line = printable(say("{title}, version {version}", title=title, version=info.version))
    blocks = [
        f"{line}\n{'=' * len(line)}",
        paragraph(info.summary),
        heading(say("What to do first")),
        numbered(_steps()),
        heading(say("The sizes")),
        "\n\n".join("\n".join(_size(one, info)) for one in sizes),
        heading(say("Version and licence")),
        "\n".join(_origin(title, info)),
    ]
    return PackFile(read_me_name(), encode("\n\n".join(blocks)), _ABOUT, current_language().code)


def _steps() -> Iterable[str]:
    yield say("Choose the size. Each has a folder of its own, with everything that it needs.")
    yield say(
        "Open that folder and read {file} in it. Use drawings and settings of that folder alone.", file=read_me_name()
    )


def _size(one: SizeFacts, info: KitInfo) -> Iterator[str]:
    yield printable(one.name)
    yield _item(say("Folder: {name}", name=one.folder))
    for line in size_lines(one, lambda sides: _lengths(info, sides)):
        yield _item(plain(line).replace("×", "x"))


def _lengths(info: KitInfo, sides: Sequence[float]) -> str:
    return " x ".join(decimal(format_length(side, info.units)) for side in sides)


def _item(text: str) -> str:
    return paragraph(text, indent="  ", first="- ")


def _origin(title: str, info: KitInfo) -> Iterator[str]:
    yield paragraph(f"{title} {info.version}")
    yield paragraph(say("Author: {author}", author=info.author + (f" ({info.contact})" if info.contact else "")))
    yield paragraph(say("Licence: {licence}; see {file}", licence=info.licence, file=LICENCE))
    yield paragraph(say("Made with kitforge {version}.", version=__version__))
