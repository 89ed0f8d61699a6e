"""Needs as written to records: names looked up in the parts as written, lengths worked out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from kitforge.definition import kinds
from kitforge.definition.needs import (
    AlignedEntry,
    CountEntry,
    HoldsEntry,
    KeepsEntry,
    MatesEntry,
    ModuleEntry,
    NeedEntry,
    PassageEntry,
    SpacingEntry,
)
from kitforge.definition.positions import Place
from kitforge.definition.schema import Definition
from kitforge.definition.values import Raw
from kitforge.model.findings import Source
from kitforge.model.messages import msg
from kitforge.model.needs import (
    CountNeed,
    End,
    JointNeed,
    KeepNeed,
    LineNeed,
    ModuleNeed,
    Need,
    PassageNeed,
    SeatNeed,
    SpacingNeed,
    Spread,
)
from kitforge.resolve.each import Pieces, needs_of_pieces
from kitforge.resolve.values import ResolveContext, ValueRange, label

_LENGTH = ValueRange(0.05, 5000.0)
_PLAY = ValueRange(-10.0, 100.0)
_SPARE = ValueRange(0.0, 500.0)
ALL = "all"
_ENDS = tuple(end.value for end in End)


def resolve_needs(sheet: ResolveContext, definition: Definition, pieces: Pieces) -> tuple[Need, ...]:
    """Return the needs of a kit in the order written, of every piece; what cannot be had is reported on the sheet."""
    return tuple(_Asking(sheet, definition, pieces).needs())


def _asked_of(entry: NeedEntry) -> str:
    """Return the part whose values count in a need: the one that it names, of a joint the one with the slot."""
    if entry.mates is not None:
        return entry.mates.slot.part
    one = entry.passage or entry.holds or entry.spacing or entry.count or entry.aligned
    return one.part if one is not None else ""


@dataclass(frozen=True)
class _Asking:
    """One run: the sheet to work values out on, and the parts and operations to look names up in."""

    sheet: ResolveContext
    definition: Definition
    pieces: Pieces

    def needs(self) -> Iterator[Need]:
        for index, entry in needs_of_pieces(self.sheet, self.definition.needs, self.pieces):
            if entry.keeps is not None:
                yield from self._keep(entry.keeps, ("needs", index, "keeps"))
            elif entry.module is not None:
                yield self._module(entry.module, ("needs", index, "module"))
            else:
                with self.sheet.values_of(_asked_of(entry)):
                    need = self._need(entry, index)
                yield need

    def _need(self, entry: NeedEntry, index: int) -> Need:
        match next(value for name in type(entry).model_fields if (value := getattr(entry, name)) is not None):
            case PassageEntry() as written:
                return self._passage(written, ("needs", index, "passage"))
            case HoldsEntry() as written:
                return self._seat(written, ("needs", index, "holds"))
            case MatesEntry() as written:
                return self._joint(written, ("needs", index, "mates"))
            case SpacingEntry() as written:
                return self._spacing(written, ("needs", index, "spacing"))
            case CountEntry() as written:
                return self._count(written, ("needs", index, "count"))
            case AlignedEntry() as written:
                return self._line(written, ("needs", index, "aligned"))
            case other:
                raise TypeError(f"a need of an unknown kind: {type(other).__name__}")

    def _source(self, at: Place) -> Source:
        return self.sheet.where.key(*at)

    def _part(self, name: str, *at: str | int) -> str:
        self.sheet.look_up(self.definition.parts, name, msg("part"), *at)
        return name

    def _feature(self, part: str, name: str, *at: str | int, beside: Sequence[str] = ()) -> str:
        """Return the name of a feature; one that the part does not have is reported, if the part is known."""
        entry = self.definition.parts.get(part)
        if entry is not None:
            known = dict.fromkeys([*(one.name for one in entry.operations), *beside])
            self.sheet.look_up(known, name, msg("operation of the part '{part}'", part=part), *at)
        return name

    def _features(self, part: str, names: Sequence[str], *at: str | int) -> tuple[str, ...]:
        return tuple(self._feature(part, name, *at, index) for index, name in enumerate(names))

    def _passage(self, entry: PassageEntry, at: Place) -> PassageNeed:
        sheet, part = self.sheet, self._part(entry.part, *at, "part")
        start = self._feature(part, entry.from_, *at, "from")
        named = self._feature(part, entry.to, *at, "to", beside=_ENDS)
        if entry.diameter is not None:
            width = height = sheet.length(entry.diameter, *at, "diameter", within=_LENGTH)
        else:
            width = sheet.length(entry.width or 0, *at, "width", within=_LENGTH)
            height = width if entry.height is None else sheet.length(entry.height, *at, "height", within=_LENGTH)
        operations = {one.name for one in self.definition.parts[part].operations} if self._known(part) else set()
        end = End(named) if named in _ENDS and named not in operations else named
        if end == start:
            message = msg("{place}: the passage begins and ends in '{start}'.", place=label((*at, "to")), start=start)
            sheet.report(kinds.WRONG_VALUE, (*at, "to"), message, msg("Name another feature, or write `to: outside`."))
        return PassageNeed(part, start, end, width, height, entry.diameter is not None, self._source(at), entry.for_)

    def _known(self, part: str) -> bool:
        return part in self.definition.parts

    def _seat(self, entry: HoldsEntry, at: Place) -> SeatNeed:
        sheet, part = self.sheet, self._part(entry.part, *at, "part")
        if entry.size is not None:
            length, width = (sheet.length(raw, *at, "size", i, within=_LENGTH) for i, raw in enumerate(entry.size))
        else:
            length = width = sheet.length(entry.diameter or 0, *at, "diameter", within=_LENGTH)
        return SeatNeed(
            part=part,
            feature=self._feature(part, entry.in_, *at, "in"),
            size=(length, width),
            round=entry.size is None,
            height=sheet.optional_length(entry.height, *at, "height", within=_LENGTH),
            clearance=sheet.length(entry.clearance, *at, "clearance", within=_SPARE),
            proud=sheet.length(entry.proud, *at, "proud", within=_SPARE),
            sunk=sheet.optional_length(entry.sunk, *at, "sunk", within=_SPARE),
            source=self._source(at),
            use=entry.for_,
        )

    def _joint(self, entry: MatesEntry, at: Place) -> JointNeed:
        sheet, slot = self.sheet, entry.slot
        part = self._part(slot.part, *at, "slot", "part")
        least, most = (sheet.length(raw, *at, "clearance", i, within=_PLAY) for i, raw in enumerate(entry.clearance))
        if least > most:
            message = msg(
                "{place}: the least, {least}, is more than {most}.",
                place=label((*at, "clearance")),
                least=sheet.show(least),
                most=sheet.show(most),
            )
            sheet.report(kinds.BAD_NUMBER, (*at, "clearance"), message, msg("Write [least, most]."))
        if entry.depth is not None and slot.at is None:
            message = msg("{place}: a depth is only used in a slot `at` a point.", place=label((*at, "depth")))
            sheet.report(kinds.WRONG_VALUE, (*at, "depth"), message, msg("Add `at: [x, y]` to the slot, or remove it."))
        return JointNeed(
            part=part,
            feature=self._feature(part, slot.feature, *at, "slot", "feature"),
            at=sheet.point(slot.at, *at, "slot", "at") if slot.at is not None else None,
            takes=self._part(entry.takes.part, *at, "takes", "part"),
            width=sheet.optional_length(entry.takes.width, *at, "takes", "width", within=_LENGTH),
            depth=sheet.optional_length(entry.depth, *at, "depth", within=_LENGTH),
            clearance=(least, most),
            source=self._source(at),
            use=entry.for_,
        )

    def _spacing(self, entry: SpacingEntry, at: Place) -> SpacingNeed:
        sheet, part = self.sheet, self._part(entry.part, *at, "part")
        rules = (
            ("pitch", Spread.ROW, entry.pitch),
            ("pairs", Spread.PAIRS, entry.pairs),
            ("least", Spread.LEAST, entry.least),
        )
        key, spread, raw = next(rule for rule in rules if rule[2] is not None)
        return SpacingNeed(
            part=part,
            features=self._features(part, entry.features, *at, "features"),
            distance=sheet.length(raw or 0, *at, key, within=_LENGTH),
            spread=spread,
            tolerance=sheet.length(entry.tolerance, *at, "tolerance", within=_SPARE),
            source=self._source(at),
            use=entry.for_,
        )

    def _count(self, entry: CountEntry, at: Place) -> CountNeed:
        part = self._part(entry.part, *at, "part")
        feature = self._feature(part, entry.feature, *at, "feature")
        count = self.sheet.whole(entry.count, *at, "count", within=ValueRange(1, 100_000))
        return CountNeed(part, feature, count, self._source(at), entry.for_)

    def _line(self, entry: AlignedEntry, at: Place) -> LineNeed:
        part = self._part(entry.part, *at, "part")
        features = self._features(part, entry.features, *at, "features")
        tolerance = self.sheet.length(entry.tolerance, *at, "tolerance", within=_SPARE)
        return LineNeed(part, features, entry.along, tolerance, self._source(at), entry.for_)

    def _keep(self, entry: KeepsEntry, at: Place) -> Iterator[KeepNeed]:
        """Yield the need of each part that is named; features are those of one part alone, and of all its pieces."""
        sheet, parts = self.sheet, self._parts(entry.part, at)
        written = {self._written(part) for part in parts}
        if entry.features and len(written) > 1:
            key = label((*at, "features"))
            found = msg("{key}: features are named of {count} parts at once.", key=key, count=len(written))
            advice = msg("Name one part, or leave out `features` to mean all of them.")
            sheet.report(kinds.WRONG_VALUE, (*at, "features"), found, advice)
            return
        for part in parts:
            with sheet.values_of(part):
                floor, wall, edge = (
                    sheet.optional_length(getattr(entry, key), *at, key, within=_LENGTH)
                    for key in ("floor", "wall", "edge")
                )
                features = self._features(part, entry.features, *at, "features")
            yield KeepNeed(part, features, floor, wall, edge, self._source(at), entry.for_)

    def _module(self, entry: ModuleEntry, at: Place) -> ModuleNeed:
        sheet, parts = self.sheet, self._parts(entry.part, at)
        play = sheet.length(entry.play, *at, "play", within=_SPARE)
        pitch, field = (self._sides(getattr(entry, key), entry.along, (*at, key)) for key in ("pitch", "field"))
        names = {**{part: part for part in parts}, **{self._short(part): part for part in parts}}
        mixes = []
        for index, mix in enumerate(entry.mixes):
            place: Place = (*at, "mixes", index)
            for name in mix:
                sheet.look_up(names, name, msg("piece"), *place, name)
            counts = {name: sheet.whole(raw, *place, name, within=ValueRange(1, 10_000)) for name, raw in mix.items()}
            mixes.append(tuple((names.get(name, name), count) for name, count in counts.items()))
        return ModuleNeed(tuple(parts), pitch, field, play, tuple(mixes), self._source(at), entry.for_)

    def _sides(self, raw: Raw | list[Raw], along: str, at: Place) -> tuple[float | None, float | None]:
        if isinstance(raw, list):
            x, y = (self.sheet.length(one, *at, index, within=_LENGTH) for index, one in enumerate(raw))
            return x, y
        one = self.sheet.length(raw, *at, within=_LENGTH)
        return (one, None) if along == "x" else (None, one)

    def _short(self, part: str) -> str:
        """Return the key of a piece by itself, without that of its part."""
        return part.removeprefix(f"{self._written(part)}-")

    def _written(self, part: str) -> str:
        piece = self.pieces.known.get(part)
        return piece.part if piece else part

    def _parts(self, named: str | list[str], at: Place) -> list[str]:
        """Return the parts named; `all` means every part of the kit, unless one has that name."""
        if isinstance(named, list):
            return [
                self._part(key, *at, "part", index)
                for index, name in enumerate(named)
                for key in self.pieces.named(name)
            ]
        if named == ALL and not self._known(ALL) and ALL not in self.pieces.of:
            return list(self.definition.parts)
        return [self._part(key, *at, "part") for key in self.pieces.named(named)]
