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
NOT_YET: set[str] = {
    "outline in halves on two layers with a gap between them",
    "outline open by 3 mm around a window",
    "outline open by 30 mm around a window",
    "a side of the outline is missing",
    "corners where the lines run past each other",
    "outline drawn twice",
    "loose outline drawn twice",
    "a hole drawn twice, on two layers",
    "a closed line there and back",
    "a closed line of three points in a row",
    "holes as polygons of many short sides",
    "holes as loose short lines",
    "a line of construction beside the part",
    "the path of the cutter beside the outline",
    "a hole that is cut off at a corner by a wrong radius",
    "three like parts side by side",
    "parts of two kinds, one of them twice",
    "two parts, the larger one with its holes on a layer of its own",
    "like parts as copies of a block",
    "a block turned where it is used again",
    "a page of A4 as a frame",
    "a title frame of loose lines with a title block",
    "parts laid out on a rectangle that is the sheet",
    "a layer for the stock",
    "an inch header over millimetres",
    "an inch header over millimetres, a small part",
    "a millimetre header over inches",
    "a millimetre header over inches, a large part",
    "a metre header over millimetres",
    "a centimetre header over millimetres",
    "a part and its mirror image",
    "a ring: a part in the opening of another",
    "holes only",
    "a white page behind everything",
    "two parts, each a group",
}


@pytest.fixture(scope="module")
def plugins() -> Plugins:
    """The plugins as loaded."""
    return load_plugins()


def _named(case: Ugly) -> object:
    marks = [pytest.mark.xfail(strict=True)] if case.name in NOT_YET else []
    return pytest.param(case, id=case.name, marks=marks)


@pytest.mark.parametrize("case", [_named(case) for case in CASES])
def test_an_ugly_drawing_gives_a_right_kit_or_a_plain_doubt(
    case: Ugly, tmp_path: pathlib.Path, plugins: Plugins
) -> None:
    verdict = judged(case, tmp_path, plugins)
    assert verdict.passes, verdict.told
    assert verdict.kind == "right" or not case.certain, verdict.told


def test_the_corpus_is_large_and_every_case_is_its_own() -> None:
    assert len({case.name for case in CASES}) == len(CASES) >= 100
    assert len({case.data for case in CASES}) == len(CASES)
