"""From the bytes of kit.yaml to a `Definition` with positions, or to every problem in plain words."""

from __future__ import annotations

import difflib
import types
from collections.abc import Iterable, Mapping, Sequence
from typing import Annotated, Any, TypeVar, Union, get_args, get_origin

from pydantic import BaseModel, Tag, ValidationError

from kitforge.definition import kinds
from kitforge.definition.operations import OPERATION_NAMES
from kitforge.definition.positions import Place, Positions
from kitforge.definition.schema import Definition
from kitforge.definition.values import say
from kitforge.definition.yaml_reader import read_yaml
from kitforge.model.errors import refusal
from kitforge.model.findings import Finding
from kitforge.model.messages import NO_ADVICE, Message, later, msg, msg_many, series, term

_FATAL = {
    kind.code
    for kind in (kinds.FILE_TOO_LARGE, kinds.NOT_UTF8, kinds.YAML_SYNTAX, kinds.YAML_ROOT, kinds.YAML_TOO_DEEP)
}
_WANTED = {
    "string_type": later("a text"),
    "int_type": later("a whole number"),
    "float_type": later("a number"),
    "bool_type": later("true or false"),
    "list_type": later("a list"),
    "dict_type": later("a group of keys"),
    "model_type": later("a group of keys"),
    "model_attributes_type": later("a group of keys"),
}


_Entry = TypeVar("_Entry", bound=BaseModel)


def read_definition(data: bytes, file: str) -> tuple[Definition | None, Positions, list[Finding]]:
    """Return the definition (None when there is any problem), the place of everything in it, and all problems."""
    return read_as(Definition, data, file)


def read_as(schema: type[_Entry], data: bytes, file: str) -> tuple[_Entry | None, Positions, list[Finding]]:
    """Return what a YAML file says by a schema (None when there is any problem), its places, and all problems."""
    tree, where, problems = read_yaml(data, file)
    if any(problem.code in _FATAL for problem in problems):
        return None, where, problems
    entry, wrong = entry_of(schema, tree, where)
    return (None if problems else entry), where, problems + wrong


def nearest_name(word: str, known: Iterable[str]) -> str | None:
    """Return the known word that is most like `word`, or None where none is."""
    names = sorted(known)
    near = difflib.get_close_matches(word, names, n=1, cutoff=0.6)
    if not near:
        near = [name for name in names if len(word) > 2 and word.lower() in name.lower()][:1]
    return near[0] if near else None


def nearest(word: str, known: Iterable[str]) -> Message:
    """Return 'Did you mean ...?' for the known word that is most like `word`, or nothing."""
    near = nearest_name(word, known)
    return msg("Did you mean '{name}'?", name=near) if near else NO_ADVICE


def entry_of(
    schema: type[_Entry], tree: object, where: Positions, under: Place = ()
) -> tuple[_Entry | None, list[Finding]]:
    """Return what a part of a file says by a schema, or None and every problem; under: the place of that part."""
    try:
        return schema.model_validate(tree), []
    except ValidationError as error:
        details = error.errors(include_url=False, include_context=True)
        return None, _findings(details, where, schema, under)


def _findings(
    errors: Iterable[Mapping[str, Any]], where: Positions, schema: type[BaseModel], under: Place = ()
) -> list[Finding]:
    """Return one finding for each place, the first one that was said about it."""
    by_place: dict[tuple[Place, str], Finding] = {}
    for error in errors:
        place, tags = _place(error["loc"])
        place = (*under, *place)
        kind = str(error["type"]) if error["type"] in ("missing", "extra_forbidden") else "value"
        by_place.setdefault((place, kind), _finding(error, place, where, fields_at(schema, tags[:-1])))
    return list(by_place.values())


def _place(loc: tuple[str | int, ...]) -> tuple[Place, tuple[str | int, ...]]:
    """Return the path in kit.yaml and the path through the schema, which also names the branches of unions."""
    schema = tuple(step for step in loc if step != "[key]")
    return tuple(step for step in schema if not (isinstance(step, str) and step.startswith("~"))), schema


def _finding(error: Mapping[str, Any], place: Place, where: Positions, known: Sequence[str]) -> Finding:
    name = str(place[-1]) if place else where.file
    around = _around(place[:-1], where)
    match error["type"]:
        case "missing":
            message = msg("The key '{name}' is missing in {around}.", name=name, around=around)
            return kinds.MISSING_KEY.new(message, msg("Add `{name}:`.", name=name), source=where.key(*place[:-1]))
        case "extra_forbidden":
            advice = nearest(name, known) or msg("Known here: {names}", names=series(known))
            message = msg("The key '{name}' is not known in {around}.", name=name, around=around)
            return kinds.UNKNOWN_KEY.new(message, advice, source=where.key(*place))
        case "unknown_operation":
            return _unknown_operation(error["input"], place, where)
    is_key = error["loc"][-1:] == ("[key]",)
    said, advice = _said(error)
    source = where.key(*place) if is_key else where.of(*place)
    expression = isinstance(error["input"], str) and error["input"].lstrip().startswith("=")
    kind = kinds.BAD_EXPRESSION if expression and error["type"] == "value_error" else kinds.WRONG_VALUE
    label = _label(place, where)
    return kind.new(msg("{label}: {said}.", label=label, said=said), advice, source=source)


