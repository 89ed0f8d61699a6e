"""Lengths as makers write them, read to millimetres and printed in millimetres or inches."""

from __future__ import annotations

import re
from fractions import Fraction

MM_PER_INCH = 25.4
_SMALL_INCHES = 0.1
"""What is smaller has less than two leading digits in hundredths of an inch."""
_EXACT = 1e-5
"""A share of an inch that is as near to a whole one is it: what a drawing holds as 3.175 mm."""
MM_PER_UNIT = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": MM_PER_INCH, '"': MM_PER_INCH, "″": MM_PER_INCH, "ft": 304.8}
_LARGEST_MM = 1e5

_NUMBER = r"(?:\d{1,9}(?:\.\d{1,9})?|\.\d{1,9})"
_LENGTH = re.compile(
    rf"^\s*(?P<sign>-)?\s*(?:(?P<whole>\d{{1,6}})(?:\s+|\s*-\s*))??(?:(?P<top>\d{{1,6}})\s*/\s*(?P<bottom>\d{{1,6}})|(?P<number>{_NUMBER}))"
    r"\s*(?P<unit>mm|cm|m|in|ft|\"|″)?\s*$"
)


def parse_length(text: str, default_unit: str | None = None) -> float:
    """Return a written length such as '18 mm', '3/4 in' or '1 1/8 in' in mm.

    A length without a unit is taken in `default_unit`; with none given it is refused.
    Raises ValueError with a message that says what is wrong and how to write it.
    """
    match = _LENGTH.match(text)
    if match is None or (match["whole"] and not match["top"]):
        raise ValueError(f"'{text}' is not a length; write it like '18 mm', '3/4 in' or '1 1/8 in'")
    unit = match["unit"] or default_unit
    if unit is None:
        raise ValueError(f"'{text}' has no unit; write it like '{text.strip()} mm'")
    if match["bottom"] and int(match["bottom"]) == 0:
        raise ValueError(f"'{text}' divides by zero")
    size = Fraction(int(match["top"]), int(match["bottom"])) if match["top"] else Fraction(match["number"])
    size += int(match["whole"] or 0)
    value = float(size * Fraction(str(MM_PER_UNIT[unit]))) * (-1 if match["sign"] else 1)
    if abs(value) > _LARGEST_MM:
        raise ValueError(f"'{text}' is longer than 100 m")
    return value


def plain_number(value: float, places: int) -> str:
    """Return a number rounded to `places`, without trailing zeros and without a negative zero."""
    text = f"{value:.{places}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def fixed_number(value: float, places: int) -> str:
    """Return a number rounded to `places`, all of them written."""
    return f"{value:.{places}f}"


def mm_number(value: float, places: int = 2) -> str:
    """Return a length in mm without its unit; one of whole eighths of an inch is exact where it is fine: 3.175."""
    return plain_number(value, 3 if places == 2 and _is_part_of_inch(value, 8) else places)


def inch_number(value: float, places: int = 2) -> str:
    """Return a length given in mm as decimal inches without their unit, about as fine as `places` places of mm.

    That is thousandths, for rough sizes hundredths with at least two leading digits; sixteenths are exact: 0.0625.
    """
    inches = value / MM_PER_INCH
    if places >= 2 and _is_part_of_inch(value, 16) and not _is_part_of_inch(value, 8):
        return f"{inches:.4f}"
    return f"{inches:.{2 if places < 2 and abs(inches) >= _SMALL_INCHES else 3}f}"


def _is_part_of_inch(value: float, parts: int) -> bool:
    share = value / MM_PER_INCH * parts
    return round(share) != 0 and abs(share - round(share)) < _EXACT


def format_mm(value: float, places: int = 2) -> str:
    """Return a length in mm for print, e.g. '18 mm'."""
    return f"{mm_number(value, places)} mm"


def format_inch(value: float, places: int = 2) -> str:
    """Return a length given in mm as decimal inches for print, as fine as `places` places of mm, e.g. '0.709 in'."""
    return f"{inch_number(value, places)} in"


def inch_fraction(value: float, denominator: int = 64) -> str:
    """Return a length given in mm as the nearest inch fraction, e.g. '23/32 in'; exact to half of 1/denominator."""
    nearest = Fraction(round(value / MM_PER_INCH * denominator), denominator)
    whole, rest = divmod(abs(nearest), 1)
    sign = "-" if nearest < 0 else ""
    words = [str(whole)] if whole or not rest else []
    if rest:
        words.append(f"{rest.numerator}/{rest.denominator}")
    return f"{sign}{' '.join(words)} in"


def format_length(value: float, units: str) -> str:
    """Return a length given in mm in `units` ('mm' or 'in') first and the other system in brackets."""
    if units == "in":
        return f"{format_inch(value)} ({format_mm(value)})"
    return f"{format_mm(value)} ({format_inch(value)})"
