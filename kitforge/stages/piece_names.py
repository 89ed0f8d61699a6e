"""Findings about a piece of several that were written once say which: their place in kit.yaml alone does not."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from kitforge.model.findings import Finding
from kitforge.model.messages import msg

if TYPE_CHECKING:
    from kitforge.model.kit import Kit


def naming_pieces(found: Iterable[Finding], kit: Kit) -> Iterator[Finding]:
    """Yield the findings; one about a piece begins with its title, unless its words name the piece already."""
    pieces = {part.key: part.title for part in kit.parts if part.piece_of is not None}
    for one in found:
        title = pieces.get(one.part or "")
        said = str(one.message) if title else ""
        if title is None or title in said or (one.part or "") in said:
            yield one
        else:
            yield replace(one, message=msg("{piece}: {message}", piece=title, message=one.message))
