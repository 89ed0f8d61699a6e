"""Quantities: a number with its dimension as a power of length."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from kitforge.model.errors import RefusedValueError
from kitforge.model.messages import Message, later, msg, term
from kitforge.model.record import record

LARGEST = 1e9
_WORDS = {0: later("a plain number"), 1: later("a length"), 2: later("an area"), 3: later("a volume")}


@record
class DimensionedValue:
    """A value in mm to a power: 0 a plain number, 1 a length, 2 an area. `ratio`: lengths have cancelled out.

    Every method that cannot go on raises ValueError in plain words.
    """

    value: float
    power: int = 0
    ratio: bool = False

    @property
    def kind(self) -> Message:
        """What the quantity is, in words."""
        if self.power in _WORDS:
            return term(_WORDS[self.power])
        return msg("a length to the power {power}", power=self.power)

    def checked(self) -> DimensionedValue:
        """Return the same quantity, or raise if it is not finite or absurdly large."""
        if not math.isfinite(self.value) or abs(self.value) > LARGEST or abs(self.power) > 6:
            raise RefusedValueError(msg("the result grows beyond all bounds"))
        return self

    def plus(self, other: DimensionedValue, unit: float) -> DimensionedValue:
        """Add; a bare number beside a length counts in units of `unit` mm."""
        a, b = self._alike(other, unit)
        return DimensionedValue(a.value + b.value, a.power, a.ratio or b.ratio)

    def minus(self, other: DimensionedValue, unit: float) -> DimensionedValue:
        """Subtract; a bare number beside a length counts in units of `unit` mm."""
        return self.plus(other.negated(), unit)

    def times(self, other: DimensionedValue) -> DimensionedValue:
        """Multiply; the powers add."""
        power = self.power + other.power
        return DimensionedValue(self.value * other.value, power, self._ratio(other, power))

    def over(self, other: DimensionedValue) -> DimensionedValue:
        """Divide; the powers subtract. Raises ZeroDivisionError."""
        power = self.power - other.power
        return DimensionedValue(self.value / other.value, power, self._ratio(other, power))

    def negated(self) -> DimensionedValue:
        """Return the quantity with the other sign."""
        return DimensionedValue(-self.value, self.power, self.ratio)

    def root(self) -> DimensionedValue:
        """Return the square root; of an area it is a length."""
        if self.value < 0:
            raise RefusedValueError(msg("the square root of a negative number does not exist"))
        if self.power % 2:
            raise RefusedValueError(msg("sqrt() of {kind} has no meaning", kind=self.kind))
        return DimensionedValue(math.sqrt(self.value), self.power // 2, self.ratio)

    def rounded(self, turn: Callable[[float], float], unit: float) -> DimensionedValue:
        """Round with `turn`, lengths in units of `unit` mm."""
        scale = unit**self.power
        return DimensionedValue(float(turn(self.value / scale)) * scale, self.power, self.ratio)

    def turned(self, function: Callable[[float], float], name: str) -> DimensionedValue:
        """Return a trigonometric function of a number of degrees."""
        if self.power:
            raise RefusedValueError(msg("{name}() takes an angle in degrees, not {kind}", name=name, kind=self.kind))
        return DimensionedValue(function(math.radians(self.value)))

    def extreme(self, others: Sequence[DimensionedValue], unit: float, *, largest: bool) -> DimensionedValue:
        """Return the smallest or the largest of several quantities."""
        best = self
        for other in others:
            a, b = best._alike(other, unit)
            best = b if (b.value > a.value) == largest and b.value != a.value else a
        return best

    def as_length(self, unit: float) -> float:
        """Return the length in mm; a bare number counts in units of `unit` mm."""
        if self.power == 1:
            return self.value
        if self.power == 0 and not self.ratio:
            return self.value * unit
        if self.power == 0:
            raise RefusedValueError(
                msg("a length divided by a length is no length any more; multiply it by one such as 1 mm")
            )
        raise RefusedValueError(msg("a length is wanted, and this is {kind}", kind=self.kind))

    def as_number(self) -> float:
        """Return the plain number."""
        if self.power:
            raise RefusedValueError(msg("a plain number is wanted, and this is {kind}", kind=self.kind))
        return self.value

    def _ratio(self, other: DimensionedValue, power: int) -> bool:
        """Whether a product or quotient is a number out of which lengths have cancelled."""
        return power == 0 and (self.ratio or other.ratio or self.power != 0)

    def _alike(self, other: DimensionedValue, unit: float) -> tuple[DimensionedValue, DimensionedValue]:
        if self.power == other.power:
            return self, other
        if {self.power, other.power} == {0, 1}:
            return DimensionedValue(self.as_length(unit), 1), DimensionedValue(other.as_length(unit), 1)
        raise RefusedValueError(
            msg("{kind} and {kind_2} cannot be added or compared", kind=self.kind, kind_2=other.kind)
        )
