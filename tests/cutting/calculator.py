"""A pocket calculator: works a printed formula with printed numbers and knows no physics."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping

from kitforge.model.settings import CalculationLine

FUNCTIONS = {
    "pi": math.pi,
    "sqrt": math.sqrt,
    "acos": math.acos,
    "min": min,
    "max": max,
    "floor": lambda value: math.floor(value + 1e-7),
    "sin": lambda degrees: math.sin(math.radians(degrees)),
    "cos": lambda degrees: math.cos(math.radians(degrees)),
    "tan": lambda degrees: math.tan(math.radians(degrees)),
}


_DOT = re.compile(r"(?<=[A-Za-z_])\.(?=[A-Za-z_])")


def calculated(formula: str, numbers: Mapping[str, float]) -> float:
    """Return a formula worked with numbers by their symbols, which may have a dot: deep.S."""
    plain = _DOT.sub("__", formula.replace("^", "**"))
    return float(
        eval(plain, {"__builtins__": {}}, FUNCTIONS | {_DOT.sub("__", name): numbers[name] for name in numbers})
    )


def worked(line: CalculationLine) -> float:
    """Return a line's formula worked with its inputs alone."""
    return calculated(line.formula, {given.symbol: given.value for given in line.inputs})
