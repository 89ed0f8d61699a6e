"""The value types of kit.yaml: lengths, numbers and shares as makers write them, checked for form when read.

They stay as written; resolving turns them into numbers, because an expression may name a parameter.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import AfterValidator, Field, StringConstraints

from kitforge.definition.expression import parse_expression
from kitforge.units import parse_length

Raw = str | int | float


def _check_length(raw: Raw) -> Raw:
    if isinstance(raw, str):
        _check_text(raw, parse_length)
    return raw


def _check_number(raw: Raw) -> Raw:
    if isinstance(raw, str):
        _check_text(raw, _plain)
    return raw


def _check_share(raw: Raw) -> Raw:
    if isinstance(raw, str) and raw.strip().endswith("%"):
        _check_text(raw.strip()[:-1].strip(), _plain)
        return raw
    return _check_length(raw)


def _check_depth(raw: Raw) -> Raw:
    return raw if raw == "through" else _check_length(raw)


def _plain(text: str, _unit: str | None = None) -> float:
    return float(text)


def _check_text(raw: str, parse: object) -> None:
    if raw.lstrip().startswith("="):
        parse_expression(raw.lstrip()[1:])
    elif parse is parse_length:
        parse_length(raw, "mm")
    else:
        try:
            float(raw)
        except ValueError:
            raise ValueError(f"'{raw}' is not a number") from None


_finite = Field(union_mode="left_to_right")
Length = Annotated[
    Raw, AfterValidator(_check_length), Field(description="A length: '18 mm', '3/4 in', or '= width - 2 * margin'.")
]
Number = Annotated[Raw, AfterValidator(_check_number), Field(description="A number or '= expression'.")]
Share = Annotated[
    Raw, AfterValidator(_check_share), Field(description="A share of the cutter diameter ('40 %') or a length.")
]
Depth = Annotated[Raw, AfterValidator(_check_depth), Field(description="A depth below the face, or 'through'.")]
Point = Annotated[list[Length], Field(min_length=2, max_length=2, description="[x, y]")]
Key = Annotated[str, StringConstraints(pattern=r"^[a-z][a-z0-9_-]{0,39}$")]
Text = Annotated[str, StringConstraints(min_length=1, max_length=2000, strip_whitespace=True)]
Title = Annotated[str, StringConstraints(min_length=1, max_length=120, strip_whitespace=True)]
