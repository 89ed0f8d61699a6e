"""A key for caches: equal only to the very same record, which saves comparing all that is in it."""

from __future__ import annotations

from typing import Generic, TypeVar

T = TypeVar("T")


class IdentityKey(Generic[T]):
    """Holds a record; equal to another holder of that very record alone."""

    __slots__ = ("one",)

    def __init__(self, one: T) -> None:
        self.one = one

    def __hash__(self) -> int:
        return id(self.one)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, IdentityKey) and self.one is other.one
