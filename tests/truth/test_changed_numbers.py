"""A number of a demo kit that is another one than before names the law that changed it; all others are equal."""

from __future__ import annotations

import demo_kits
import pytest
from changed_numbers import Book, book, kits_before, told
from printed_numbers import lines, numbers, read, same, written


@pytest.fixture(scope="module")
def changes() -> Book:
    return book()


@pytest.mark.parametrize("kit", kits_before())
def test_what_changed_names_its_law(kit: str, changes: Book) -> None:
    demo = demo_kits.said(kit)
    found = changes.uncovered(kit, numbers(demo.checked.kit, demo.checked.plan, demo.booklet))
    assert not found, told(found)


def test_every_entry_covers_what_changed(changes: Book) -> None:
    """Runs over all kits by itself, so that it says the same when it is run alone."""
    changes.met.clear()
    changes.idle.clear()
    for kit in kits_before():
        demo = demo_kits.said(kit)
        changes.uncovered(kit, numbers(demo.checked.kit, demo.checked.plan, demo.booklet))
    assert changes.unused() == []


def test_a_changed_number_is_told() -> None:
    kit = kits_before()[0]
    now = _before(kit)
    key = next(iter(now))
    found = book("changes: []").uncovered(kit, now | {key: "4711"})
    assert [(one.key, one.before, one.now) for one in found] == [(key, now[key], "4711")]
    assert key in told(found) and "changes.yaml" in told(found)


def test_a_number_that_is_gone_and_a_new_one_are_told() -> None:
    kit = kits_before()[0]
    now = _before(kit)
    gone = now.popitem()[0]
    found = book("").uncovered(kit, now | {"a new one": "1"})
    assert {(one.key, one.now) for one in found} == {(gone, None), ("a new one", "1")}


def test_entries_that_say_too_much_or_nothing_are_told() -> None:
    kit = kits_before()[0]
    now = _before(kit)
    key = next(key for key in now if key.startswith("check:"))
    entries = (f'{{keys: "{key}", law: size, why: a}}', '{keys: "*", law: size, why: b}', "{keys: x, law: c, why: d}")
    changes = book(f"changes: [{', '.join(entries)}]")
    assert changes.uncovered(kit, now | {key: "4711"}) == []
    assert [line.partition(":")[0] for line in changes.unused()] == ["x", "*"]


def test_an_entry_that_names_no_kit_covers_none_that_was_recorded_later() -> None:
    """The seedling tray came after the first entries: a number of it that changes needs an entry that names it."""
    kit, first = "seedling-tray", book().changes[0]
    assert kit in kits_before() and not any(
        change.covers(kit, "cover:Time at the machine") for change in book().changes
    )
    assert first.kits and kit not in first.kits
    now = _before(kit)
    key = next(key for key in now if key.startswith("class:") and "cutting_seconds" in key)
    assert [one.key for one in book().uncovered(kit, now | {key: "4711"})] == [key]


def test_a_renamed_class_is_compared_under_its_new_name() -> None:
    kit = kits_before()[0]
    now = {key.replace(":industrial:", ":factory:"): value for key, value in _before(kit).items()}
    changes = book('renamed: [{before: ":industrial:", now: ":factory:", law: facts, why: a}]')
    assert (changes.uncovered(kit, now), changes.unused()) == ([], [])


def test_numbers_are_written_and_read_again() -> None:
    found = {"b": written(1234.56789), "a: = c": written(1e-12), "d": "1 1/2"}
    assert lines(found) == "a: = c = 0\nb = 1234.568\nd = 1 1/2\n"
    assert read(lines(found)) == found
    assert [same("1234.568", "1234.569"), same("1.1", "1.2"), same("1 2", "1 3"), same("0", "0")] == [
        True,
        False,
        False,
        True,
    ]


def _before(kit: str) -> dict[str, str]:
    import changed_numbers

    return read((changed_numbers.HERE / "before" / f"{kit}.txt").read_text(encoding="utf-8"))
