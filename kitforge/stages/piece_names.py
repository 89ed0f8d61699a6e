"""Findings about a piece of several that were written once say which: their place in kit.yaml alone does not."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from kitforge.model.findings import Finding
from kitforge.model.messages import Text, msg

if TYPE_CHECKING:
    from kitforge.model.kit import Kit


def naming_pieces(found: Iterable[Finding], kit: Kit) -> Iterator[Finding]:
    """Yield the findings; one about a piece begins with its title, unless its values name the piece already."""
    pieces = {part.key: part.title for part in kit.parts if part.piece_of is not None}
    for one in found:
        title = pieces.get(one.part or "")
        if title is None or any(title in text or str(one.part) in text for text in _texts(one.message)):
            yield one
        else:
            yield replace(one, message=msg("{piece}: {message}", piece=title, message=one.message))


def _texts(said: Text) -> Iterable[str]:
    return [said] if isinstance(said, str) else said.texts()
