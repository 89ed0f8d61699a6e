"""Seeds of every run: fixed in `make test`, so that a green change stays green, and new ones in `make soak`.

`--soak` tries 500 random kits with new seeds and draws new examples in property tests, four times as many where a test
does not say how many; `--first-seed` repeats a run.
Seeds that failed are printed and written to build/soak/failed.txt; one that showed a fault is kept for every run in
tests/random_kits/kept-seeds.txt.
"""

from __future__ import annotations

import gc
import os
import re
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from clean_reports import pytest_report_to_serializable  # noqa: F401 - a hook
from hypothesis import given, settings
from hypothesis.strategies import none

if TYPE_CHECKING:
    from kit_samples import Sample

os.environ.setdefault("KITFORGE_NO_CACHE", "1")  # tests of the cache have one of their own; no other test reads any

FAILED = Path(__file__).parents[1] / "build" / "soak" / "failed.txt"
_SEED = "KITFORGE_FIRST_SEED"  # the workers of a parallel run inherit it from the first process
_failed: list[int] = []

# Files whose tests take longest, in seconds of one processor; they start first, so that no worker is left alone with
# one of them at the end. `--durations=30` tells which belong here.
_LONGEST = (
    "test_installed", "test_demo_pages", "test_booklet_answers", "test_changed_numbers", "test_laws",
    "test_booklet_pdf", "test_build", "test_print_themes_large", "test_workflow", "test_page_in_use",
    "test_page_reckoning", "test_language_documents", "test_booklet_content", "test_words_decide_nothing",
    "test_families", "test_cached_builds", "test_exit_codes", "test_live_fixes", "test_coupons", "test_booklet_long",
    "test_plugin_door", "test_listing",
)  # fmt: skip

settings.register_profile("fixed", derandomize=True, database=None, deadline=None, max_examples=25)
settings.register_profile("soak", derandomize=False, database=None, deadline=None, max_examples=100, print_blob=True)


gc.set_threshold(100_000, 20, 100)
"""Looking for circles of objects that nobody holds took a seventh of a run, and found the same thousands of tests."""


def pytest_collection_finish() -> None:
    """What is there when the first test starts stays to the end: it need not be looked through again."""
    gc.collect()
    gc.freeze()
    _first_property()  # the first of all looks for circles of objects, of which there are none now


@given(none())
def _first_property(_nothing: None) -> None:
    """Hold true."""


@pytest.hookimpl(trylast=True)
def pytest_sessionfinish() -> None:
    """Look once for what fails while it is thrown away; pytest and Python would look through all of it again."""
    gc.collect()
    gc.freeze()


def pytest_addoption(parser: pytest.Parser) -> None:
    group = parser.getgroup("kitforge")
    group.addoption("--soak", action="store_true", help="new random seeds, and 500 random kits instead of 50")
    group.addoption("--kits", type=int, default=500, help="how many random kits with --soak")
    group.addoption("--first-seed", type=int, help="the seed of the first random kit with --soak")


def pytest_configure(config: pytest.Config) -> None:
    soak = config.getoption("--soak")
    settings.load_profile("soak" if soak else "fixed")
    if soak and _SEED not in os.environ:
        first = config.getoption("--first-seed")
        os.environ[_SEED] = str(int.from_bytes(os.urandom(4), "big") if first is None else first)


def pytest_report_header(config: pytest.Config) -> list[str]:
    if not config.getoption("--soak"):
        return []
    return [f"random kits: --first-seed {os.environ[_SEED]} --kits {config.getoption('--kits')}"]


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    rank = {name: number for number, name in enumerate(_LONGEST)}
    items.sort(key=lambda item: rank.get(item.path.stem, len(rank)))  # stable: all others stay in their order


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Give a test that asks for `any_kit` every demo kit and the random kits of this run."""
    if "any_kit" in metafunc.fixturenames:
        from kit_samples import names

        metafunc.parametrize("any_kit", names(_seeds(metafunc.config)), indirect=True)


@pytest.fixture
def any_kit(request: pytest.FixtureRequest) -> Sample:
    """Each demo kit and each random kit in turn."""
    from kit_samples import sample

    return sample(request.param)


def _seeds(config: pytest.Config) -> list[int]:
    from kit_samples import FIXED_SEEDS, kept_seeds

    if not config.getoption("--soak"):
        return [*FIXED_SEEDS, *kept_seeds()]
    first = int(os.environ[_SEED])
    return list(range(first, first + config.getoption("--kits")))


def pytest_runtest_logreport(report: pytest.TestReport) -> None:
    found = re.search(r"random-(\d+)", report.nodeid) if report.failed else None
    if found:
        _failed.append(int(found[1]))


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    if not config.getoption("--soak") or hasattr(config, "workerinput"):
        return  # the first process tells what all workers found
    terminalreporter.section("random kits")
    terminalreporter.write_line(f"{config.getoption('--kits')} kits from seed {os.environ[_SEED]}")
    if _failed:
        FAILED.parent.mkdir(parents=True, exist_ok=True)
        with FAILED.open("a", encoding="utf-8") as file:
            file.writelines(f"{seed}\n" for seed in sorted(set(_failed)))
        terminalreporter.write_line(f"failing seeds, kept in {FAILED}: {sorted(set(_failed))}")
