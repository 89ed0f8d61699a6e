"""Records behave as the standard library's frozen dataclasses with slots do."""

from __future__ import annotations

import copy
import dataclasses
import inspect
import pickle
from dataclasses import dataclass, field
from typing import Any

import pytest

from kitforge.model.record import every, record


@record
class Ours:
    """A record of ours with every kind of field."""

    name: str
    sizes: tuple[float, ...] = ()
    marks: list[str] = field(default_factory=list)
    note: str = field(default="", compare=False, repr=False)
    flat: bool = field(default=False, kw_only=True)


@dataclass(frozen=True, slots=True)
class Theirs:
    """The same by the standard library."""

    name: str
    sizes: tuple[float, ...] = ()
    marks: list[str] = field(default_factory=list)
    note: str = field(default="", compare=False, repr=False)
    flat: bool = field(default=False, kw_only=True)


Kind = Any
BOTH = pytest.mark.parametrize("kind", [Ours, Theirs])


@BOTH
def test_fields_defaults_and_names(kind: Kind) -> None:
    one = kind("board", (1.0, 2.0), flat=True)
    assert dataclasses.asdict(one) == {
        "name": "board", "sizes": (1.0, 2.0), "marks": [], "note": "", "flat": True
    }  # fmt: skip
    assert repr(one) == f"{kind.__name__}(name='board', sizes=(1.0, 2.0), marks=[], flat=True)"
    assert [entry.name for entry in dataclasses.fields(kind)] == ["name", "sizes", "marks", "note", "flat"]
    assert kind.__match_args__ == ("name", "sizes", "marks", "note")
    assert list(inspect.signature(kind).parameters) == ["name", "sizes", "marks", "note", "flat"]
    assert kind("a").marks is not kind("b").marks
    with pytest.raises(TypeError, match="missing 1 required positional argument: 'name'"):
        kind()
    with pytest.raises(TypeError, match="unexpected keyword argument 'colour'"):
        kind("board", colour="red")
    with pytest.raises(TypeError):
        kind("board", (), [], "", True)


@BOTH
def test_equality_and_hash(kind: Kind) -> None:
    assert kind("a", note="x") == kind("a", note="y")
    assert kind("a") != kind("b")
    assert kind("a") != ("a", (), [], False)
    with pytest.raises(TypeError, match="unhashable"):
        hash(kind("a"))  # it holds a list


@BOTH
def test_frozen(kind: Kind) -> None:
    one = kind("a")
    with pytest.raises(dataclasses.FrozenInstanceError, match="cannot assign to field 'name'"):
        one.name = "b"
    with pytest.raises(dataclasses.FrozenInstanceError, match="cannot delete field 'name'"):
        del one.name
    assert not hasattr(one, "__dict__")


@BOTH
def test_copies(kind: Kind) -> None:
    one = kind("a", (1.0,), ["m"], "n", flat=True)
    for other in (pickle.loads(pickle.dumps(one)), copy.deepcopy(one), dataclasses.replace(one)):
        assert other == one
        assert other.note == "n"
    assert dataclasses.replace(one, name="b").name == "b"


def test_what_a_class_says_itself_stays() -> None:
    """Methods of its own, a look at what it is made with, records that are only themselves, a record of one field."""

    @record
    class Checked:
        """Refuses a name that is empty, and is compared by its length."""

        name: str

        def __post_init__(self) -> None:
            if not self.name:
                raise ValueError("empty")

        def __eq__(self, other: object) -> bool:
            return isinstance(other, Checked) and len(self.name) == len(other.name)

        def __hash__(self) -> int:
            return len(self.name)

    @record(eq=False)
    class Itself:
        """Equal to nothing but itself."""

        name: str = "a"

    @record
    class Single:
        """One field."""

        name: str

    with pytest.raises(ValueError, match="empty"):
        Checked("")
    assert Checked("ab") == Checked("cd")
    assert hash(Checked("ab")) == 2
    assert Itself() != Itself()
    assert len({Itself(), Itself()}) == 2
    assert {Single("a"), Single("a")} == {Single("a")}


def test_a_record_of_a_record() -> None:
    """A class that adds fields to a record's takes those of both."""

    @record
    class Wider(Ours):
        """Adds one field."""

        width: float = 0.0

    assert Wider("a", width=3.0) == Wider("a", width=3.0)
    assert Wider("a", width=3.0) != Wider("a", width=4.0)
    assert Wider("a") != Ours("a")
    assert pickle.loads(pickle.dumps(dataclasses.asdict(Wider("a"))))["width"] == 0.0


def test_every_object_of_a_kind_is_found_in_the_order_of_reading() -> None:
    """Inside records, tuples and lists; what stands in two places is told twice, or once if that is asked for."""
    one, other = Theirs("one"), Theirs("other")
    shared = Ours("shared", marks=[one])  # type: ignore[list-item]
    document = (other, [shared, "words", 3], {"not": "looked into"}, Ours("last", sizes=(shared, one)))  # type: ignore[arg-type]
    assert [*every(Theirs, document)] == [other, one, one, one]
    assert [*every(Theirs, document, once=True)] == [other, one]
    assert [found.name for found in every(Ours, document)] == ["shared", "last"]
    equal = [Theirs("one"), Theirs("one")]
    assert [*every(Theirs, equal, once=True)] == equal
