"""Drawing lots for a random kit: numbers, sizes and picks that follow from a seed alone. Invented data."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeVar

T = TypeVar("T")


@dataclass(frozen=True)
class Lots:
    """The lots of one kit. `number` is its seed: tables are walked through in turn with it, the rest is drawn."""

    number: int
    source: random.Random

    def turn(self, items: Sequence[T], every: int = 1) -> T:
        """Return the item whose turn it is: consecutive seeds walk through all of them, `every` seeds one further."""
        return items[self.number // every % len(items)]

    def pick(self, items: Sequence[T]) -> T:
        """Return any of the items."""
        return items[int(self.source.random() * len(items))]

    def some(self, items: Sequence[T], count: int) -> list[T]:
        """Return up to `count` different items."""
        left, found = list(items), list[T]()
        while left and len(found) < count:
            found.append(left.pop(int(self.source.random() * len(left))))
        return found

    def chance(self, share: float) -> bool:
        """Return True in that share of the cases."""
        return self.source.random() < share

    def whole(self, low: int, high: int) -> int:
        """Return a whole number from low to high, both included."""
        return low + int(self.source.random() * (high - low + 1))

    def size(self, low: float, high: float, step: float = 0.5) -> float:
        """Return a length from low to high mm on a grid of `step`, sometimes off it as a drawing in inches is."""
        value = low + self.source.random() * max(0.0, high - low)
        return round(value, 3) if self.chance(0.15) else max(low, round(value / step) * step)


def lots(number: int) -> Lots:
    """Return the lots of the kit with this seed."""
    return Lots(number, random.Random(f"kit {number}"))


def mm(value: float) -> str:
    """Return a length as an author writes it."""
    return f"{round(value, 4):g} mm"


def at(x: float, y: float) -> list[str]:
    """Return a point as an author writes it."""
    return [mm(x), mm(y)]
