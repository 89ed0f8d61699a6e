"""Reading an author's own machine: lengths with units, defaults of the nearest class, all problems at once."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kitforge.model.workshop import Span
from kitforge.workshop.load import load_workshop
from kitforge.workshop.own_machine import FIELDS, machine_from_mapping

CLASSES = load_workshop().machines


def problems(data: dict[str, object]) -> list[str]:
    """The lines of the message that refuses `data`."""
    with pytest.raises(ValueError, match="machine 'mine'") as caught:
        machine_from_mapping("mine", data)
    return str(caught.value).splitlines()


def test_all_fields_are_taken_over() -> None:
    """An invented machine, complete."""
    machine = machine_from_mapping(
        "mine",
        {
            "like": "medium_router",
            "name": "Bench router",
            "about": "Welded frame in the cellar.",
            "area": [600, "24 in"],
            "z_travel": 80,
            "clearance": ["70 mm", "3 in"],
            "rpm": [8000, 24000],
            "power": 650,
            "force_limit": 90,
            "feed_limit": 4000,
            "plunge_limit": 1000,
            "acceleration": [200, 400],
            "collets": ["1/4 in", 8, "ER11", [9, 10]],
        },
    )
    assert (machine.key, machine.name, machine.about) == ("mine", "Bench router", "Welded frame in the cellar.")
    assert machine.table == pytest.approx((600, 609.6))
    assert machine.z_travel == Span(80, 80, "author", "author")
    assert (machine.clearance.low, machine.clearance.high) == pytest.approx((70, 76.2))
    assert machine.lowest_speed == Span(8000, 8000, "author", "author")
    assert machine.highest_speed == Span(24000, 24000, "author", "author")
    assert machine.cutter_power.middle == 650
    assert (machine.force_limit, machine.feed_limit, machine.plunge_limit) == (90, 4000, 1000)
    assert (machine.acceleration.low, machine.acceleration.high) == (200, 400)
    assert [(shank.low, shank.high) for shank in machine.shanks] == [(6.35, 6.35), (8.0, 8.0), (0.5, 7.0), (9.0, 10.0)]
    assert machine.collet_text == "1/4 in, 8 mm, ER11, 9 to 10 mm"
    assert (machine.rank, machine.own) == (2, True)


@pytest.mark.parametrize("key", list(CLASSES))
def test_a_machine_that_only_says_like_is_the_class_itself(key: str) -> None:
    mine, base = machine_from_mapping("mine", {"like": key}), CLASSES[key]
    for name in ("figures", "dial", "force_limit", "feed_limit", "plunge_limit", "shanks", "nut", "rank"):
        assert getattr(mine, name) == getattr(base, name)
    assert base.name in mine.about


@pytest.mark.parametrize("key", list(CLASSES))
def test_the_nearest_class_fills_in_what_is_missing(key: str) -> None:
    base = CLASSES[key]
    mine = machine_from_mapping("mine", {"area": list(base.table), "force_limit": base.force_limit})
    assert mine.rank == base.rank


def test_nothing_given_is_the_weakest_class() -> None:
    """Safety decisions take the weak end."""
    assert machine_from_mapping("mine", {}).rank == 0


def test_a_dial_gives_the_speeds_and_a_speed_range_drops_the_dial() -> None:
    dialled = machine_from_mapping("mine", {"like": "heavy_router", "dial": {1: 9000, "2": 15000}})
    assert dialled.dial == (("1", 9000.0), ("2", 15000.0))
    assert (dialled.slowest, dialled.fastest) == (9000, 15000)
    assert machine_from_mapping("mine", {"like": "light_router", "rpm": [5000, 20000]}).dial == ()


def test_force_may_be_that_of_a_class() -> None:
    assert machine_from_mapping("mine", {"like": "medium_router", "force_class": "light_router"}).force_limit == 40


def test_a_slow_machine_does_not_plunge_faster_than_it_feeds() -> None:
    assert machine_from_mapping("mine", {"like": "extra_heavy_router", "feed_limit": 900}).plunge_limit == 900


def test_all_problems_come_at_once() -> None:
    found = problems({"like": "crane", "powr": 3, "area": [600], "feed_limit": "fast", "collets": ["ER99", 3]})
    assert found == [
        "machine 'mine': unknown field 'powr'; did you mean 'power'?",
        "machine 'mine': area: write two numbers such as [600, 400]",
        "machine 'mine': like: 'crane' is no machine class; known are extra_light_router, light_router, medium_router, "
        "heavy_router and extra_heavy_router",
        "machine 'mine': feed_limit: 'fast' is not a number",
        "machine 'mine': collets: 'ER99' is not known; known are ER11, ER16, ER20, ER25, ER32",
    ]


@pytest.mark.parametrize(
    ("data", "message"),
    [
        ({"rpm": [24000, 8000]}, "rpm: write the lower number first"),
        ({"area": ["600 miles", 400]}, "area: '600 miles' is not a length"),
        ({"power": True}, "power: 'True' is not a number"),
        ({"power": float("nan")}, "power: 'nan' is not a finite number"),
        ({"power": 10**400}, "power: a huge number is not a finite number"),
        ({"power": 10**5000}, "power: a huge number is not a finite number"),
        ({"force_limit": 0}, "force_limit: 0 is not between 1 and 20000 N"),
        ({"force_limit": 10, "force_class": "heavy_router"}, "give either force_limit or force_class"),
        ({"force_class": 7}, "force_class: '7' is no machine class"),
        ({"dial": [1, 2]}, "dial: write positions with their speeds"),
        ({"dial": {"1": 9000, "2": 8000}}, "dial: speeds must rise"),
        ({"dial": {"1": 9000}, "rpm": [10000, 20000]}, "dial: a speed lies outside rpm 10000 to 20000"),
        ({"collets": []}, "collets: write a list such as"),
        ({"collets": "ER11"}, "collets: write a list such as"),
        ({"collets": [[7, 3]]}, "collets: write the lower number first"),
        ({"name": "two\nlines"}, "name: write one line of up to 300 characters"),
        ({"like": ["heavy_router"]}, "like: a list is no machine class"),
        ({"colour": "red"}, "unknown field 'colour'; known are like, name"),
    ],
)
def test_each_mistake_has_a_plain_message(data: dict[str, object], message: str) -> None:
    assert any(message in line for line in problems(data))


ANYTHING = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text("ER1 mx/é\n", max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text("ab1", max_size=3), inner, max_size=3),
    max_leaves=6,
)


@given(st.dictionaries(st.sampled_from(FIELDS), ANYTHING, max_size=6))
@settings(max_examples=120)
def test_whatever_is_written_gives_a_machine_or_a_plain_refusal(data: dict[str, object]) -> None:
    try:
        machine = machine_from_mapping("mine", data)
    except ValueError as error:
        assert str(error).startswith("machine 'mine': ")
    else:
        assert machine.force_limit > 0
        assert machine.shanks
