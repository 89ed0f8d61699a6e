"""Safety messages: three parts, a signal word that follows from the harm, no triangle without injury."""

from __future__ import annotations

from typing import Any

import pytest

from kitforge.print.safety import Harm, SafetyMessage, SignalWord, worst_first


def test_the_word_follows_from_the_harm() -> None:
    """ANSI Z535.4: could kill or seriously injure is WARNING, minor or moderate CAUTION, no injury NOTICE."""
    words = [SafetyMessage(harm, "t", "h", "c", "a").word for harm in Harm]
    assert words == [SignalWord.DANGER, SignalWord.WARNING, SignalWord.CAUTION, SignalWord.NOTICE]


@pytest.mark.parametrize("missing", ["title", "hazard", "consequence", "avoidance"])
def test_a_message_without_one_of_its_parts_is_refused(missing: str) -> None:
    parts: dict[str, Any] = {"title": "t", "hazard": "h", "consequence": "c", "avoidance": "a"} | {missing: " "}
    with pytest.raises(ValueError, match=missing):
        SafetyMessage(Harm.SERIOUS, **parts)


def test_no_triangle_beside_a_notice() -> None:
    assert [SafetyMessage(harm, "t", "h", "c", "a").has_triangle for harm in Harm] == [True, True, True, False]


def test_the_worst_stands_first_and_repeats_go() -> None:
    notice, warning = SafetyMessage(Harm.DAMAGE, "n", "h", "c", "a"), SafetyMessage(Harm.SERIOUS, "w", "h", "c", "a")
    assert worst_first([notice, warning, notice]) == (warning, notice)
