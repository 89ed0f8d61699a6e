"""The value types of kit.yaml: lengths, numbers and shares as makers write them, checked for form when read.

They stay as written; resolving turns them into numbers, because an expression may name a parameter.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Annotated, TypeVar

from pydantic import BeforeValidator, Discriminator, Field, PlainValidator, Tag, WithJsonSchema

from kitforge.definition.expression import RESERVED, Expression, parse_expression
from kitforge.model.errors import RefusedValueError
from kitforge.model.messages import Message, later, msg, term
from kitforge.model.own_words import FIRST_LANGUAGE, OwnText
from kitforge.model.units import parse_length

Raw = str | int | float
JsonType = str | int | float | bool | None | list[object] | dict[str, object]

THROUGH = "through"
FEED = re.compile(r"^\s*(\d{1,6}(?:\.\d{1,4})?)\s*(mm|cm|m|in|ft)\s*/\s*min\s*$")
EXAMPLES = "'18 mm', '3/4 in' or '= width - 10 mm'"
PATTERNS = {
    "key": (
        r"^[a-z][a-z0-9_-]{0,39}$",
        later("a short name in small letters, digits, '-' and '_' that begins with a letter"),
    ),
    "parameter": (
        r"^[a-z][a-z0-9_]{0,39}$",
        later("a name in small letters, digits and '_' that begins with a letter"),
    ),
    "slug": (r"^[a-z0-9]+(?:-[a-z0-9]+)*$", later("small letters and digits, with single '-' between them")),
    "version": (r"^\d{1,4}\.\d{1,4}\.\d{1,4}(?:-[0-9A-Za-z.-]{1,30})?$", later("a version such as 1.0.0")),
    "date": (r"^\d{4}-\d{2}-\d{2}$", later("a date such as 2025-03-31")),
}
T = TypeVar("T")


def expression_in(raw: object) -> Expression | None:
    """Return the expression in a value as written: what follows a '=', or the name of a parameter standing alone.

    None for everything else. Raises ValueError for an expression that cannot be read.
    """
    if not isinstance(raw, str):
        return None
    text = raw.strip()
    if text.startswith("="):
        return parse_expression(text[1:])
    return parse_expression(text) if re.fullmatch(PATTERNS["parameter"][0], text) and text not in RESERVED else None


def say(value: object) -> Message:
    """Return what an author wrote, in words for a message."""
    if value is None:
        return msg("nothing")
    if isinstance(value, bool):
        return msg("{word}", word="true" if value else "false")
    if isinstance(value, list):
        return msg("a list")
    if isinstance(value, dict):
        return msg("a group of keys")
    if isinstance(value, str):
        return msg("'{text}'", text=value if len(value) <= 60 else f"{value[:57]}...")
    return msg("the number {number}", number=str(value))


def _written(check: Callable[[str], object], wanted: str, *, numbers: bool = True) -> Callable[[object], Raw]:
    """Return a validator of text (or bare numbers): an expression after '=', else whatever `check` takes."""

    def validate(raw: object) -> Raw:
        if numbers and isinstance(raw, int | float) and not isinstance(raw, bool):
            return raw
        if not isinstance(raw, str):
            raise RefusedValueError(msg("{wanted} is wanted, not {value}", wanted=term(wanted), value=say(raw)))
        if expression_in(raw) is None:
            check(raw)
        return raw

    return validate


def _length(text: str) -> object:
    return parse_length(text, "mm")


def _number(text: str) -> object:
    raise RefusedValueError(
        msg("a number is wanted, not {value}; write it without a unit, or as '= expression'", value=say(text))
    )


def _share(text: str) -> object:
    if re.fullmatch(r"\s*\d{1,3}(?:\.\d{1,4})?\s*%\s*", text):
        return text
    try:
        return parse_length(text)
    except ValueError:
        raise RefusedValueError(
            msg("{value} is neither a share such as '40 %' nor a length such as '2.5 mm'", value=say(text))
        ) from None


def _depth(text: str) -> object:
    return text if text == THROUGH else _length(text)


def _feed(text: str) -> object:
    if not FEED.match(text):
        raise RefusedValueError(
            msg("{value} is not a feed rate; write it like '1500 mm/min' or '60 in/min'", value=say(text))
        )
    return text


def _whole(raw: object) -> int | str:
    if isinstance(raw, str) and expression_in(raw) is not None:
        return raw
    if isinstance(raw, bool) or not isinstance(raw, int):
        raise RefusedValueError(msg("a whole number is wanted, not {value}", value=say(raw)))
    return raw


def named(kind: str, longest: int = 50) -> Callable[[object], str]:
    """Return a validator of text that follows one of `PATTERNS`."""
    pattern, words = PATTERNS[kind]

    def validate(raw: object) -> str:
        if not isinstance(raw, str) or not re.fullmatch(pattern, raw) or len(raw) > longest:
            raise RefusedValueError(msg("{words} is wanted, not {value}", words=term(words), value=say(raw)))
        if kind == "parameter" and raw in RESERVED:
            raise RefusedValueError(msg("'{raw}' has a meaning already; give the parameter another name", raw=raw))
        return raw

    return validate


def _text(longest: int) -> Callable[[object], str]:
    def validate(raw: object) -> str:
        if isinstance(raw, int | float | bool):
            shown = ("true" if raw else "false") if isinstance(raw, bool) else str(raw)
            raise RefusedValueError(
                msg("a text is wanted, not {value}; put it in quotes: '{shown}'", value=say(raw), shown=shown)
            )
        if not isinstance(raw, str) or not raw.strip():
            raise RefusedValueError(
                msg("a text is wanted, not {which}", which=msg("an empty one") if isinstance(raw, str) else say(raw))
            )
        if len(raw.strip()) > longest:
            raise RefusedValueError(
                msg("the text has {count} characters; {longest} is the limit", count=len(raw.strip()), longest=longest)
            )
        return raw.strip()

    return validate


def _own_text(longest: int) -> Callable[[object], OwnText]:
    """Return a validator of a text, or of the same text in several languages."""
    one = _text(longest)

    def validate(raw: object) -> OwnText:
        if isinstance(raw, OwnText):
            return raw
        if not isinstance(raw, dict):
            return OwnText(one(raw))
        if not by_language(raw):
            raise RefusedValueError(
                msg("a text is wanted, not a group of keys; one in several languages is written {en: ..., de: ...}")
            )
        said = {}
        for code, text in raw.items():
            try:
                said[code] = one(text)
            except RefusedValueError as error:
                raise RefusedValueError(msg("in '{code}', {said}", code=code, said=error.message)) from None
        return OwnText(said.get(FIRST_LANGUAGE) or next(iter(said.values())), said)

    return validate


def by_language(value: object) -> bool:
    """Return whether an entry is a text by language: a group whose keys are codes of two small letters (ISO 639-1)."""
    return isinstance(value, dict) and bool(value) and all(re.fullmatch("[a-z]{2}", str(key)) for key in value)


def line_or_text(value: object) -> str:
    """Return which branch of a union a sentence belongs to: a group of keys with what it uses, or the text alone."""
    return "~value" if by_language(value) else mapping_or_value(value)


def mapping_or_value(value: object) -> str:
    """Return which branch of a union a value belongs to: a group of keys (or the record of it) or anything else."""
    return "~mapping" if isinstance(value, dict) or hasattr(value, "model_fields_set") else "~value"


def list_or_value(value: object) -> str:
    """Return which branch of a union a value belongs to: a list or anything else."""
    return "~list" if isinstance(value, list) else "~value"


def _collet(text: str) -> object:
    return text if re.fullmatch(r"ER\d{1,2}", text.strip().upper()) else _length(text)


def _by_language(longest: int) -> dict[str, JsonType]:
    text: dict[str, object] = {"type": "string", "minLength": 1, "maxLength": longest}
    several: dict[str, object] = {
        "type": "object",
        "minProperties": 1,
        "patternProperties": {"^[a-z]{2}$": text},
        "additionalProperties": False,
    }
    return {"description": "A text, or the same by language: {en: ..., de: ...}.", "anyOf": [text, several]}


_LENGTH = {"type": ["string", "number"], "description": f"A length: {EXAMPLES}; a bare number is in the kit's units."}
_NUMBER = {"type": ["string", "number"], "description": "A plain number or '= expression'."}
_SHARE = {"type": "string", "description": "A share of the cutter's diameter such as '40 %', or a length."}
_DEPTH = {"type": ["string", "number"], "description": "A depth below the face, or 'through'."}
_FEED = {"type": ["string", "number"], "description": "A feed rate: '1500 mm/min' or '60 in/min'."}
_WHOLE = {"type": ["integer", "string"], "description": "A whole number or '= expression'."}

Length = Annotated[Raw, BeforeValidator(_written(_length, later("a length such as '18 mm'"))), WithJsonSchema(_LENGTH)]
Number = Annotated[Raw, BeforeValidator(_written(_number, later("a number"))), WithJsonSchema(_NUMBER)]
Share = Annotated[
    Raw,
    BeforeValidator(_written(_share, later("a share such as '40 %' or a length"), numbers=False)),
    WithJsonSchema(_SHARE),
]
Depth = Annotated[
    Raw, BeforeValidator(_written(_depth, later("a depth such as '6 mm', or through"))), WithJsonSchema(_DEPTH)
]
Feed = Annotated[
    Raw, BeforeValidator(_written(_feed, later("a feed rate such as '1500 mm/min'"))), WithJsonSchema(_FEED)
]
Collet = Annotated[
    Raw, BeforeValidator(_written(_collet, later("a shank size or a name such as ER11"))), WithJsonSchema(_LENGTH)
]
Whole = Annotated[int | str, BeforeValidator(_whole), WithJsonSchema(_WHOLE)]
Point = Annotated[list[Length], Field(min_length=2, max_length=2, description="[x, y]")]
Key = Annotated[str, BeforeValidator(named("key")), WithJsonSchema({"type": "string", "pattern": PATTERNS["key"][0]})]
ParameterName = Annotated[
    str, BeforeValidator(named("parameter")), WithJsonSchema({"type": "string", "pattern": PATTERNS["parameter"][0]})
]
Slug = Annotated[
    str, BeforeValidator(named("slug")), WithJsonSchema({"type": "string", "pattern": PATTERNS["slug"][0]})
]
Version = Annotated[
    str, BeforeValidator(named("version")), WithJsonSchema({"type": "string", "pattern": PATTERNS["version"][0]})
]
Date = Annotated[
    str, BeforeValidator(named("date")), WithJsonSchema({"type": "string", "pattern": PATTERNS["date"][0]})
]
Text = Annotated[
    str, BeforeValidator(_text(2000)), WithJsonSchema({"type": "string", "minLength": 1, "maxLength": 2000})
]
Title = Annotated[
    str, BeforeValidator(_text(120)), WithJsonSchema({"type": "string", "minLength": 1, "maxLength": 120})
]
Words = Annotated[
    str, BeforeValidator(_text(400)), WithJsonSchema({"type": "string", "minLength": 1, "maxLength": 400})
]
OwnWords = Annotated[OwnText, PlainValidator(_own_text(2000)), WithJsonSchema(_by_language(2000))]
OwnTitle = Annotated[OwnText, PlainValidator(_own_text(120)), WithJsonSchema(_by_language(120))]
PathData = Annotated[
    str, BeforeValidator(_text(100_000)), WithJsonSchema({"type": "string", "minLength": 1, "maxLength": 100_000})
]
OwnTexts = Annotated[
    Annotated[list[OwnWords], Tag("~list")] | Annotated[OwnWords, Tag("~value")], Discriminator(list_or_value)
]
