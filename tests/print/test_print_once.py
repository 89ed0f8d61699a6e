"""What takes long is made once for a state of the code, and never taken over from another state."""

from __future__ import annotations

from pathlib import Path

import once
import pytest


@pytest.fixture(autouse=True)
def _own_place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(once, "_made", {})
    monkeypatch.setattr(once, "folder", lambda: tmp_path)


def test_a_second_process_finds_what_the_first_has_made(monkeypatch: pytest.MonkeyPatch) -> None:
    made = [once.once("it", lambda: 1), once.once("it", lambda: 2)]
    monkeypatch.setattr(once, "_made", {})  # as another process begins
    assert [*made, once.once("it", lambda: 3)] == [1, 1, 1]
    assert not once.missing("it")


def test_nothing_is_kept_while_somebody_works_on_the_code(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(once, "LAY", {name: (size, time - 1) for name, (size, time) in once.LAY.items()})
    assert once.once("it", lambda: 1) == 1
    monkeypatch.setattr(once, "_made", {})
    assert (once.missing("it"), list(tmp_path.glob("*.pickle"))) == (True, [])


def test_what_is_being_made_is_left_to_the_one_who_makes_it() -> None:
    seen = []
    once.once("it", lambda: seen.append((once.being_made("it"), once.missing("it"))))
    assert seen == [(True, False)]


def test_the_state_follows_from_code_kits_and_libraries() -> None:
    assert {"kitforge", "plugins", "templates", "kits"} <= set(once.FROM)
    assert len(once.STATE) == 24


def test_what_would_be_made_from_itself_is_an_error_and_no_wait() -> None:
    """A run of tests stood still for ever: the maker of a key asked for the same key, and waited for its own lock."""

    def made() -> str:
        return once.once("test-of-itself", made)

    with pytest.raises(AssertionError, match="made from itself"):
        once.once("test-of-itself", made)
