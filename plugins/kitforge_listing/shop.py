"""What a buyer may do with pieces and files, in plain words, and what a shop's form asks the seller for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from kitforge.language import inside, later, say, say_as
from kitforge.model.facts import PieceUse
from kitforge.pack.readme import LICENCE
from kitforge.print.figures import listed
from kitforge.workshop.licences import licence_terms

if TYPE_CHECKING:
    from kitforge.model.info import KitInfo
    from kitforge.model.kit import Kit

_BY_USE = {
    PieceUse.OUTDOORS: later("outdoors"),
    PieceUse.FOOD: later("kitchen"),
    PieceUse.CHILDREN: later("for children"),
    PieceUse.WALL: later("hangs on a wall"),
}
_FORMS = ("DXF", "SVG", "PDF")
_AFTER_THE_COVER = ("close-up", "apart", "parts")


@dataclass(frozen=True, slots=True)
class ShopPictures:
    """Names of the pictures in the pack. covers: the one to show first, then its other forms; more: by what they show;
    steps: in order."""

    covers: Sequence[str] = ()
    more: Mapping[str, str] = field(default_factory=dict)
    steps: Sequence[str] = ()

    @property
    def in_order(self) -> list[str]:
        """Those to show, the first first: the piece, a place of it, its parts, its last step."""
        named = (self.more[kind] for kind in _AFTER_THE_COVER if kind in self.more)
        return [*self.covers[:1], *named, *self.steps[-1:]]


NO_PICTURES = ShopPictures()


def allowed(info: KitInfo) -> Iterator[str]:
    """Yield whether pieces may be sold and files passed on: the author's words, or what the licence's text says."""
    terms = licence_terms().get(info.licence)
    if info.licence_words:
        yield info.licence_words
    elif terms is None:
        yield say("{file} says what is allowed; where it does not, ask {author}.", file=LICENCE, author=info.author)
    else:
        yield (
            say("Pieces that you make may be sold: the licence allows use for money.")
            if terms.money
            else say("Pieces may not be sold under this licence: it allows no use for money. Ask {author}, who may "
                     "allow it.", author=info.author)
        )  # fmt: skip
        if not terms.changed:
            yield say("The files may be passed on as they are, but not changed ones.")
        elif terms.same:
            yield say("The files, changed ones too, may be passed on under the same licence.")
        else:
            yield say("The files, changed ones too, may be passed on.")
        if terms.credit:
            yield say("Name {author} and the licence when you do.", author=info.author)
    yield say("In short, and no legal advice: {file} counts.", file=LICENCE)


def form(kit: Kit, pictures: ShopPictures) -> Iterator[str]:
    """Yield a title, keywords and the order of the pictures for a shop's form."""
    yield say("Title: {words}", words=say("{title}: plans for a CNC router", title=kit.info.title))
    yield say("Keywords: {words}", words=", ".join(keywords(kit)))
    for number, name in enumerate(pictures.in_order, 1):
        yield say("Picture {number}: {name}", number=number, name=name)
    if others := list(pictures.covers[1:]):
        yield say("Where a shop crops or wants white: {names}", names=listed(others))


def keywords(kit: Kit) -> tuple[str, ...]:
    """Return what a search should find the kit by: the author's words, else what is known of it, each once."""
    if kit.info.keywords:
        return kit.info.keywords
    woods = (inside(say_as(stock.material.name)) for stock in kit.stock.values())
    uses = (say_as(_BY_USE[use]) for use in kit.info.uses if use in _BY_USE)
    title = kit.family.title or kit.info.title
    return tuple(dict.fromkeys((title, say("CNC router"), say("woodworking plans"), *woods, *uses, *_FORMS)))
