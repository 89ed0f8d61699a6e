"""An author's or buyer's own machine, read from a mapping and completed from the nearest class of the library."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from difflib import get_close_matches
from itertools import pairwise

from kitforge.model.errors import RefusedValueError, refusal
from kitforge.model.messages import Message, Quantity, msg, series
from kitforge.model.units import parse_length
from kitforge.model.workshop import MachineClass, Span
from kitforge.workshop.bounds import LIMITS
from kitforge.workshop.cutting_data import cutting_data
from kitforge.workshop.load import load_workshop
from kitforge.workshop.names import find, known

FIELDS = (
    "like",
    "name",
    "about",
    "area",
    "z_travel",
    "clearance",
    "rpm",
    "dial",
    "power",
    "force_limit",
    "force_class",
    "feed_limit",
    "plunge_limit",
    "acceleration",
    "collets",
    "nut",
)
_LENGTHS = ("area", "z_travel", "clearance", "collets", "nut")
_EXAMPLES = {"area": "[600, 400]", "rpm": "[10000, 24000]", "collets": "[3, 7]"}
_LONGEST_LIST = 40


def machine_from_mapping(key: str, data: Mapping[str, object]) -> MachineClass:
    """Return the machine that `data` describes; what it leaves out is taken from the class named by `like`.

    Fields: like (key of a library class; the nearest one if left out), name, about, area [x, y] mm, z_travel and
    clearance mm, rpm [lowest, highest], dial {position: min-1}, power W at the cutter, force_limit N or force_class
    (the limit of that library class), feed_limit and plunge_limit mm/min, acceleration mm/s2, collets (list of shank
    diameters, 'ER11'-style names or [low, high] pairs), nut (width of the collet nut mm; that of the widest ER collet
    named, else that of the class). Lengths are mm or text with a unit. z_travel, clearance, power and acceleration may
    be a number or [low, high]. What is given has the source 'author', what is taken from a class the source it has
    there. Raises RefusedMachineError with all problems.
    """
    reader = _Reader(data, load_workshop().machines)
    machine = reader.machine(key)
    if reader.problems:
        raise RefusedMachineError(key, reader.problems)
    return machine


class RefusedMachineError(ValueError):
    """A machine that cannot be: every problem with the field that has it ('' for none), as messages without full "
    "stops."""

    def __init__(self, key: str, problems: Sequence[tuple[str, Message]]) -> None:
        said = (f"{field}: {message}" if field else str(message) for field, message in problems)
        super().__init__("\n".join(f"machine '{key}': {line}" for line in said))
        self.problems = tuple(problems)


