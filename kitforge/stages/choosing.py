"""Between reading and resolving: which size of a kit is meant, and which of its parameters the call sets."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from pydantic import TypeAdapter, ValidationError

from kitforge.definition import kinds
from kitforge.definition.positions import Place, Positions
from kitforge.definition.reader import nearest
from kitforge.definition.schema import Definition
from kitforge.definition.values import Length
from kitforge.model.errors import UnreadableKitError, refusal
from kitforge.model.family import Family, KitChoice, Size, Written
from kitforge.model.findings import Finding, Source, sort_findings
from kitforge.model.messages import Message, msg, msg_many, series
from kitforge.resolve.values import label, title_of
from kitforge.stages.read import ReadKit

_NUMBER = re.compile(r"-?(?:0|[1-9][0-9]{0,17})(?:\.[0-9]{1,30})?")
_LENGTH: TypeAdapter[Written] = TypeAdapter(Length)


def choose(read_kit: ReadKit, choice: KitChoice) -> ReadKit:
    """Return the kit as one of its sizes, with the values that the call sets; the first size where none is named.

    Every parameter knows where its value was written: in `sizes` for one that the size sets. Raises UnreadableKitError
    with every name that is not known and every value that will not do.
    """
    definition = read_kit.definition
    if not (definition.sizes or definition.texts or choice.values or choice.size):
        return read_kit
    choosing = _Choosing(read_kit.definition, read_kit.where)
    chosen = choosing.size(choice.size)
    choosing.set_by_size(chosen)
    choosing.set_by_call(choice.values)
    if choosing.problems:
        raise UnreadableKitError(sort_findings(choosing.problems), read_kit.definition.units)
    family = Family(
        choosing.sizes(), chosen, choice.values, choice.order, read_kit.definition.kit.title, choosing.same()
    )
    definition = read_kit.definition.model_copy(update={"parameters": choosing.parameters})
    return replace(read_kit, definition=definition, where=choosing.positions(), family=family, texts=choosing.texts)


def sizes_of(definition: Definition) -> tuple[Size, ...]:
    """Return the sizes of a kit as written."""
    return tuple(
        Size(key, entry.title or title_of(key), tuple(entry.set.items())) for key, entry in definition.sizes.items()
    )


@dataclass
class _Choosing:
    """One run: the parameters as they become, where each was written, and what is wrong."""

    definition: Definition
    where: Positions
    moved: dict[Place, Source] = field(default_factory=dict)
    problems: list[Finding] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.parameters: dict[str, Written] = dict(self.definition.parameters)
        self.texts = {name: entry.default for name, entry in self.definition.texts.items()}

    def sizes(self) -> tuple[Size, ...]:
        return sizes_of(self.definition)

    def same(self) -> tuple[tuple[str, Source], ...]:
        named = enumerate(self.definition.release.same)
        return tuple((name, self.where.of("release", "same", index)) for index, name in named)

    def size(self, wanted: str) -> str:
        """Return the key of the size; the first one where none is wanted, '' where the kit has none."""
        known = list(self.definition.sizes)
        if not wanted or wanted in known:
            return wanted or next(iter(known), "")
        if known:
            message = msg("There is no size '{name}'.", name=wanted)
            advice = nearest(wanted, known) or msg("Sizes of this kit: {names}", names=series(known))
        else:
            message = msg("The kit has no sizes, so there is none called '{name}'.", name=wanted)
            advice = msg("Leave out --size, or write `sizes:`.")
        self.problems.append(kinds.UNKNOWN_NAME.new(message, advice, source=self.where.key("sizes")))
        return ""

    def set_by_size(self, key: str) -> None:
        entry = self.definition.sizes.get(key)
        for name, raw in entry.set.items() if entry else ():
            place: Place = ("sizes", key, "set", name)
            said = msg("{place}", place=label(place))
            self._set(name, raw, said, self.where.key(*place), self.where.of(*place))
            self.moved[("parameters", name)] = self.where.of(*place)

    def set_by_call(self, values: tuple[tuple[str, Written], ...]) -> None:
        for name, raw in values:
            table = "texts" if name in self.texts else "parameters"
            known = name in self.parameters or name in self.texts
            source = self.where.of(table, name) if known else self.where.key(table)
            value = raw if name in self.texts else _as_yaml(raw)
            self._set(name, value, msg("--set {name}", name=name), source, source)

    def _set(self, name: str, raw: Written, said: Message, at_name: Source, at_value: Source) -> None:
        if name in self.texts:
            self._set_text(name, raw, said, at_value)
            return
        if name not in self.parameters:
            known = {**self.parameters, **self.texts}
            message = msg("{place}: there is no parameter '{name}'.", place=said, name=name)
            advice = nearest(name, known) or _known(known)
            self.problems.append(kinds.UNKNOWN_NAME.new(message, advice, source=at_name))
            return
        try:
            self.parameters[name] = _checked(raw)
        except ValueError as error:
            message = msg("{place}: {said}.", place=said, said=refusal(error))
            self.problems.append(kinds.WRONG_VALUE.new(message, source=at_value))

    def _set_text(self, name: str, raw: Written, said: Message, at: Source) -> None:
        text, longest = str(raw).strip(), self.definition.texts[name].longest
        self.texts[name] = text
        odd = [one for one in text if not one.isprintable()]
        if not text or odd:
            message = msg("{place}: a text of letters that can be seen is wanted.", place=said)
            self.problems.append(kinds.TEXT_UNFIT.new(message, msg("Take other characters out."), source=at))
        elif len(text) > longest:
            message = msg_many(
                "{place}: the text has {count} character; {longest} is the limit.",
                "{place}: the text has {count} characters; {longest} is the limit.",
                len(text),
                place=said,
                longest=longest,
            )
            self.problems.append(kinds.TEXT_UNFIT.new(message, msg("Shorten it."), source=at))

    def positions(self) -> Positions:
        return Positions(self.where.file, {**self.where.values, **self.moved}, self.where.keys)


def _known(parameters: Mapping[str, object]) -> Message:
    if not parameters:
        return msg("The kit has no parameters; write them under `parameters:`.")
    return msg("Parameters of this kit: {names}", names=series(parameters))


def _as_yaml(raw: Written) -> Written:
    """Return what was typed as kit.yaml would have it: bare digits are a number, in the kit's units."""
    if isinstance(raw, str) and _NUMBER.fullmatch(raw.strip()):
        return float(raw) if "." in raw else int(raw)
    return raw


def _checked(raw: Written) -> Written:
    try:
        return _LENGTH.validate_python(raw)
    except ValidationError as error:
        raise next(one["ctx"]["error"] for one in error.errors(include_url=False)) from None
