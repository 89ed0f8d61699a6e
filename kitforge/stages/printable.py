"""Texts of a kit that cannot be printed: the booklet's typeface lacks a character of theirs, or one steers the text."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from pydantic import BaseModel

from kitforge.definition import kinds
from kitforge.definition.positions import Place
from kitforge.definition.shapes import Shape
from kitforge.model.characters import steers
from kitforge.model.findings import Finding, Source
from kitforge.model.messages import Message, listed, msg
from kitforge.model.own_words import wordings

if TYPE_CHECKING:
    from kitforge.definition.schema import Definition
    from kitforge.resolve.values import ResolveContext

# Texts that name something and are printed nowhere.
_NOT_PRINTED = frozenset({"licence_file", "drawing", "material", "for_", "layer", "needs", "parameters"})
# Usual in Western languages and in the typeface, as a test proves: such a text needs no look into the font.
_USUAL = frozenset(map(chr, (*range(0x20, 0x7F), *range(0xC0, 0x100)))) | frozenset("\n°±²³·×–—‘’“”…€")


def report_unprintable(sheet: ResolveContext, definition: Definition, files: Mapping[str, bytes]) -> None:
    """Report every text of the kit that cannot be printed, and every line of its licence text."""
    report_texts(sheet, definition)
    name = definition.kit.licence_file
    if name is not None:
        for number, line in enumerate(files[name].decode("utf-8-sig").splitlines(), 1):
            if wrong := unprintable(line):
                sheet.add(_found(wrong, msg("The text"), Source(name, number)), stops=False)


def report_texts(sheet: ResolveContext, entry: BaseModel) -> None:
    """Report every text in an entry of kit.yaml (or of a machine file) that cannot be printed."""
    for place, text in printed_texts(entry):
        if wrong := unprintable("".join(wordings(text))):
            sheet.add(_found(wrong, _label(place), sheet.where.of(*place)), stops=False)


def unprintable(text: str) -> str:
    """Return the characters of a text that cannot be printed, each once, in their order."""
    odd = "".join(dict.fromkeys(character for character in text if character not in _USUAL))
    if not odd:
        return ""
    from kitforge.print.fonts import missing_characters, shipped_characters

    missing = missing_characters(odd, shipped_characters())
    return "".join(one for one in odd if one in missing or _turns(one))


def _turns(character: str) -> bool:
    from kitforge.print.fonts import NOT_DRAWN

    return steers(character) and character not in NOT_DRAWN


def _found(wrong: str, what: Message, source: Source) -> Finding:
    from kitforge.print.fonts import instead_of, named

    message = msg("{what}: {characters} cannot be printed.", what=what, characters=listed(map(named, wrong)))
    advice = [msg("Write {this} instead.", this=found) for found in map(instead_of, wrong) if found]
    return kinds.CHARACTER_MISSING.new(message, advice[0] if advice else msg("Write it in words."), source=source)


def _label(place: Place) -> Message:
    from kitforge.resolve.values import label

    return msg("{place}", place=label(place))


def printed_texts(value: object, place: Place = ()) -> Iterator[tuple[Place, str]]:
    """Yield every printed text with its place, as deep as an entry is nested."""
    if isinstance(value, str):
        yield place, value
    elif isinstance(value, Shape):
        return  # what is engraved has a font of its own
    elif isinstance(value, BaseModel):
        for name, field in type(value).model_fields.items():
            if name not in _NOT_PRINTED:
                yield from printed_texts(getattr(value, name), (*place, field.alias or name))
    elif isinstance(value, Mapping):
        for key, inner in value.items():
            yield from printed_texts(str(key), (*place, key))
            yield from printed_texts(inner, (*place, key))
    elif isinstance(value, list | tuple):
        for index, inner in enumerate(value):
            yield from printed_texts(inner, (*place, index))
