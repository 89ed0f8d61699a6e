"""Values as written to numbers: the sheet on which a kit is worked out, with every problem met on the way.

A value that cannot be worked out becomes NaN and a finding. NaN fails every range comparison silently, so that one
mistake is reported once; the stage ends before such a number can leave it.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import NamedTuple, TypeVar

from kitforge.definition import kinds
from kitforge.definition.positions import Place, Positions
from kitforge.definition.quantity import DimensionedValue
from kitforge.definition.reader import nearest_name
from kitforge.definition.values import FEED, Raw, expression_in
from kitforge.model.errors import refusal
from kitforge.model.findings import Finding, FindingType, Severity
from kitforge.model.messages import NO_ADVICE, Message, Quantity, both_units, later, msg, series, term
from kitforge.model.units import MM_PER_UNIT, parse_length
from kitforge.workshop.names import Named, find, known, names_of

T = TypeVar("T")
N = TypeVar("N", bound=Named)
NAN = math.nan
_BRACED = re.compile(r"\{([a-z][a-z0-9_]{0,39})\}")


class ValueRange(NamedTuple):
    """What a value may be at least and at most, both included; lengths mm."""

    low: float
    high: float


class TableName(NamedTuple):
    """A table of the workshop in words: one of its entries, and what `kitforge list` calls it, if it does."""

    one: str
    many: str = ""


MATERIALS = TableName(later("material"), "materials")
MACHINES = TableName(later("machine class"), "machines")
HOLD_DOWNS = TableName(later("hold-down"), "hold-downs")
FINISHES = TableName(later("finish"), "finishes")
ANYWHERE = ValueRange(-20_000.0, 20_000.0)
SIZE = ValueRange(0.05, 20_000.0)


@dataclass
class ResolveContext:
    """Evaluates values of one kit.

    unit: 'mm' or 'in', what a bare number means; names: the parameters; texts: those that
    may be set; failures: how often a value could not be had, whether that was reported here or where a parameter was
    written; own_names: by the key of a piece, the parameters as they are for it.
    """

    unit: str
    where: Positions
    names: Mapping[str, DimensionedValue] = field(default_factory=dict)
    texts: Mapping[str, str] = field(default_factory=dict)
    problems: list[Finding] = field(default_factory=list)
    failures: int = 0
    own_names: Mapping[str, Mapping[str, DimensionedValue]] = field(default_factory=dict)

    @contextmanager
    def values_of(self, part: str) -> Iterator[None]:
        """Work values out as they are for a part: for a piece of `each` with what it sets."""
        names, self.names = self.names, self.own_names.get(part, self.names)
        try:
            yield
        finally:
            self.names = names

    @property
    def factor(self) -> float:
        """The kit's unit in mm."""
        return MM_PER_UNIT[self.unit]

    def report(
        self,
        kind: FindingType,
        place: Place,
        message: Message,
        advice: Message = NO_ADVICE,
        *,
        part: str | None = None,
        key: bool = False,
    ) -> None:
        """Note a problem with the value (or with `key` the key) at a place of kit.yaml."""
        source = self.where.key(*place) if key else self.where.of(*place)
        self.add(kind.new(message, advice, source=source, part=part))

    def add(self, finding: Finding, *, stops: bool = True) -> None:
        """Note a finding. An error with `stops` ends the work after this stage; another one only forbids a pack.

        What is said in the same words of every piece of a part is said once.
        """
        if not (self.own_names and finding in self.problems):
            self.problems.append(finding)
        self.failures += stops and finding.severity is Severity.ERROR

    def tried(
        self, kind: FindingType, place: Place, make: Callable[[], T], fallback: T, advice: Message = NO_ADVICE
    ) -> T:
        """Return what `make` gives; a ValueError becomes a finding and the `fallback`."""
        try:
            return make()
        except ValueError as error:
            self.report(kind, place, msg("{place}: {problem}.", place=label(place), problem=refusal(error)), advice)
            return fallback

    def length(self, raw: Raw, *place: str | int, within: ValueRange = SIZE) -> float:
        """Return a length in mm that lies within the limits."""
        value = self.tried(kinds.BAD_EXPRESSION, place, lambda: self._length(raw), NAN)
        if value < within.low or value > within.high:
            self.report(
                kinds.BAD_NUMBER, place, self._beyond(value, within, place), msg("Check the number and its unit.")
            )
            return NAN
        return value

    def optional_length(self, raw: Raw | None, *place: str | int, within: ValueRange = SIZE) -> float | None:
        """Return a length in mm, or None where none is written."""
        return None if raw is None else self.length(raw, *place, within=within)

    def number(self, raw: Raw, *place: str | int, within: ValueRange = ANYWHERE, unit: str = "") -> float:
        """Return a plain number that lies within the limits; `unit` is for the message."""
        value = self.tried(kinds.BAD_EXPRESSION, place, lambda: self._number(raw), NAN)
        if value < within.low or value > within.high:
            self.report(kinds.BAD_NUMBER, place, _not_between(place, value, within, unit))
            return NAN
        return value

    def optional_number(
        self, raw: Raw | None, *place: str | int, within: ValueRange = ANYWHERE, unit: str = ""
    ) -> float | None:
        """Return a plain number, or None where none is written."""
        return None if raw is None else self.number(raw, *place, within=within, unit=unit)

    def whole(self, raw: int | str, *place: str | int, within: ValueRange) -> int:
        """Return a whole number within the limits; the lower limit where it cannot be worked out."""
        value = self.number(raw, *place, within=within)
        if math.isnan(value):
            return int(within.low)
        if abs(value - round(value)) > 1e-9:
            self.report(
                kinds.BAD_NUMBER,
                place,
                msg("{place}: {value} is not a whole number.", place=label(place), value=Quantity(value, "", 4)),
            )
        return round(value)

    def point(self, raw: Sequence[Raw], *place: str | int) -> tuple[float, float]:
        """Return a point in mm."""
        x, y = (self.length(value, *place, index, within=ANYWHERE) for index, value in enumerate(raw))
        return x, y

    def points(self, raw: Iterable[Sequence[Raw]], *place: str | int) -> tuple[tuple[float, float], ...]:
        """Return points in mm."""
        return tuple(self.point(value, *place, index) for index, value in enumerate(raw))

    def share(self, raw: Raw | None, diameter: float, *place: str | int) -> float | None:
        """Return a share of a cutter's diameter in mm, at most the whole diameter; None where none is written."""
        if raw is None:
            return None
        text = str(raw).strip()
        if text.endswith("%"):
            value = float(text[:-1]) / 100 * diameter
        else:
            value = self.tried(kinds.BAD_EXPRESSION, place, lambda: self._length(raw), NAN)
        if value <= 0 or value > diameter * (1 + 1e-9):
            message = msg(
                "{place}: {value} is not between 0 and the cutter's {diameter}.",
                place=label(place),
                value=self.show(value),
                diameter=self.show(diameter),
            )
            self.report(kinds.BAD_NUMBER, place, message, msg("Write a share such as '40 %', or a length."))
            return NAN
        return value

    def feed(self, raw: Raw | None, *place: str | int) -> float | None:
        """Return a feed rate in mm/min; a bare number is in the kit's units per minute."""
        if raw is None:
            return None
        match = FEED.match(str(raw))
        if match:
            value = float(match[1]) * MM_PER_UNIT[match[2]]
        else:
            value = self.tried(kinds.BAD_EXPRESSION, place, lambda: self._length(raw), NAN)
        if value < 10 or value > 50_000:
            message = msg(
                "{place}: {value} mm/min is not between 10 and 50 000 mm/min.",
                place=label(place),
                value=Quantity(value, "", 1),
            )
            self.report(kinds.BAD_NUMBER, place, message, msg("Check the number and its unit."))
            return NAN
        return value

    def text(self, written: str, *place: str | int) -> str:
        """Return a text with what stands for {name} in it; braces mean nothing in a kit without `texts`."""
        for name in dict.fromkeys(_BRACED.findall(written)) if self.texts else ():
            if name not in self.texts:
                self._unknown(name, {key: key for key in self.texts}, msg("text"), place)
        return _BRACED.sub(lambda found: self.texts.get(found[1], found[0]), written) if self.texts else written

    def look_up(self, table: Mapping[str, T], name: str, what: Message, *place: str | int) -> T | None:
        """Return the entry of a table; None and a finding with the nearest name where there is none."""
        if name in table:
            return table[name]
        self._unknown(name, {key: key for key in table}, what, place)
        return None

    def entry(self, table: Mapping[str, N], name: str, of: TableName, *place: str | int) -> N | None:
        """Return the entry of a table of the workshop that a name stands for; None and a finding where there is none.

        A key that only older kits use is read, with a note.
        """
        found = find(table, name)
        if found is None:
            self._unknown(name, names_of(table), term(of.one), place, command=of.many and f"kitforge list {of.many}")
            return None
        if found.former:
            message = msg(
                "{place}: the {what} '{old}' is called '{new}' now.",
                place=label(place),
                what=term(of.one),
                old=name,
                new=found.entry.key,
            )
            advice = msg("Write {new}; the old name is still read.", new=found.entry.key)
            self.report(kinds.FORMER_NAME, place, message, advice)
        return found.entry

    def _unknown(self, name: str, names: Mapping[str, str], what: Message, place: Place, command: str = "") -> None:
        message = msg("{place}: there is no {what} '{name}'.", place=label(place), what=what, name=name)
        near = nearest_name(name, names)
        if near is not None:
            advice = msg("Did you mean '{name}'?", name=names[near])
        else:
            keys = sorted(set(names.values()))
            advice = msg("What can be written here: {known}", known=known(keys, command))
        self.report(kinds.UNKNOWN_NAME, place, message, advice)

    def show(self, value: float) -> Message:
        """Return a length in the kit's units with the other system in brackets."""
        return both_units(value, self.unit)

    def _length(self, raw: Raw) -> float:
        return self.quantity(raw).as_length(self.factor)

    def _number(self, raw: Raw) -> float:
        return self.quantity(raw).as_number()

    def quantity(self, raw: Raw) -> DimensionedValue:
        """Return what is written, whatever its dimension. Raises ValueError."""
        if not isinstance(raw, str):
            return DimensionedValue(float(raw))
        expression = expression_in(raw)
        if expression is None:
            return DimensionedValue(parse_length(raw, self.unit), 1)
        if any(math.isnan(self.names[name].value) for name in expression.names if name in self.names):
            self.failures += 1
            return DimensionedValue(NAN)
        return expression.evaluate(self.names, self.factor)

    def _beyond(self, value: float, within: ValueRange, place: Place) -> Message:
        if within.low > 0 and value <= 0:
            return msg("{place}: {value} is not above zero.", place=label(place), value=self.show(value))
        low, high = self.show(within.low), self.show(within.high)
        return msg(
            "{place}: {value} is not between {low} and {high}.",
            place=label(place),
            value=self.show(value),
            low=low,
            high=high,
        )