class _Reader:
    """Reads one mapping, collects every problem, and falls back to the library class for what is wrong or missing."""

    def __init__(self, data: Mapping[str, object], library: dict[str, MachineClass]) -> None:
        self.data = data
        self.library = library
        self.problems: list[tuple[str, Message]] = []
        for name in data:
            if name not in FIELDS:
                close = get_close_matches(_shown(name).strip("'"), FIELDS, n=1)
                if close:
                    said = msg("unknown field {field}; did you mean '{name}'?", field=_shown(name), name=close[0])
                else:
                    said = msg("unknown field {field}; known are {names}", field=_shown(name), names=series(FIELDS))
                self.refuse("", said)

    def refuse(self, field: str, problem: Message) -> None:
        """Note a problem with a field."""
        self.problems.append((field, problem))

    def machine(self, key: str) -> MachineClass:
        """Return the machine, complete even where problems were found."""
        area = self.area()
        base = self.base(area)
        lowest, highest, dial = self.speeds(base)
        feed = self.single("feed_limit") or base.feed
        shanks, collet_text, nut = self.collets(base)
        return MachineClass(
            key=key,
            name=self.text("name") or key.replace("_", " ").replace("-", " "),
            about=self.text("about") or f"A machine of the author's; what is not given is as for: {base.name}.",
            area=area or base.area,
            z_travel=self.span("z_travel") or base.z_travel,
            clearance=self.span("clearance") or base.clearance,
            lowest_speed=lowest,
            highest_speed=highest,
            cutter_power=self.span("power") or base.cutter_power,
            side_force=self.force(base),
            feed=feed,
            plunge=self.single("plunge_limit") or min(base.plunge, feed, key=lambda span: span.low),
            acceleration=self.span("acceleration") or base.acceleration,
            shanks=shanks,
            collet_text=collet_text,
            nut=self.single("nut") or nut,
            dial=dial,
            rank=base.rank,
            own=True,
        )

    def base(self, area: tuple[Span, Span] | None) -> MachineClass:
        """Return the library class named by `like`, or else the nearest one."""
        if self.data.get("like") is not None:
            return self.library_class("like") or self.weakest()
        given = {"side_force": self.quiet("force_limit"), "feed": self.quiet("feed_limit")}
        given |= {"cutter_power": self.quiet("power"), "area": _side(area) if area else None}
        ranked = sorted(self.library.values(), key=lambda machine: machine.rank)
        return min(ranked, key=lambda machine: _distance(machine, given))

    def library_class(self, field: str) -> MachineClass | None:
        """Return the library class that a field names."""
        name = self.data.get(field)
        found = find(self.library, name) if isinstance(name, str) else None
        if found is None:
            self.refuse(field, msg("{name} is no machine class; {known}", name=_shown(name), known=known(self.library)))
        return None if found is None else found.entry

    def weakest(self) -> MachineClass:
        """Return the weakest library class."""
        return min(self.library.values(), key=lambda machine: machine.rank)

    def text(self, field: str) -> str | None:
        """Return a short text."""
        value = self.data.get(field)
        if value is None:
            return None
        if not isinstance(value, str) or not value.strip() or len(value) > 300 or not value.isprintable():
            self.refuse(field, msg("write one line of up to 300 characters"))
            return None
        return value.strip()

    def amount(self, field: str, value: object) -> float | None:
        """Return one number within the field's limits, or note the problem."""
        low, high, unit = LIMITS[field]
        try:
            number = _number(value, is_length=field in _LENGTHS)
        except ValueError as error:
            self.refuse(field, refusal(error))
            return None
        if not low <= number <= high:
            self.refuse(field, _not_between(number, low, high, unit))
            return None
        return number

    def single(self, field: str) -> Span | None:
        """Return a field that holds one number, as a range of no width."""
        value = self.data.get(field)
        number = None if value is None else self.amount(field, value)
        return None if number is None else _exactly(number)

    def quiet(self, field: str) -> float | None:
        """Return a number to choose the nearest class by, without noting problems."""
        value = self.data.get(field)
        first = value[0] if isinstance(value, list) and value else value
        try:
            return max(_number(first, is_length=False), 1e-6)
        except ValueError:
            return None

    def pair(self, field: str, value: object) -> tuple[float, float] | None:
        """Return two numbers within the field's limits."""
        if not isinstance(value, list | tuple) or len(value) != 2:
            example = _EXAMPLES.get(field, "[low, high]")
            self.refuse(field, msg("write two numbers such as {example}", example=example))
            return None
        first, second = self.amount(field, value[0]), self.amount(field, value[1])
        return None if first is None or second is None else (first, second)

    def span(self, field: str) -> Span | None:
        """Return a range given as [low, high] or as one number."""
        value = self.data.get(field)
        if value is None:
            return None
        if not isinstance(value, list | tuple):
            return self.single(field)
        found = self.rising(field, value)
        return None if found is None else Span(*found, "author", "author")

    def rising(self, field: str, value: object) -> tuple[float, float] | None:
        """Return two numbers of which the first is not above the second."""
        found = self.pair(field, value)
        if found is None or found[0] <= found[1]:
            return found
        self.refuse(field, msg("write the lower number first"))
        return None

    def area(self) -> tuple[Span, Span] | None:
        """Return the X and Y travel."""
        value = self.data.get("area")
        found = None if value is None else self.pair("area", value)
        return None if found is None else (_exactly(found[0]), _exactly(found[1]))

    def speeds(self, base: MachineClass) -> tuple[Span, Span, tuple[tuple[str, float], ...]]:
        """Return the lowest and the highest speed and the dial; a dial alone gives the speeds."""
        rpm, dial = self.span("rpm"), self.dial()
        if rpm is None and not dial:
            return base.lowest_speed, base.highest_speed, ()
        if rpm is None:
            return _exactly(dial[0][1]), _exactly(dial[-1][1]), dial
        if any(not rpm.low <= speed <= rpm.high for _, speed in dial):
            low, high = (Quantity(end, "", 6) for end in (rpm.low, rpm.high))
            self.refuse("dial", msg("a speed lies outside rpm {low} to {high}", low=low, high=high))
        return _exactly(rpm.low), _exactly(rpm.high), dial

    def dial(self) -> tuple[tuple[str, float], ...]:
        """Return the dial's positions with their speeds."""
        value = self.data.get("dial")
        if value is None:
            return ()
        if not isinstance(value, Mapping) or not 1 <= len(value) <= _LONGEST_LIST:
            example = '{"1": 10000, "2": 14000}'
            self.refuse("dial", msg("write positions with their speeds, such as {example}", example=example))
            return ()
        read = [(str(position)[:12], self.amount("dial", speed)) for position, speed in value.items()]
        rows = tuple((position, speed) for position, speed in read if speed is not None)
        if any(first[1] >= second[1] for first, second in pairwise(rows)):
            self.refuse("dial", msg("speeds must rise from one position to the next"))
            return ()
        return rows

    def force(self, base: MachineClass) -> Span:
        """Return the side force that the machine takes."""
        if self.data.get("force_class") is None:
            return self.single("force_limit") or base.side_force
        if self.data.get("force_limit") is not None:
            self.refuse("force_class", msg("give either force_limit or force_class, not both"))
        return (self.library_class("force_class") or base).side_force

    def collets(self, base: MachineClass) -> tuple[tuple[Span, ...], str, Span]:
        """Return the shank ranges, their text, and the width of the nut: of the widest ER collet, else of the class."""
        value = self.data.get("collets")
        if value is None:
            return base.shanks, base.collet_text, base.nut
        if not isinstance(value, Sequence) or isinstance(value, str) or not 1 <= len(value) <= _LONGEST_LIST:
            self.refuse("collets", msg("write a list such as [3.175, 6.35] or [ER11]"))
            return base.shanks, base.collet_text, base.nut
        read = [(item, self.collet(item)) for item in value]
        kept = [(item, shanks) for item, shanks in read if shanks is not None]
        text = ", ".join(_collet_name(item) for item, _ in kept)
        sizes = [size for item, _ in kept if (size := _size_name(item)) is not None]
        nuts = [cutting_data().nuts[size] for size in sizes]
        nut = max(nuts, key=lambda span: span.high, default=base.nut)
        return tuple(shanks for _, shanks in kept) or base.shanks, text, nut

    def collet(self, item: object) -> Span | None:
        """Return the shank range of one collet: a size name, a diameter or [low, high]."""
        sizes, name = cutting_data().collets, _size_name(item)
        if name is not None and name in sizes:
            return sizes[name]
        if name is not None:
            self.refuse(
                "collets", msg("{name} is not known; known are {names}", name=_shown(item), names=series(sizes))
            )
            return None
        if isinstance(item, list | tuple):
            found = self.rising("collets", item)
            return None if found is None else Span(*found, "author", "author")
        diameter = self.amount("collets", item)
        return None if diameter is None else _exactly(diameter)


