"""What a drawing's numbers mean in mm: the unit that the file states, the one that the author states, or a guess."""

from __future__ import annotations

from typing import NamedTuple

from kitforge.geometry.drawing import Problem, ProblemKind
from kitforge.messages import Quantity, mm, msg
from kitforge.units import MM_PER_UNIT

MM_PER_INSUNITS: dict[int, tuple[str, float]] = {
    1: ("in", 25.4),
    2: ("ft", 304.8),
    3: ("mile", 1_609_344.0),
    4: ("mm", 1.0),
    5: ("cm", 10.0),
    6: ("m", 1000.0),
    7: ("km", 1e6),
    8: ("microinch", 25.4e-6),
    9: ("mil", 0.0254),
    10: ("yd", 914.4),
    11: ("ångström", 1e-7),
    12: ("nm", 1e-6),
    13: ("µm", 1e-3),
    14: ("dm", 100.0),
    15: ("dam", 1e4),
    16: ("hm", 1e5),
    17: ("Gm", 1e12),
    18: ("au", 1.495978707e14),
    19: ("light year", 9.4607304725808e18),
    20: ("parsec", 3.0856775814913673e19),
    21: ("US survey ft", 1_200_000 / 3937),
    22: ("US survey in", 100_000 / 3937),
    23: ("US survey yd", 3_600_000 / 3937),
    24: ("US survey mile", 5280 * 1_200_000 / 3937),
}
"""Unit and mm per unit for each value of the header variable $INSUNITS (DXF reference, HEADER section).

The US survey foot is 1200/3937 m (NIST Special Publication 811, B.6); au, light year and parsec after the IAU.
"""

POINT_MM = 25.4 / 72
"""A point as printers count it is 1/72 inch (CSS Values and Units 3, section 6.2)."""

_LIKELY_MM = (40.0, 3000.0)
_DOUBTFUL_MM = (3.0, 5000.0)


class Unit(NamedTuple):
    """A unit's name, its size in mm, and what is doubtful about it."""

    name: str
    mm: float
    problems: tuple[Problem, ...] = ()


def chosen_unit(stated: int, asked: str | None, extent: float) -> Unit:
    """Return the unit of a DXF file: the author's word first, then $INSUNITS, then the likeliest.

    `extent` is the longer side of everything drawn, in the file's own numbers. Raises ValueError for a unit that is
    not known.
    """
    if asked is not None:
        return Unit(asked, unit_size(asked))
    if stated not in MM_PER_INSUNITS:
        guess = likeliest_unit(extent)
        text = msg(
            "The drawing does not say its unit. It is {extent} long or wide, so it was probably drawn in {unit}; "
            "write `units: {unit}` beside `drawing`, or draw it with its unit set.",
            extent=Quantity(extent, "", 3),
            unit=guess,
        )
        return Unit(guess, MM_PER_UNIT[guess], (Problem(ProblemKind.UNIT_MISSING, text),))
    name, size = MM_PER_INSUNITS[stated]
    low, high = _DOUBTFUL_MM
    if extent and not low <= extent * size <= high:
        guess = likeliest_unit(extent)
        text = msg(
            "The drawing says its unit is {name}, which makes it {size} long or wide. "
            "If it was drawn in {unit}, write `units: {unit}` beside `drawing`.",
            name=name,
            size=mm(extent * size),
            unit=guess,
        )
        return Unit(name, size, (Problem(ProblemKind.UNIT_DOUBTFUL, text, size=extent * size),))
    return Unit(name, size)


def unit_size(name: str) -> float:
    """Return mm per unit. Raises ValueError for a name that is no unit of length."""
    if name == "pt":
        return POINT_MM
    if name not in MM_PER_UNIT:
        raise ValueError(f"'{name}' is no unit of a drawing; use mm, cm, m, in, ft or pt")
    return MM_PER_UNIT[name]


def likeliest_unit(extent: float) -> str:
    """Return the unit that makes a router project of 40 mm to 3 m out of the extent: mm, else in, cm, m.

    Common practice, no source.
    """
    low, high = _LIKELY_MM
    return next((name for name in ("mm", "in", "cm", "m") if low <= extent * MM_PER_UNIT[name] <= high), "mm")
