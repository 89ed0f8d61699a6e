"""The corpus of ugly drawings: each gives a right first kit or a plain doubt, none a wrong kit in silence."""

from __future__ import annotations

import pathlib

import pytest
import ugly_files
import ugly_lines
import ugly_sheets
import ugly_svg
from judge import judged
from ugly import Ugly

from kitforge.plugins import Plugins, load_plugins

CASES = [*ugly_lines.CASES, *ugly_files.CASES, *ugly_sheets.CASES, *ugly_svg.CASES]


@pytest.fixture(scope="module")
def plugins() -> Plugins:
    """The plugins as loaded."""
    return load_plugins()


@pytest.mark.parametrize("case", CASES, ids=[case.name for case in CASES])
def test_an_ugly_drawing_gives_a_right_kit_or_a_plain_doubt(
    case: Ugly, tmp_path: pathlib.Path, plugins: Plugins
) -> None:
    verdict = judged(case, tmp_path, plugins)
    assert verdict.passes, verdict.told
    assert verdict.kind == "right" or not case.certain, verdict.told


def test_the_corpus_is_large_and_every_case_is_its_own() -> None:
    assert len({case.name for case in CASES}) == len(CASES) >= 100
    assert len({case.data for case in CASES}) == len(CASES)
