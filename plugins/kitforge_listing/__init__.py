"""What a seller needs for the shop page: the facts of the kit as plain text, and pictures of fixed sizes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from kitforge.hooks import hookimpl
from kitforge.language import later
from kitforge_listing.kinds import KINDS

if TYPE_CHECKING:
    from kitforge.model.findings import Finding
    from kitforge.model.kit import Kit
    from kitforge.model.pack import BuildOptions, PackFile
    from kitforge.model.plan import Plan

ABOUT_TEXT = later("The facts of the kit for a shop page: size, time, cutters, what is included, licence.")
ABOUT_COVER = later("The finished piece on a warm floor, for a shop page.")
ABOUT_WHITE = later("The finished piece on pure white, for a shop page.")
ABOUT_PARTS = later("All parts on a table, for a shop page.")
ABOUT_APART = later("The piece pulled apart, for a shop page.")
ABOUT_CLOSE = later("A place of the piece close by, for a shop page.")
ABOUT_STEP = later("The work after one step, for a shop page, 1200 by 900 dots.")

__all__ = ["KINDS", "kitforge_check", "kitforge_render"]


@hookimpl
def kitforge_check(kit: Kit) -> Iterator[Finding]:
    """Yield what the cover would show wrongly."""
    from kitforge_listing.check import check_cover

    yield from check_cover(kit)


@hookimpl
def kitforge_render(kit: Kit, plan: Plan, options: BuildOptions) -> Iterable[PackFile]:
    """Return `listing.txt` in each language, the covers and one `pictures/step-NN.jpg` for each step."""
    from kitforge.language import file_stem, use_language
    from kitforge.model.own_words import in_language
    from kitforge.model.pack import PackFile
    from kitforge.pack.wording import encode
    from kitforge_listing.pictures import cover_pictures, more_pictures, step_pictures
    from kitforge_listing.shop import ShopPictures
    from kitforge_listing.text import listing

    about = {"parts": ABOUT_PARTS, "apart": ABOUT_APART, "close-up": ABOUT_CLOSE}
    covers = [
        PackFile(f"pictures/{name}.jpg", data, ABOUT_WHITE if "white" in name else ABOUT_COVER)
        for name, data in cover_pictures(kit, plan)
    ]
    more = {name: PackFile(f"pictures/{name}.jpg", data, about[name]) for name, data in more_pictures(kit, plan)}
    steps = [PackFile(f"pictures/{name}.jpg", data, ABOUT_STEP) for name, data in step_pictures(kit, plan)]
    pictures = ShopPictures(
        [_short(cover) for cover in covers],
        {name: _short(picture) for name, picture in more.items()},
        [_short(step) for step in steps],
    )
    for code in options.languages:
        with use_language(code):
            yield PackFile(
                f"{file_stem('listing')}.txt",
                encode(listing(*in_language((kit, plan), code), options, pictures)),
                ABOUT_TEXT,
                code,
            )
    yield from (*covers, *more.values(), *steps)


def _short(picture: PackFile) -> str:
    return picture.name.rpartition("/")[2]
