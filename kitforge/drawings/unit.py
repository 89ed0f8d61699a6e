"""What a drawing's numbers mean in mm: the unit that the file states, the one that the author states, or a guess."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from kitforge.model.drawing import DrawingProblem, ProblemKind
from kitforge.model.messages import Quantity, mm, msg
from kitforge.model.units import MM_PER_UNIT

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
_TAKEN_FOR = {"in": ("mm",), "mm": ("in", "cm", "m"), "cm": ("mm",), "m": ("mm", "cm", "in")}
"""Which units are taken for one another: an inch header over centimetres is nobody's habit. Taste."""

_WHOLE_MM = (16.0, 1300.0)
"""Between these, in mm, the longer side of a router project lies without a doubt: a brooch, and what the larger hobby
routers reach. Common practice, no source."""

_DETAIL_MM = (0.5, 40.0)
"""Between these, in mm, lies the smallest closed line inside another one. Common practice, no source."""

_SURELY_WHOLE_MM = (40.0, 1300.0)
_SURELY_DETAIL_MM = (0.8, 60.0)


class Unit(NamedTuple):
    """A unit's name, its size in mm, and what is doubtful about it."""

    name: str
    mm: float
    problems: tuple[DrawingProblem, ...] = ()


class Sizes(NamedTuple):
    """The longer sides, mm, of everything drawn and of the smallest closed line inside another one (or None)."""

    whole: float
    detail: float | None = None

    def within(self, factor: float, whole: tuple[float, float], detail: tuple[float, float]) -> bool:
        """Return whether both sizes, times a factor, lie within their bounds."""
        fits = whole[0] <= self.whole * factor <= whole[1]
        return fits and (self.detail is None or detail[0] <= self.detail * factor <= detail[1])


def unit_doubt(name: str, size: float, sizes: Sizes) -> DrawingProblem | None:
    """Return a doubt about a stated unit of `size` mm where the sizes are unlikely, and fit another unit well."""
    if not sizes.whole or sizes.within(1.0, _WHOLE_MM, _DETAIL_MM):
        return None
    others = _TAKEN_FOR.get(name, ("mm", "in"))
    fitting = (one for one in others if sizes.within(MM_PER_UNIT[one] / size, _SURELY_WHOLE_MM, _SURELY_DETAIL_MM))
    better = next(fitting, None)
    if better is None:
        return None
    text = msg(
        "The drawing says its unit is {name}, which makes it {size} long or wide; if its unit is {unit}, it is "
        "{other}.",
        name=name,
        size=mm(sizes.whole, 1),
        unit=better,
        other=mm(sizes.whole / size * MM_PER_UNIT[better], 1),
    )
    return DrawingProblem(ProblemKind.UNIT_DOUBTFUL, text, size=sizes.whole, better=better)


_STEPS = (0.5, 25.4 / 16)
_NEAR_STEP = 0.02
_MOSTLY, _MORE = 0.8, 0.3


def unit_of_round_sizes(per_unit: float, sizes: Sequence[float], whole: float) -> str | None:
    """Return the unit in which most sizes of a drawing come out round where they do not as read, else None.

    per_unit: mm for one unit of the drawing as it was read; sizes, whole: sizes of closed lines and of everything, mm.
    Round are multiples of 0.5 mm or 1/16 in, within 0.02 mm; one size in ten is so by chance.
    """
    as_read = _share_of_round(sizes, 1.0)
    for unit in ("mm", "pt", "in", "cm"):
        factor = unit_size(unit) / per_unit
        low, high = _SURELY_WHOLE_MM
        share = _share_of_round(sizes, factor)
        if low <= whole * factor <= high and share >= max(_MOSTLY, as_read + _MORE):
            return unit
    return None


def _share_of_round(sizes: Sequence[float], factor: float) -> float:
    def is_round(size: float) -> bool:
        return any(abs(size - round(size / step) * step) <= _NEAR_STEP for step in _STEPS)

    return sum(is_round(size * factor) for size in sizes) / max(1, len(sizes))


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
            "The drawing does not say its unit. It is {extent} long or wide, so it was probably drawn in {unit}.",
            extent=Quantity(extent, "", 3),
            unit=guess,
        )
        return Unit(guess, MM_PER_UNIT[guess], (DrawingProblem(ProblemKind.UNIT_MISSING, text, better=guess),))
    return Unit(*MM_PER_INSUNITS[stated])


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
