"""Messages as data: a template with named values. Words are made at the edge, in the reader's language and units.

    msg("The pocket is {depth} deep, the stock {thickness} thick.", depth=mm(12.5), thickness=mm(12))

A program decides by codes and values, never by these words. Values are: a Quantity (a number with its unit), a plain
int, a plain str (what an author wrote, a key: never translated), another Message (translated), Numbers that share a
unit, or Listed ones.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from kitforge.model.units import MM_PER_INCH, plain_number

_PLACES_OF_INCHES = 3
_IN_INCHES = {
    "mm": (1 / MM_PER_INCH, "in"),
    "mm²": (1 / MM_PER_INCH**2, "in²"),
    "mm/min": (1 / MM_PER_INCH, "in/min"),
}


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number with its unit ('' for none) and how many places after the point it is worth. Lengths are in mm."""

    value: float
    unit: str
    places: int = 2


@dataclass(frozen=True, slots=True)
class Numbers:
    """Numbers that share a unit, put into a form: '({}, {})' for a place, '{} × {}' for a size. Lengths are in mm."""

    values: tuple[float, ...]
    unit: str
    form: str
    places: int = 2


@dataclass(frozen=True, slots=True)
class Listed:
    """Things named one after the other: 'a, b and c' ('or' with `either`)."""

    items: tuple[Value, ...]
    either: bool = False


@dataclass(frozen=True, slots=True)
class Message:
    """A template in English with its values; `many` is the template for another count than one."""

    template: str
    values: tuple[tuple[str, Value], ...] = ()
    many: str | None = None
    count: int = 1

    def __str__(self) -> str:
        return ENGLISH.write(self)


Value = str | int | Quantity | Numbers | Message | Listed


def msg(template: str, /, **values: Value) -> Message:
    """Return a message; every place of the template has a value of its name."""
    return Message(template, tuple(values.items()))


def msg_many(one: str, many: str, count: int, /, **values: Value) -> Message:
    """Return a message about `count` things, which is the value {count}."""
    return Message(one, (("count", count), *values.items()), many, count)


def mm(value: float, places: int = 2) -> Quantity:
    """Return a length given in mm; a reader who works in inches is told it in inches."""
    return Quantity(value, "mm", places)


def area_mm2(value: float, places: int = 1) -> Quantity:
    """Return an area given in mm²."""
    return Quantity(value, "mm²", places)


def point_mm(at: tuple[float, float], places: int = 2) -> Numbers:
    """Return a place given in mm, e.g. '(12.5, 3) mm'."""
    return Numbers(at, "mm", "({}, {})", places)


def size_mm(*sides: float, places: int = 1) -> Numbers:
    """Return a size given in mm, e.g. '120 × 60 mm'."""
    return Numbers(sides, "mm", " × ".join(["{}"] * len(sides)), places)


def newton(value: float, places: int = 0) -> Quantity:
    """Return a force in N."""
    return Quantity(value, "N", places)


def listed(items: Iterable[Value], *, either: bool = False) -> Listed:
    """Return things to be named one after the other."""
    return Listed(tuple(items), either)


def _as_it_is(text: str) -> str:
    return text


def _first_of_two(one: str, many: str, count: int) -> str:
    return one if count == 1 else many


@dataclass(frozen=True)
class Wording:
    """How messages become words: translation, wording for a count, decimal sign, and units ('mm' or 'in')."""

    text: Callable[[str], str] = _as_it_is
    counted: Callable[[str, str, int], str] = _first_of_two
    point: str = "."
    units: str = "mm"

    def write(self, value: Value) -> str:
        """Return a value in words."""
        if isinstance(value, Message):
            return self._message(value)
        if isinstance(value, Quantity):
            return self._quantity(value)
        if isinstance(value, Numbers):
            return self._numbers(value)
        if isinstance(value, Listed):
            return self._listed(value)
        return str(value)

    def _message(self, message: Message) -> str:
        if message.many is not None:
            template = self.counted(message.template, message.many, message.count)
        else:
            template = self.text(message.template)
        if not message.values:
            return template
        return template.format(**{name: self.write(value) for name, value in message.values})

    def _quantity(self, quantity: Quantity) -> str:
        return self._numbers(Numbers((quantity.value,), quantity.unit, "{}", quantity.places))

    def _numbers(self, numbers: Numbers) -> str:
        unit, places, factor = numbers.unit, numbers.places, 1.0
        if self.units == "in" and unit in _IN_INCHES:
            factor, unit = _IN_INCHES[unit]
            places = max(_PLACES_OF_INCHES, places + 1)
        written = [plain_number(value * factor, places).replace(".", self.point) for value in numbers.values]
        return f"{numbers.form.format(*written)} {unit}".rstrip()

    def _listed(self, listed: Listed) -> str:
        words = [self.write(item) for item in listed.items]
        if len(words) < 2:
            return "".join(words)
        last = self.text("{first} or {last}") if listed.either else self.text("{first} and {last}")
        return last.format(first=", ".join(words[:-1]), last=words[-1])


ENGLISH = Wording()