def _not_between(number: float, low: float, high: float, unit: str) -> Message:
    shown, least, most = (Quantity(value, "", 6) for value in (number, low, high))
    return msg("{value} is not between {low} and {high} {unit}", value=shown, low=least, high=most, unit=unit)


def _exactly(value: float) -> Span:
    return Span(value, value, "author", "author")


def _side(area: tuple[Span, Span]) -> float:
    """Return the side of a square as large as the smallest table of an area, mm."""
    return math.sqrt(area[0].low * area[1].low)


def _size_name(item: object) -> str | None:
    """Return the name of an ER collet size as written in the tables, or None for anything else."""
    name = item.strip().upper() if isinstance(item, str) else ""
    return name if name.startswith("ER") else None


def _number(value: object, *, is_length: bool) -> float:
    if is_length and isinstance(value, str):
        return parse_length(value[:60], "mm")
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise RefusedValueError(msg("{value} is not a number", value=_shown(value)))
    try:
        number = float(value)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        raise RefusedValueError(msg("{value} is not a finite number", value=_shown(value)))
    return number


def _shown(value: object) -> str:
    if isinstance(value, int) and abs(value) > 10**18:
        return "a huge number"  # Python refuses to print very long whole numbers
    return f"'{str(value)[:40]}'" if isinstance(value, str | int | float) else f"a {type(value).__name__}"


def _collet_name(item: object) -> str:
    if isinstance(item, list | tuple):
        return " to ".join(str(part)[:12] for part in item[:2]) + " mm"
    return f"{item:g} mm" if isinstance(item, int | float) else str(item)[:20]


def _distance(machine: MachineClass, given: Mapping[str, float | None]) -> float:
    """How far a class is from the given figures: sum of the logarithms of their ratios."""
    of_class = {
        "side_force": machine.force_limit,
        "feed": machine.feed_limit,
        "cutter_power": machine.cutter_power.middle,
        "area": _side(machine.area),
    }
    return sum(abs(math.log(value / of_class[name])) for name, value in given.items() if value is not None)
