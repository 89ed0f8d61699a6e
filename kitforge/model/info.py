"""What a kit is called, who made it, and what may be done with it."""

from __future__ import annotations

from kitforge.model.facts import Change, PieceUse
from kitforge.model.record import record


@record
class KitInfo:
    """What the kit is and who made it. units: 'mm' or 'in' first in print; licence: SPDX expression.

    uses: where and how the finished piece is used; empty where the author does not say. size: key of the size, '' for
    a kit of one size; the title names it then. licence_words: the author's own words on what is allowed; keywords: what
    a shop's search should find the kit by.
    """

    title: str
    slug: str
    version: str
    author: str
    licence: str
    summary: str
    skill: str
    units: str
    licence_text: str | None = None
    licence_words: str | None = None
    released: str | None = None
    contact: str | None = None
    changes: tuple[Change, ...] = ()
    uses: tuple[PieceUse, ...] = ()
    size: str = ""
    keywords: tuple[str, ...] = ()
