"""Random kits can be read, are the same for ever, and cover what the laws are about."""

from __future__ import annotations

import hashlib

import pytest
from kit_coverage import MUST, table
from kit_samples import FIXED_SEEDS, Sample, names, sample
from random_kits import random_kit


@pytest.mark.law
def test_a_random_kit_is_read_and_planned(any_kit: Sample) -> None:
    """None of them stops in the reader: what is wrong with one is for the check."""
    assert len(any_kit.plan.steps) >= len(any_kit.kit.parts)


def test_the_same_seed_is_the_same_kit() -> None:
    assert [random_kit(seed).text for seed in FIXED_SEEDS] == [random_kit(seed).text for seed in FIXED_SEEDS]
    texts = {hashlib.sha256(random_kit(seed).text.encode()).hexdigest() for seed in FIXED_SEEDS}
    assert len(texts) == len(FIXED_SEEDS)


@pytest.mark.parametrize(
    "first", [1, pytest.param(101, marks=pytest.mark.soak), pytest.param(951, marks=pytest.mark.soak)]
)
def test_fifty_kits_in_a_row_cover_everything(first: int, capsys: pytest.CaptureFixture[str]) -> None:
    covered = [sample(name).covers for name in names(range(first, first + 50)) if name.startswith("random-")]
    print(table(covered))
    assert [word for word in MUST if word not in frozenset().union(*covered)] == []


def test_the_table_names_what_is_missing() -> None:
    assert "   none  plug" in table([frozenset(MUST) - {"plug"}])


def test_many_random_kits_have_no_error() -> None:
    """Laws are about sound kits, too: at least a third pass the check, and the rest is drawn with faults in it."""
    found = [sample(f"random-{seed}").findings for seed in FIXED_SEEDS]
    sound = sum(not any(one.severity.value == "error" for one in findings) for findings in found)
    print(f"{sound} of {len(found)} random kits pass the check")
    assert sound >= len(found) / 3
