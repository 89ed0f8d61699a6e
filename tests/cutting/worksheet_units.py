"""The formulas of a worksheet worked once with quantities, by an independent library of units.

A formula is right in its units when working it with quantities gives what working it with bare numbers gives, in the
unit of its row: so a forgotten factor shows as well as a forgotten length.
"""

from __future__ import annotations

import math
import random
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import pint

from kitforge.cutting.worksheet.expression import Binary, Call, Choice, Name, Node, Number, Text, Unary, Word, walk
from kitforge.cutting.worksheet.rows import Case, LimitRow, Row, ToldRow
from kitforge.cutting.worksheet.symbols import TABLES, CheckedSheet, Scope

UNITS: Any = pint.UnitRegistry()
EXPONENT = 0.4
"""The chip's exponent m in the unit of the force constants."""
TRIES = 300
"""A formula is worked with other numbers where these lie outside the domain of a root or an angle."""

Quantity = pint.Quantity
Worked = Any
"""A quantity, whether something holds, a word or none: the library's own types say nothing of units."""


class UnitError(Exception):
    """A formula is wrong in its units."""


def unit_of(text: str) -> str:
    """Return a unit of the sheet as the library writes it: 'mm^(1-m)' is mm ** 0.6."""
    exponents = text.replace("min-1", "1/min").replace("(1-m)", str(1 - EXPONENT)).replace("^m", f"**{EXPONENT}")
    return re.sub(r"([a-z])(\d)", r"\1**\2", exponents.replace("^", "**")) or "dimensionless"


@dataclass
class Numbers:
    """Values of symbols, drawn when they are asked for."""

    seed: int
    drawn: dict[str, float]

    def of(self, symbol: str, unit: str) -> float:
        if symbol == "m":
            return EXPONENT
        if symbol not in self.drawn:
            dice = random.Random(f"{self.seed} {symbol}")
            low, high = (0.05, 0.45) if unit == "" else (1.0, 9.0)
            self.drawn[symbol] = dice.uniform(low, high)
        return self.drawn[symbol]


@dataclass
class Calculator:
    """Works formulas; plain: with bare numbers, as the programs do."""

    checked: CheckedSheet
    numbers: Numbers
    plain: bool
    scope: Scope
    bound: tuple[str, str] | None = None

    def quantity(self, value: float, unit: str) -> Any:
        return UNITS.Quantity(value, "" if self.plain else unit_of(unit))

    def work(self, node: Node) -> Worked:  # noqa: C901 - one branch for each kind of node
        match node:
            case Number(text):
                return UNITS.Quantity(float(text))
            case Word("pi"):
                return UNITS.Quantity(math.pi)
            case Word(word):
                return None if word == "none" else word == "yes"
            case Text(text):
                return text
            case Name():
                return self._name(node)
            case Unary("-", operand):
                return -self._number(operand)
            case Unary(_, operand):
                return not self.work(operand)
            case Binary():
                return self._binary(node)
            case Call():
                return self._call(node)
            case Choice(items):
                return all(self.work(item) is not None for item in items)
        raise TypeError(node)

    def _number(self, node: Node) -> Any:
        found = self.work(node)
        if not isinstance(found, Quantity):
            raise UnitError(f"{node} is no number")
        return found

    def _name(self, name: Name) -> Worked:
        first, *rest = name.parts
        if self.bound and first == self.bound[0]:
            return self.quantity(self.numbers.of(first, self.bound[1]), self.bound[1])
        kind = self.scope.find(first)
        if kind is None:
            return None  # a place in the records: its row says its unit
        unit = self.scope.unit(first)
        if rest and kind.name in self.checked.scopes:
            inner = self.checked.scopes[kind.name]
            kind, unit = inner.kinds[rest[0]], inner.units[rest[0]]
        elif rest and rest[0] not in ("low", "high"):
            return rest[0] == "load"
        if kind.name in ("number", "window"):
            return self.quantity(self.numbers.of(str(name), unit), unit)
        return True if kind.name == "yes" else str(name)

    def _binary(self, node: Binary) -> Worked:
        sign = node.sign
        if sign in ("and", "or", "in") or (sign in ("==", "!=") and not self._both_numbers(node)):
            return bool(self.work(node.left)) or bool(self.work(node.right))
        left, right = self._number(node.left), self._number(node.right)
        if sign == "^":
            return left ** right.to("").magnitude
        if sign in ("*", "/"):
            return left * right if sign == "*" else left / right
        left, right = self._alike(node, left, right)
        if sign in ("+", "-"):
            return left + right if sign == "+" else left - right
        return bool(left < right)

    def _both_numbers(self, node: Binary) -> bool:
        return isinstance(self.work(node.left), Quantity) and isinstance(self.work(node.right), Quantity)

    def _alike(self, node: Binary, left: Any, right: Any) -> tuple[Any, Any]:
        """Return both in one unit; a bare number in a comparison is in the unit of the other side."""
        bare = isinstance(node.right, Number) and node.sign not in ("+", "-")
        if bare:
            right = UNITS.Quantity(right.magnitude, left.units)
        return left, right.to(left.units)

    def _call(self, call: Call) -> Worked:
        if call.name == "largest":
            bound, top, holds = call.arguments
            assert isinstance(bound, Name)
            found = self._number(top)
            self.bound = bound.parts[0], "mm"
            self.work(holds)
            self.bound = None
            return found
        if call.name in self.checked.blocks:
            return self._block(call)
        if call.name in TABLES:
            for argument in call.arguments[1:]:
                if not isinstance(argument, Number):
                    self.work(argument)
            return UNITS.Quantity(1.0) if call.name == "count" else None
        return self._function(call.name, [self._number(one) for one in call.arguments], call)

    def _block(self, call: Call) -> Worked:
        inner, block = self.checked.scopes[call.name], self.checked.blocks[call.name]
        for argument, (symbol, unit, _words) in zip(call.arguments, block.parameters, strict=True):
            if inner.kinds[symbol].name == "number" and not self.plain:
                self._number(argument).to(unit_of(unit))
        if call.part is None:
            return call.name
        unit = inner.units[call.part]
        return self.quantity(self.numbers.of(f"{call.name}.{call.part}", unit), unit)

    def _function(self, name: str, values: list[Any], call: Call) -> Any:
        if name in ("min", "max"):
            others = [v for v, node in zip(values, call.arguments, strict=True) if node != Number("0")]
            same = [value.to(others[0].units) for value in others]
            zeros = [UNITS.Quantity(0.0, others[0].units)] * (len(values) - len(others))
            return min(*same, *zeros) if name == "min" else max(*same, *zeros)
        if name == "sqrt":
            return values[0] ** 0.5
        if name in ("sin", "cos", "tan"):
            angle = values[0].magnitude if self.plain else values[0].to("deg").magnitude
            if not self.plain and values[0].units != UNITS.deg:
                raise UnitError(f"{name} takes degrees, not {values[0].units}")
            return UNITS.Quantity(getattr(math, name)(math.radians(angle)))
        function = {"acos": math.acos, "floor": math.floor}[name]
        return UNITS.Quantity(float(function(values[0].to("").magnitude)))


