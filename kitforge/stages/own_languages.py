"""The author's texts by language: which there are, and which are missing in a language that is built."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from kitforge.definition import kinds
from kitforge.model.facts import WrittenText
from kitforge.model.findings import Finding
from kitforge.model.messages import msg, msg_many
from kitforge.model.own_words import FIRST_LANGUAGE, OwnText
from kitforge.stages.printable import printed_texts

if TYPE_CHECKING:
    from kitforge.definition.positions import Positions
    from kitforge.definition.schema import Definition
    from kitforge.model.kit import Kit


def written_texts(definition: Definition, where: Positions) -> Iterator[WrittenText]:
    """Yield the author's printed texts in the order of kit.yaml, then the titles that are made from English keys."""
    for place, text in printed_texts(definition):
        if isinstance(text, OwnText):
            yield WrittenText(where.of(*place), tuple(text.languages) or (FIRST_LANGUAGE,))
    for place in _untitled(definition):
        of = where.of if "operations" in place else where.key
        yield WrittenText(of(*place), (FIRST_LANGUAGE,))


def _untitled(definition: Definition) -> Iterator[tuple[str | int, ...]]:
    """Yield the places of what has no title, which is then made from its English key or name."""
    for key, size in definition.sizes.items():
        if size.title is None:
            yield "sizes", key
    for key, part in definition.parts.items():
        if part.title is None:
            yield "parts", key
        for name, piece in part.each.items():
            if piece.title is None:
                yield "parts", key, "each", name
        for index, operation in enumerate(part.operations):
            if operation.title is None:
                yield "parts", key, "operations", index, "name"


def untranslated(kit: Kit, languages: Iterable[str]) -> Iterator[Finding]:
    """Yield one finding for each language that is built and in which some texts of the kit are not given."""
    for code in languages:
        missing = [text for text in kit.texts if code != FIRST_LANGUAGE and code not in text.languages]
        if missing:
            message = msg_many(
                "One text of the kit is not given in '{code}' and stays as it is in that language.",
                "{count} texts of the kit are not given in '{code}' and stay as they are in that language.",
                len(missing),
                code=code,
            )
            advice = msg("Write it as {{en: ..., {code}: ...}}, the lines after it too.", code=code)
            yield kinds.TEXT_UNTRANSLATED.new(message, advice, source=missing[0].source)
