"""Random damage to good drawings is noticed: by the kit that was made for it, and mostly by a new first kit."""

from __future__ import annotations

import pathlib
import random
from collections import Counter

import pytest
from damage import KINDS, damaged, good_drawing
from judge import first_of, noticed

from kitforge.plugins import Plugins, load_plugins

LEAST = 0.99
SEEN_AFRESH = ("moved layer", "double", "gap")
"""What a new first kit tells of or makes good by itself as often. It cannot miss a hole that it never saw, nor know how
large the whole was meant: of the other kinds it tells some."""
FRESH = 0.8
"""How much of the damage of all kinds a new first kit tells of or makes good; of few cases it would say little."""


@pytest.fixture(scope="module")
def plugins() -> Plugins:
    """The plugins as loaded."""
    return load_plugins()


def tried(seeds: range, folder: pathlib.Path, plugins: Plugins) -> tuple[Counter[str], Counter[str], Counter[str]]:
    """How many cases there are of each kind, which the kit notices, and which a new first kit notices or makes good."""
    cases, by_kit, by_new = Counter[str](), Counter[str](), Counter[str]()
    for seed in seeds:
        chance = random.Random(seed)
        good, kind = good_drawing(chance), KINDS[seed % len(KINDS)]
        bad = damaged(good, kind, chance)
        if bad is None:
            continue
        kit = first_of(good.written(), f"part.{good.form}", folder, plugins)
        assert kit.refused == "", (seed, kit.refused)
        cases[kind] += 1
        seen = noticed(kit, bad.written(), folder, plugins)
        by_kit[kind] += seen
        fresh = first_of(bad.written(), f"part.{good.form}", folder, plugins)
        by_new[kind] += bool(fresh.refused) or fresh.warnings > kit.warnings or fresh.figures == kit.figures
        if not seen:
            print(f"seed {seed}: a {kind} is not noticed")
    return cases, by_kit, by_new


def _judge(cases: Counter[str], by_kit: Counter[str], by_new: Counter[str]) -> None:
    total = sum(cases.values())
    for kind in KINDS:
        print(f"{kind:12} {cases[kind]:5} cases, the kit notices {by_kit[kind]}, a new first kit {by_new[kind]}")
    assert sum(by_kit.values()) >= LEAST * total
    assert [kind for kind in SEEN_AFRESH if by_new[kind] < LEAST * cases[kind]] == []
    assert [kind for kind in KINDS if not by_new[kind]] == []


def test_damage_is_noticed(tmp_path: pathlib.Path, plugins: Plugins) -> None:
    _judge(*tried(range(50), tmp_path, plugins))


@pytest.mark.soak
def test_damage_is_noticed_in_two_thousand_cases(tmp_path: pathlib.Path, plugins: Plugins) -> None:
    cases, by_kit, by_new = tried(range(1000, 3600), tmp_path, plugins)
    assert sum(cases.values()) >= 2000
    _judge(cases, by_kit, by_new)
    assert sum(by_new.values()) >= FRESH * sum(cases.values())