def wrong_units(checked: CheckedSheet) -> Iterator[str]:
    """Yield every formula and condition of a worksheet that is wrong in its units, with why."""
    for block, row in checked.sheet.rows():
        scope = checked.scopes[block.name if block else ""]
        for case in row.cases:
            yield from _wrong(checked, scope, row, case)
    for entry in checked.sheet.entries:
        if isinstance(entry, ToldRow):
            try:
                Calculator(checked, Numbers(0, {}), False, checked.scopes[""]).work(entry.when)
            except (pint.DimensionalityError, UnitError) as error:
                yield f"{entry.at}: {error}"


def _wrong(checked: CheckedSheet, scope: Scope, row: Row | LimitRow, case: Case) -> Iterator[str]:
    for seed in range(TRIES):
        numbers = Numbers(seed, {})
        try:
            if case.when is not None:
                Calculator(checked, numbers, False, scope).work(case.when)
            worked = Calculator(checked, numbers, False, scope).work(case.formula)
            bare = Calculator(checked, numbers, True, scope).work(case.formula)
        except (pint.DimensionalityError, UnitError) as error:
            yield f"{case.at}: {row.symbol} = {case.text}: {error}"
            return
        except (ValueError, TypeError):  # outside a domain: a negative root becomes complex, an angle has no cosine
            continue
        if not (_is_complex(worked) or _is_complex(bare)):
            yield from _compared(row, case, worked, bare)
            return
    yield f"{case.at}: {row.symbol} = {case.text}: no numbers were found that it can be worked with"


def _compared(row: Row | LimitRow, case: Case, worked: Worked, bare: Worked) -> Iterator[str]:
    if not isinstance(worked, Quantity) or not isinstance(bare, Quantity):
        return
    if not any(isinstance(node, Name | Call) for node in walk(case.formula)):
        return  # a constant is in the unit of its row
    try:
        found = rounded(worked).to(rounded(UNITS.Quantity(1.0, unit_of(row.unit))).units).magnitude
    except pint.DimensionalityError as error:
        yield f"{case.at}: {row.symbol} = {case.text}: {error}"
        return
    if not math.isclose(found, bare.magnitude, rel_tol=1e-9, abs_tol=1e-12):
        yield f"{case.at}: {row.symbol} = {case.text}: {found:.6g} {row.unit} with units, {bare.magnitude:.6g} without"


def rounded(quantity: Any) -> Any:
    """Return a quantity with the exponents of its units rounded: 1 - 0.4 is 0.6 but for a hair."""
    units = " * ".join(f"{name} ** {round(exponent, 6)}" for name, exponent in quantity.units._units.items())
    return UNITS.Quantity(quantity.magnitude, units or "dimensionless")


def _is_complex(worked: Worked) -> bool:
    return isinstance(worked, Quantity) and isinstance(worked.magnitude, complex)


def counted(checked: CheckedSheet) -> Mapping[str, int]:
    """Return how many formulas there are, and how many of them are worked (no constant, no bare place)."""
    cases = [case for _block, row in checked.sheet.rows() for case in row.cases]
    return {"cases": len(cases), "worked": sum(not isinstance(case.formula, Number | Text | Word) for case in cases)}
