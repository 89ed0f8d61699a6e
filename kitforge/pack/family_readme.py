"""READ-ME-FIRST.txt of a pack of several sizes: which folder is which size, and what differs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING

from kitforge import __version__
from kitforge.language import current_language, decimal, later, say
from kitforge.model.pack import PackFile
from kitforge.model.units import format_length
from kitforge.pack.names import pack_name
from kitforge.pack.options import chosen_machines
from kitforge.pack.overall import overall_size
from kitforge.pack.readme import LICENCE, read_me_name, time_items
from kitforge.pack.wording import encode, heading, numbered, paragraph, printable

if TYPE_CHECKING:
    from kitforge.model.kit import Kit, KitInfo
    from kitforge.model.plan import Plan

_ABOUT = later("Start here: which folder holds which size")


def family_read_me(title: str, planned: Sequence[tuple[Kit, Plan]], machines: Sequence[str] = ()) -> PackFile:
    """Return READ-ME-FIRST.txt for a pack with a folder for each of the kits, in the language in use.

    title: what the family is called; machines: keys of the classes that are printed, empty for all of the kit's.
    """
    info = planned[0][0].info
    line = printable(say("{title}, version {version}", title=title, version=info.version))
    blocks = [
        f"{line}\n{'=' * len(line)}",
        paragraph(info.summary),
        heading(say("What to do first")),
        numbered(_steps()),
        heading(say("The sizes")),
        "\n\n".join("\n".join(_size(kit, plan, machines)) for kit, plan in planned),
        heading(say("Version and licence")),
        "\n".join(_origin(title, info)),
    ]
    return PackFile(read_me_name(), encode("\n\n".join(blocks)), _ABOUT, current_language().code)


def _steps() -> Iterable[str]:
    yield say("Choose the size. Each has a folder of its own, with everything that it needs.")
    yield say(
        "Open that folder and read {file} in it. Use drawings and settings of that folder alone.", file=read_me_name()
    )


def _size(kit: Kit, plan: Plan, machines: Sequence[str]) -> Iterator[str]:
    info = kit.info
    yield printable(info.title)
    yield _item(say("Folder: {name}", name=pack_name(info.slug, info.version, size=info.size)))
    if (overall := overall_size(kit)) is not None:
        yield _item(say("Finished piece: {size}", size=_lengths(kit, overall)))
    for stock in kit.stock.values():
        sheets = stock.count or sum(sheet.stock.key == stock.key for sheet in plan.sheets)
        yield _item(f"{sheets} x {_lengths(kit, (stock.length, stock.width, stock.actual))}")
    copies = sum(part.count for part in kit.parts)
    yield _item(say("Parts to cut: {count}", count=str(copies)))
    yield from time_items(kit, plan, chosen_machines(plan, machines))


def _lengths(kit: Kit, sides: Sequence[float]) -> str:
    return " x ".join(decimal(format_length(side, kit.info.units)) for side in sides)


def _item(text: str) -> str:
    return paragraph(text, indent="  ", first="- ")


def _origin(title: str, info: KitInfo) -> Iterator[str]:
    yield paragraph(f"{title} {info.version}")
    yield paragraph(say("Author: {author}", author=info.author + (f" ({info.contact})" if info.contact else "")))
    yield paragraph(say("Licence: {licence}; see {file}", licence=info.licence, file=LICENCE))
    yield paragraph(say("Made with kitforge {version}.", version=__version__))