def _not_between(place: Place, value: float, within: ValueRange, unit: str) -> Message:
    shown, low, high = (Quantity(number, unit.strip(), 3) for number in (value, *within))
    return msg("{place}: {value} is not between {low} and {high}.", place=label(place), value=shown, low=low, high=high)


def label(place: Place) -> str:
    """Return a place of kit.yaml in words, e.g. 'parts / board / operations / 2 / depth' (entries count from 1)."""
    return " / ".join(str(step + 1) if isinstance(step, int) else step for step in place)


def title_of(key: str) -> str:
    """Return a key as a title: 'drain-hole' becomes 'Drain hole'."""
    words = re.sub(r"[-_]+", " ", key).strip()
    return words[:1].upper() + words[1:]


def evaluate_parameters(sheet: ResolveContext, raw: Mapping[str, Raw]) -> None:
    """Work out the parameters, which may name each other, into `sheet.names`; cycles are reported by their names."""
    worked: dict[str, DimensionedValue] = {}
    sheet.names = worked
    waiting = {name: _needs(value) & raw.keys() for name, value in raw.items()}
    while ready := [name for name, needs in waiting.items() if not needs]:
        for name in ready:
            del waiting[name]
            worked[name] = _parameter(sheet, raw[name], name)
        for needs in waiting.values():
            needs.difference_update(ready)
    for name in waiting:
        worked[name] = DimensionedValue(NAN)
    if waiting:
        _report_cycle(sheet, waiting)


def _parameter(sheet: ResolveContext, raw: Raw, name: str) -> DimensionedValue:
    return sheet.tried(kinds.BAD_EXPRESSION, ("parameters", name), lambda: sheet.quantity(raw), DimensionedValue(NAN))


def _needs(raw: Raw) -> set[str]:
    expression = expression_in(raw)
    return set(expression.names) if expression else set()


def _report_cycle(sheet: ResolveContext, waiting: Mapping[str, set[str]]) -> None:
    name = next(iter(waiting))
    seen: list[str] = []
    while name not in seen:
        seen.append(name)
        name = sorted(waiting[name])[0]
    circle = [*seen[seen.index(name) :], name]
    message = msg("The parameters {names} need each other in a circle.", names=series(circle, " -> "))
    place = ("parameters", circle[0])
    sheet.report(kinds.BAD_EXPRESSION, place, message, msg("Give one of them a value of its own."))
