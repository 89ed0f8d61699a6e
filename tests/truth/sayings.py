"""What documents say: a value about something, at a place, and which of them contradict each other.

A length is said in mm, whatever unit it is printed in, with half of its last printed place as slack; so that what is
printed in both systems of units is two sayings about one thing.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

MM = {"mm": 1.0, "in": 25.4}
_NUMBER = r"\d+(?:[\u00a0\u202f ]\d{3})*(?:\.\d+)?"
_LENGTHS = re.compile(rf"((?:{_NUMBER})(?: (?:×|by) (?:Ø )?{_NUMBER})*)[ \u00a0](mm|in)\b")
_WORDS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


@dataclass(frozen=True, slots=True)
class Saying:
    """That a value is said of something at a place. slack: how far the value may be off by its rounding."""

    about: str
    value: float | str
    place: str
    slack: float = 0.0


@dataclass(frozen=True, slots=True)
class Length:
    """A printed length in mm, and half of its last place."""

    value: float
    slack: float


def lengths(text: str) -> Iterator[tuple[Length, ...]]:
    """Yield every length or product of lengths of a text, "450 × 370 mm" as one of two."""
    for match in _LENGTHS.finditer(text):
        per = MM[match[2]]
        yield tuple(_length(one, per) for one in re.findall(_NUMBER, match[1]))


def length(text: str) -> Iterator[Length]:
    """Yield the single length that a text begins with, in each of its units."""
    yield from (found[0] for found in lengths(text) if len(found) == 1)


def in_unit(text: str, unit: str) -> Length:
    """Return a number printed without its unit."""
    return _length(text, MM[unit])


def _length(text: str, per: float) -> Length:
    plain = number(text)
    places = len(plain.partition(".")[2])
    return Length(float(plain) * per, 0.5 * 10**-places * per + 1e-9)


def number(text: str) -> str:
    """Return a printed number without the spaces between its thousands."""
    return re.sub(r"[\u00a0\u202f ]", "", text)


def counted(text: str) -> int:
    """Return a number that may be a word."""
    return _WORDS.index(text.lower()) if text.lower() in _WORDS else int(text)


def minutes(text: str) -> tuple[int, int] | None:
    """Return the shortest and longest of a printed time, min: "35 min to 1 h 50 min", "40–85 min", "about 1 min"."""
    ends = text.removeprefix("about ").split(" to ")
    if len(ends) == 1 and (span := re.fullmatch(r"(\d+)–(\d+) min", ends[0])):
        return int(span[1]), int(span[2])
    if len(ends) == 1 and (span := re.fullmatch(r"(\d+)–(\d+) h", ends[0])):
        return 60 * int(span[1]), 60 * int(span[2])
    found = [re.fullmatch(r"(?:(\d+) h)? ?(?:(\d+) min)?", end) for end in ends]
    said = [60 * int(one[1] or 0) + int(one[2] or 0) for one in found if one is not None]
    return (said[0], said[-1]) if said and all(said) and len(said) == len(ends) else None


def of_lengths(about: str, said: Iterable[Length], place: str) -> Iterator[Saying]:
    """Yield lengths as sayings about one thing."""
    yield from (Saying(about, one.value, place, one.slack) for one in said)


def of_time(about: str, text: str, place: str) -> Iterator[Saying]:
    """Yield both ends of a time. Raises ValueError for what is none."""
    found = minutes(text)
    if found is None:
        raise ValueError(f"{place}: {text!r} is no time")
    yield Saying(f"{about}: shortest", found[0], place)
    yield Saying(f"{about}: longest", found[1], place)


def at_the_machine(text: str, place: str) -> Iterator[Saying]:
    """Yield the time at the machine, and the class whose time it is: "19–35 min (light router)"."""
    found = re.fullmatch(r"(.*) \((.*)\)", text)
    assert found is not None, f"{place}: {text}"
    yield from of_time("time at the machine", found[1], place)
    yield Saying("class whose time is stated", found[2].lower(), place)


_BOUGHT = re.compile(r"(?:- )?To buy(?: of (.*?))?: (.*)")
_WOOD = re.compile(r"\d+ (?:sheet|board)s?, ")


def is_wood(words: str) -> bool:
    """Return whether an amount to buy is one of sheets or boards."""
    return _WOOD.match(words) is not None


def to_buy(title: str, words: str, place: str) -> Iterator[Saying]:
    """Yield what is bought of a wood, in each unit system. title: of the wood, empty where there is one alone."""
    for system in words.rstrip(")").split(" ("):
        unit = "in" if re.search(r"\d in\b", system) else "mm"
        yield Saying(f"wood to buy of {title or 'the kit'}, {unit}", system.replace(" x ", " × "), place)


def to_buy_line(line: str, place: str) -> Iterator[Saying]:
    """Yield what a line of a list says of wood to buy; nothing where it says nothing of it."""
    if (found := _BOUGHT.fullmatch(line)) is not None:
        yield from to_buy(found[1] or "", found[2], place)


def contradictions(sayings: Iterable[Saying]) -> list[str]:
    """Return every two sayings that cannot both be true."""
    by_thing = defaultdict[str, dict[tuple[str, float | str], Saying]](dict)
    for saying in sayings:
        by_thing[saying.about].setdefault((saying.place, saying.value), saying)
    return [
        f"{about}: {one.place} says {_shown(one)}, {other.place} says {_shown(other)}"
        for about, said in by_thing.items()
        for one, other in combinations(said.values(), 2)
        if not _agree(one, other)
    ]


def met(sayings: Sequence[Saying]) -> dict[str, set[str]]:
    """Return of which things each document says something that another document says as well."""
    by_thing = defaultdict[str, set[str]](set)
    for saying in sayings:
        by_thing[saying.about].add(_document(saying))
    found = defaultdict[str, set[str]](set)
    for about, documents in by_thing.items():
        for one in documents if len(documents) > 1 else ():
            found[one].add(about)
    return dict(found)


def _document(saying: Saying) -> str:
    return saying.place.partition(",")[0]


def _agree(one: Saying, other: Saying) -> bool:
    if isinstance(one.value, str) or isinstance(other.value, str):
        return one.value == other.value
    return abs(one.value - other.value) <= one.slack + other.slack + 1e-6


def _shown(saying: Saying) -> str:
    return saying.value if isinstance(saying.value, str) else f"{saying.value:.6g}"
