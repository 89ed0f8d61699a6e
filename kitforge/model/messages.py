"""Messages as data: a template with named values. Words are made at the edge, in the reader's language and units.

    msg("The pocket is {depth} deep, the stock {thickness} thick.", depth=mm(12.5), thickness=mm(12))

A program decides by codes and values, never by these words. Values are: a Quantity (a number with its unit), a plain
int, a plain str (a key, or what an author wrote: in the reader's language where the author gave it in that), another
Message (translated), Numbers that share a unit, Listed things, Advices, or an Inner name. A word of the tables goes in
as `term(word)`, so that it is translated, and as `inner(word)` where it does not begin the sentence.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from kitforge.model.own_words import FIRST_LANGUAGE, OwnText
from kitforge.model.record import record
from kitforge.model.units import MM_PER_INCH, fixed_number, mm_number, plain_number

_PLACES_OF_INCHES = 3
_IN_INCHES = {
    "mm": (1 / MM_PER_INCH, "in"),
    "mm²": (1 / MM_PER_INCH**2, "in²"),
    "mm/min": (1 / MM_PER_INCH, "in/min"),
}


@record
class Quantity:
    """A number with its unit ('' for none) and how many places after the point it is worth. Lengths are in mm.

    padded: all places are written, zeros too.
    """

    value: float
    unit: str
    places: int = 2
    padded: bool = False


@record
class Numbers:
    """Numbers that share a unit, put into a form: '({}, {})' for a place, '{} × {}' for a size. Lengths are in mm.

    bare: the unit is not written; it stands beside another number of the sentence.
    """

    values: tuple[float, ...]
    unit: str
    form: str
    places: int = 2
    padded: bool = False
    bare: bool = False


@record
class Listed:
    """Things named one after the other: 'a, b and c', with another word before the last, or with none."""

    items: tuple[Value, ...]
    last: Literal["and", "or", ""] = "and"
    between: str = ", "


@record
class Advices:
    """Short pieces of advice as one sentence: with semicolons between, a capital at the start and a full stop."""

    items: tuple[Text, ...]


@record
class Inner:
    """A name of the tables inside a sentence: with a small letter where the language writes nouns so."""

    name: Message


@record
class Message:
    """A template in English with its values; `many` is the template for another count than one."""

    template: str
    values: tuple[tuple[str, Value], ...] = ()
    many: str | None = None
    count: int = 1

    def __str__(self) -> str:
        return ENGLISH.write(self)

    def __bool__(self) -> bool:
        return bool(self.template)

    def texts(self) -> Iterator[str]:
        """Yield the texts among the values, those of messages within it too; the words of the templates are none."""
        for _name, value in self.values:
            yield from _texts(value)


Value = str | int | Quantity | Numbers | Message | Listed | Advices | Inner


def _texts(value: Value) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, Message):
        yield from value.texts()
    elif isinstance(value, Inner):
        yield from value.name.texts()
    elif isinstance(value, Listed | Advices):
        for item in value.items:
            yield from _texts(item)


Text = str | Message
"""What becomes words when it is told: a message of ours, or what an author wrote, which stays as it is."""


def term(word: str, /) -> Message:
    """Return a word of the tables or a key word (a wood, a class of machine) as a message, which is translated."""
    return Message(str(word))


def inner(word: str, /) -> Inner:
    """Return a word of the tables for the inside of a sentence; it is translated."""
    return Inner(term(word))


def small_start(name: str, /) -> str:
    """Return a name with a small letter at its start, but for initials."""
    return name if name[:3] in ("MDF", "OSB") or name.isupper() else name[:1].lower() + name[1:]


NO_ADVICE = Message("")
"""Where there is nothing to do."""


def later(text: str, /) -> str:
    """Mark a text of the code that is translated later, when it is printed, so that catalogues hold it."""
    return text


def msg(template: str, /, **values: Value) -> Message:
    """Return a message; every place of the template has a value of its name."""
    return Message(template, tuple(values.items()))


def msg_many(one: str, many: str, count: int, /, **values: Value) -> Message:
    """Return a message about `count` things, which is the value {count}."""
    return Message(one, (("count", count), *values.items()), many, count)


def mm(value: float, places: int = 2) -> Quantity:
    """Return a length given in mm; a reader who works in inches is told it in inches."""
    return Quantity(value, "mm", places)


def bare_mm(value: float, places: int = 2) -> Numbers:
    """Return a length given in mm without its unit, for 'from 1 to 2 mm'."""
    return Numbers((value,), "mm", "{}", places, bare=True)


def area_mm2(value: float, places: int = 1) -> Quantity:
    """Return an area given in mm²."""
    return Quantity(value, "mm²", places)


def point_mm(at: tuple[float, float], places: int = 2) -> Numbers:
    """Return a place given in mm, e.g. '(12.5, 3) mm'."""
    return Numbers(at, "mm", "({}, {})", places)


def size_mm(*sides: float, places: int = 1) -> Numbers:
    """Return a size given in mm, e.g. '120 × 60 mm'."""
    return Numbers(sides, "mm", " × ".join(["{}"] * len(sides)), places)


def both_units(length: float, unit: str = "mm") -> Message:
    """Return a length given in mm as '18 mm (0.709 in)', or the other way round where `unit` is 'in'."""
    metric = Quantity(length, "", 1 if unit == "in" else 2)
    inches = Quantity(length / MM_PER_INCH, "", 3, padded=True)
    if unit == "in":
        return Message("{inches} in ({mm} mm)", (("inches", inches), ("mm", metric)))
    return Message("{mm} mm ({inches} in)", (("mm", metric), ("inches", inches)))


def newton(value: float, places: int = 0) -> Quantity:
    """Return a force in N."""
    return Quantity(value, "N", places)


def listed(items: Iterable[Value], *, either: bool = False) -> Listed:
    """Return things to be named one after the other."""
    return Listed(tuple(items), "or" if either else "and")


def series(items: Iterable[Value], between: str = ", ") -> Listed:
    """Return things to be written one after the other, without a word before the last."""
    return Listed(tuple(items), "", between)


def _as_it_is(text: str) -> str:
    return text


def _first_of_two(one: str, many: str, count: int) -> str:
    return one if count == 1 else many


@dataclass(frozen=True)
class Wording:
    """How messages become words: translation, wording for a count, decimal sign, and units ('mm' or 'in').

    capital_nouns: the language writes them with a capital inside a sentence too. code: of the language.
    """

    text: Callable[[str], str] = _as_it_is
    counted: Callable[[str, str, int], str] = _first_of_two
    point: str = "."
    units: str = "mm"
    capital_nouns: bool = False
    code: str = FIRST_LANGUAGE

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
        if isinstance(value, Inner):
            name = self.write(value.name)
            return name if self.capital_nouns else small_start(name)
        if isinstance(value, Advices):
            words = "; ".join(self.write(item) for item in value.items)
            return f"{words[:1].upper()}{words[1:]}{'.' if words else ''}"
        return value.said_in(self.code) if isinstance(value, OwnText) else str(value)

    def _message(self, message: Message) -> str:
        if message.many is not None:
            template = self.counted(message.template, message.many, message.count)
        else:
            template = self.text(message.template)
        if not message.values:
            return template
        return template.format(**{name: self.write(value) for name, value in message.values})

    def _quantity(self, quantity: Quantity) -> str:
        return self._numbers(Numbers((quantity.value,), quantity.unit, "{}", quantity.places, quantity.padded))

    def _numbers(self, numbers: Numbers) -> str:
        unit, places, factor = numbers.unit, numbers.places, 1.0
        if self.units == "in" and unit in _IN_INCHES:
            factor, unit = _IN_INCHES[unit]
            places = max(_PLACES_OF_INCHES, places + 1)
        plain = mm_number if unit == "mm" else plain_number
        write = fixed_number if numbers.padded else plain
        written = [write(value * factor, places).replace(".", self.point) for value in numbers.values]
        form = numbers.form.replace(", ", "; ") if self.point == "," else numbers.form
        text = form.format(*written)
        return text if numbers.bare else f"{text} {unit}".rstrip()

    def _listed(self, listed: Listed) -> str:
        words = [self.write(item) for item in listed.items]
        if len(words) < 2 or not listed.last:
            return listed.between.join(words)
        last = self.text("{first} or {last}" if listed.last == "or" else "{first} and {last}")
        return last.format(first=listed.between.join(words[:-1]), last=words[-1])


ENGLISH = Wording()