def _unknown_operation(value: object, place: Place, where: Positions) -> Finding:
    known = series(OPERATION_NAMES)
    if not isinstance(value, dict):
        message = msg("{place}: a group of keys is wanted, not {value}.", place=_label(place, where), value=say(value))
        return kinds.WRONG_VALUE.new(message, msg("Begin an operation with `do:`."), source=where.of(*place))
    if "do" not in value:
        message = msg("The key 'do' is missing in {around}.", around=_around(place, where))
        return kinds.MISSING_KEY.new(
            message, msg("Add `do:` with one of: {known}.", known=known), source=where.of(*place)
        )
    did = value["do"]
    advice = (nearest(did, OPERATION_NAMES) if isinstance(did, str) else NO_ADVICE) or msg(
        "Known: {known}", known=known
    )
    message = msg("{place}: {value} is no kind of operation.", place=_label((*place, "do"), where), value=say(did))
    return kinds.WRONG_VALUE.new(message, advice, source=where.of(*place, "do"))


def _said(error: Mapping[str, Any]) -> tuple[Message, Message]:
    """Return what is wrong and what to do, in plain words."""
    context, value, kind = error.get("ctx", {}), error["input"], error["type"]
    match kind:
        case "value_error":
            return refusal(context["error"]), NO_ADVICE
        case "literal_error":
            return _not_one_of(value, str(context["expected"]))
        case "greater_than_equal" | "less_than_equal":
            return _out_of_range(value, context), NO_ADVICE
        case "too_short" | "too_long":
            return _entries(context, short=kind == "too_short"), NO_ADVICE
    if kind in _WANTED:
        return msg("{wanted} is wanted, not {value}", wanted=term(_WANTED[kind]), value=say(value)), _advice_for(
            kind, value
        )
    return msg("{value} does not fit here", value=say(value)), NO_ADVICE


def _out_of_range(value: object, context: Mapping[str, Any]) -> Message:
    if "ge" in context:
        return msg("{value} is out of range; at least {bound} is wanted", value=say(value), bound=str(context["ge"]))
    return msg("{value} is out of range; at most {bound} is wanted", value=say(value), bound=str(context.get("le")))


def _entries(context: Mapping[str, Any], *, short: bool) -> Message:
    held, wanted = context["actual_length"], context.get("min_length" if short else "max_length")
    if short:
        return msg_many(
            "at least {wanted} entries are wanted, and there is {count}",
            "at least {wanted} entries are wanted, and there are {count}",
            held,
            wanted=str(wanted),
        )
    return msg_many(
        "at most {wanted} entries are wanted, and there is {count}",
        "at most {wanted} entries are wanted, and there are {count}",
        held,
        wanted=str(wanted),
    )


def _advice_for(kind: str, value: object) -> Message:
    if kind == "list_type" and value is not None and not isinstance(value, dict):
        return msg("Write it as a list: [ ... ], or lines that begin with '- '.")
    return msg("Put the keys on the lines below, indented.") if kind in ("model_type", "dict_type") else NO_ADVICE


def _not_one_of(value: object, expected: str) -> tuple[Message, Message]:
    known = [word.strip("'") for word in expected.replace(" or ", ", ").split(", ")]
    if known == ["1"]:
        unknown = msg("{value} is no version of the kit format that this program reads", value=say(value))
        return unknown, msg("Write `kitforge: 1`.")
    near = nearest(value, known) if isinstance(value, str) else NO_ADVICE
    return msg("{value} is none of: {names}", value=say(value), names=series(known)), near


def _label(place: Place, where: Positions) -> str:
    """Return a place in words a reader finds in the file, e.g. 'parts / board / operations / 2 / depth'."""
    return " / ".join(str(step + 1) if isinstance(step, int) else step for step in place) or where.file


def _around(place: Place, where: Positions) -> str:
    return f"'{_label(place, where)}'" if place else where.file


def fields_at(schema: type[BaseModel], place: tuple[str | int, ...]) -> list[str]:
    """Return the keys that a schema knows at a path of keys, indexes and union branches."""
    here: object = schema
    for step in place:
        here = _step(here, step)
    here = _plain(here)
    if not (isinstance(here, type) and issubclass(here, BaseModel)):
        return []
    return [field.alias or name for name, field in here.model_fields.items()]


def _step(annotation: object, step: str | int) -> object:
    """Return the annotation one step further down."""
    annotation = _plain(annotation)
    if isinstance(step, str) and step.startswith("~"):
        return next((branch for branch in get_args(annotation) if _tag(branch) == step), None)
    if get_origin(annotation) in (list, dict):
        return get_args(annotation)[-1]
    if isinstance(annotation, type) and issubclass(annotation, BaseModel) and isinstance(step, str):
        field = annotation.model_fields.get(step)
        return field.annotation if field else None
    return None


def _plain(annotation: object) -> object:
    """Return an annotation without `Annotated` and without `None` beside it."""
    while get_origin(annotation) is Annotated:
        annotation = get_args(annotation)[0]
    if get_origin(annotation) in (Union, types.UnionType):
        rest = [branch for branch in get_args(annotation) if branch is not type(None)]
        if len(rest) == 1:
            return _plain(rest[0])
    return annotation


def _tag(branch: object) -> str | None:
    return next((extra.tag for extra in getattr(branch, "__metadata__", ()) if isinstance(extra, Tag)), None)
