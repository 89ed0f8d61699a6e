"""Parts that are written once and cut in several pieces: each becomes a part of its own, before anything is drawn.

Everything after this sees ordinary parts. What names the part as it was written (a need, a place, an assembly step)
means every one of its pieces; what names a piece means that one.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import product

from kitforge.definition import kinds
from kitforge.definition.each import PieceEntry, piece_key
from kitforge.definition.needs import NeedEntry
from kitforge.definition.positions import Place, Positions
from kitforge.definition.quantity import DimensionedValue
from kitforge.definition.schema import AssemblyEntry, Definition, PartEntry
from kitforge.model.family import PieceOf, PieceValue
from kitforge.model.messages import msg
from kitforge.model.own_words import joined
from kitforge.resolve.values import ResolveContext, evaluate_parameters, label, title_of

MOST_OPERATIONS = 2_000
"""Operations of all pieces together (a bound of taste, no source)."""
MOST_NEEDS = 2_000
"""Needs of all pieces together (a bound of taste, no source)."""

_LONGEST_KEY = 40


@dataclass
class Pieces:
    """The pieces of a kit. of: by the key of the part as written, the keys of its pieces; known: by key, what a piece
    is of."""

    of: dict[str, tuple[str, ...]] = field(default_factory=dict)
    known: dict[str, PieceOf] = field(default_factory=dict)

    def named(self, name: str) -> tuple[str, ...]:
        """Return the keys of the parts that a name means: the pieces of a part as written, or the one of that name."""
        return self.of.get(name, (name,))


def spread_pieces(sheet: ResolveContext, definition: Definition) -> tuple[Definition, Pieces]:
    """Return the definition with a part for each piece, and the pieces; the sheet knows the values of each from now on.

    What cannot be is reported on the sheet. To be called when the parameters of the kit are worked out.
    """
    if not any(entry.each for entry in definition.parts.values()):
        return definition, Pieces()
    spreading = _Spreading(sheet, definition, Pieces())
    parts = spreading.parts()
    pieces = spreading.pieces
    assembly = [_meaning_pieces(step, pieces) for step in definition.assembly]
    return definition.model_copy(update={"parts": parts, "assembly": assembly}), pieces


def _meaning_pieces(step: AssemblyEntry, pieces: Pieces) -> AssemblyEntry:
    parts = [key for name in step.parts for key in pieces.named(name)]
    return step.model_copy(update={"parts": parts})


@dataclass
class _Spreading:
    """One run: the sheet, the definition as written, and the pieces as they become."""

    sheet: ResolveContext
    definition: Definition
    pieces: Pieces

    def parts(self) -> dict[str, PartEntry]:
        """Return the parts by their keys, pieces in the place of the part that they are of."""
        found: dict[str, PartEntry] = {}
        aliases: dict[Place, Place] = {}
        values = {}
        operations = 0
        for parameter in self.definition.labels:
            self.sheet.look_up(self.definition.parameters, parameter, msg("parameter"), "labels", parameter)
        for key, entry in self.definition.parts.items():
            if not entry.each:
                found[key] = entry
                continue
            operations += len(entry.each) * len(entry.operations)
            if operations > MOST_OPERATIONS:
                self._too_many(key)
                continue
            self.pieces.of[key] = tuple(self._key(key, name) for name in entry.each)
            moved = dict.fromkeys(parameter for one in entry.each.values() for parameter in one.set)
            for name, one in entry.each.items():
                made = self._key(key, name)
                found[made] = _part_of(key, entry, name, one)
                aliases[("parts", made)] = ("parts", key)
                values[made] = self._values(key, name, one)
                differs = {parameter: values[made][parameter] for parameter in moved if parameter in values[made]}
                self.pieces.known[made] = PieceOf(
                    key,
                    entry.title or title_of(key),
                    one.title or title_of(name),
                    tuple(
                        PieceValue(parameter, self.definition.labels.get(parameter, ""), value.value, value.power)
                        for parameter, value in differs.items()
                    ),
                )
        where = self.sheet.where
        self.sheet.where = Positions(where.file, where.values, where.keys, {**where.aliases, **aliases})
        self.sheet.own_names = values
        return found

    def _key(self, key: str, name: str) -> str:
        """Return the key of a piece; one that is too long, or that another part has, is reported."""
        made, place = piece_key(key, name), ("parts", key, "each", name)
        if made in self.definition.parts:
            message = msg("{place}: the piece is called '{key}', as another part is.", place=label(place), key=made)
            self.sheet.report(kinds.DUPLICATE_NAME, place, message, msg("Give one of them another key."), key=True)
        elif len(made) > _LONGEST_KEY:
            message = msg(
                "{place}: the piece is called '{key}', and {most} characters is the limit.",
                place=label(place),
                key=made,
                most=_LONGEST_KEY,
            )
            self.sheet.report(kinds.WRONG_VALUE, place, message, msg("Shorten the key."), key=True)
        return made

    def _too_many(self, key: str) -> None:
        place: Place = ("parts", key, "each")
        message = msg("{place}: the pieces come to more than {most} cuts.", place=label(place), most=MOST_OPERATIONS)
        self.sheet.report(kinds.TOO_MUCH, place, message, msg("Write fewer pieces."))

    def _values(self, key: str, name: str, entry: PieceEntry) -> Mapping[str, DimensionedValue]:
        """Return the parameters as they are for a piece; what only the piece makes wrong is reported with its name."""
        sheet = self.sheet
        at: Place = ("parts", key, "each", name)
        for one in entry.set:
            sheet.look_up(self.definition.parameters, one, msg("parameter"), *at, "set", one)
        known = {one: raw for one, raw in entry.set.items() if one in self.definition.parameters}
        moved: dict[Place, Place] = {("parameters", one): (*at, "set", one) for one in known}
        where = replace(sheet.where, aliases={**sheet.where.aliases, **moved})
        own = ResolveContext(sheet.unit, where, texts=sheet.texts)
        evaluate_parameters(own, {**self.definition.parameters, **known})
        before = {(one.code, str(one.message)) for one in sheet.problems}
        for problem in own.problems:
            if (problem.code, str(problem.message)) not in before:
                said = msg("{place}: {problem}", place=label(at), problem=problem.message)
                sheet.add(replace(problem, message=said, part=piece_key(key, name)))
        return own.names


def _part_of(key: str, entry: PartEntry, name: str, piece: PieceEntry) -> PartEntry:
    # not after a comma, which would be lost in lists of parts
    title = joined("{} ({})", entry.title or title_of(key), piece.title or title_of(name))
    return entry.model_copy(update={"each": {}, "title": title, "count": piece.count or entry.count})


def needs_of_pieces(
    sheet: ResolveContext, entries: Sequence[NeedEntry], pieces: Pieces
) -> Iterator[tuple[int, NeedEntry]]:
    """Yield every need with its number; one that names a part of several pieces once for each of them.

    A joint is asked of every slot with everything that goes into it. A `keeps` and a `module` name several parts
    themselves.
    """
    count = 0
    for index, entry in enumerate(entries):
        for one in _of_pieces(entry, pieces):
            count += 1
            if pieces.of and count > MOST_NEEDS:
                place: Place = ("needs", index)
                message = msg(
                    "{place}: the needs of all pieces are more than {most}.", place=label(place), most=count - 1
                )
                sheet.report(kinds.TOO_MUCH, place, message, msg("Name single pieces."))
                return
            yield index, one


def _of_pieces(entry: NeedEntry, pieces: Pieces) -> Iterator[NeedEntry]:
    if entry.mates is not None:
        slot, takes = entry.mates.slot, entry.mates.takes
        for a, b in product(pieces.named(slot.part), pieces.named(takes.part)):
            mates = {"slot": slot.model_copy(update={"part": a}), "takes": takes.model_copy(update={"part": b})}
            yield entry.model_copy(update={"mates": entry.mates.model_copy(update=mates)})
        return
    for name in ("passage", "holds", "spacing", "count", "aligned"):
        written = getattr(entry, name)
        if written is not None:
            for key in pieces.named(written.part):
                yield entry.model_copy(update={name: written.model_copy(update={"part": key})})
            return
    yield entry
