"""Frozen records with slots, as `dataclasses.dataclass(frozen=True, slots=True)` makes them, in a third of the time.

The standard decorator writes and compiles six methods for every class, which is a seventh of a short check (measured,
Python 3.11). Here only `__init__` is written for a class; the other methods are the same for all. `fields`, `replace`,
`asdict`, `field(...)`, `__post_init__`, inheritance among records and pickling work as with the standard decorator;
`InitVar`, fields without `init` and order are left to it.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import MISSING, Field, FrozenInstanceError
from operator import attrgetter
from typing import Any, NoReturn, TypeVar, dataclass_transform, overload

T = TypeVar("T")
AnyRecord = Any
"""A class that `record` made, or one of it; no name for that is known to the type checker."""


@overload
def record(cls: type[T], /) -> type[T]: ...
@overload
def record(*, eq: bool = True) -> Callable[[type[T]], type[T]]: ...
@dataclass_transform(frozen_default=True, field_specifiers=(dataclasses.field,))
def record(cls: type[T] | None = None, /, *, eq: bool = True) -> type[T] | Callable[[type[T]], type[T]]:
    """Return a class as a frozen record. eq: records with equal fields are equal; else each is only itself."""
    if cls is None:
        return lambda one: _made(one, eq=eq)
    return _made(cls, eq=eq)


def every(kind: type[T], document: object, *, once: bool = False) -> Iterator[T]:
    """Yield every object of a kind in a document of records, tuples and lists, in the order of reading.

    once: what is in the document several times, one and the same object, is looked into the first time alone.
    """
    looked_into: set[int] = set()
    waiting = [document]
    while waiting:
        one = waiting.pop()
        if once and id(one) in looked_into:
            continue
        looked_into.add(id(one))  # of what the document holds, which stays as long as this runs
        if isinstance(one, kind):
            yield one
        elif isinstance(one, tuple | list):
            waiting.extend(reversed(one))
        elif dataclasses.is_dataclass(one) and not isinstance(one, type):
            waiting.extend(getattr(one, name) for name in reversed(_names(type(one))))


_known: dict[type, tuple[str, ...]] = {}


def _names(kind: type) -> tuple[str, ...]:
    """Return the names of the fields of a class of records, looked for once: documents hold many of each."""
    if kind not in _known:
        _known[kind] = tuple(field.name for field in dataclasses.fields(kind))
    return _known[kind]


def _made(cls: type[T], *, eq: bool) -> type[T]:
    made: Any = dataclasses.dataclass(init=False, repr=False, eq=False, slots=True)(cls)
    all_fields = dataclasses.fields(made)
    made.__init__ = _init_of(made, all_fields)
    made._compared = staticmethod(_getter([one.name for one in all_fields if one.compare]))
    methods: Mapping[str, object] = {
        "__repr__": _repr, "__setattr__": _no_setting, "__delattr__": _no_deleting,
        "__getstate__": _state, "__setstate__": _set_state, **({"__eq__": _equal, "__hash__": _hash} if eq else {}),
    }  # fmt: skip
    for name, method in methods.items():
        if name not in cls.__dict__ or (name == "__hash__" and cls.__dict__[name] is None):
            setattr(made, name, method)
    return made  # type: ignore[no-any-return]


def _init_of(made: type, all_fields: Sequence[Field[Any]]) -> Callable[..., None]:
    """Return `__init__`: the one method that must be written for each class, so that it takes its arguments fast."""
    # names that no field has; a default of its own for a field that a factory fills
    known: dict[str, object] = {"_set_": object.__setattr__, "_none_": MISSING}
    before: list[str] = []
    by_name: list[str] = []
    lines: list[str] = []
    for one in all_fields:
        name, value = one.name, one.name
        if one.default_factory is not MISSING:
            known[f"_new_{name}_"] = one.default_factory
            value, argument = f"_new_{name}_() if {name} is _none_ else {name}", f"{name}=_none_"
        elif one.default is not MISSING:
            known[f"_default_{name}_"] = one.default
            argument = f"{name}=_default_{name}_"
        else:
            argument = name
        (by_name if one.kw_only else before).append(argument)
        lines.append(f"    _set_(self, {name!r}, {value})")
    if hasattr(made, "__post_init__"):
        lines.append("    self.__post_init__()")
    arguments = ", ".join(["self", *before, *(["*", *by_name] if by_name else [])])
    exec(f"def __init__({arguments}):\n" + "\n".join(lines or ["    pass"]), known)
    made_init: Any = known["__init__"]
    made_init.__qualname__ = f"{made.__qualname__}.__init__"
    made_init.__annotations__ = {one.name: one.type for one in all_fields} | {"return": None}
    return made_init  # type: ignore[no-any-return]


def _getter(names: Sequence[str]) -> Callable[[object], tuple[object, ...]]:
    if len(names) > 1:
        return attrgetter(*names)
    if names:
        only = attrgetter(names[0])
        return lambda one: (only(one),)
    return lambda _one: ()


def _equal(self: AnyRecord, other: AnyRecord) -> bool:
    if other.__class__ is not self.__class__:
        return NotImplemented  # type: ignore[no-any-return]
    return bool(self._compared(self) == self._compared(other))


def _hash(self: AnyRecord) -> int:
    return hash(self._compared(self))


def _repr(self: AnyRecord) -> str:
    shown = ", ".join(f"{one.name}={getattr(self, one.name)!r}" for one in dataclasses.fields(self) if one.repr)
    return f"{self.__class__.__qualname__}({shown})"


def _no_setting(_self: object, name: str, _value: object) -> NoReturn:
    raise FrozenInstanceError(f"cannot assign to field {name!r}")


def _no_deleting(_self: object, name: str) -> NoReturn:
    raise FrozenInstanceError(f"cannot delete field {name!r}")


def _state(self: AnyRecord) -> list[object]:
    return [getattr(self, name) for name in _names(type(self))]


def _set_state(self: AnyRecord, state: Sequence[object]) -> None:
    for name, value in zip(_names(type(self)), state, strict=True):
        object.__setattr__(self, name, value)
