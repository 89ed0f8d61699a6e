"""The script of the worksheet gives what Python gives, in a real browser: numbers, reasons, refusals and notes."""

from __future__ import annotations

import os
import pathlib
from collections.abc import Sequence

import pytest
from random_cuts import Case, random_cases
from script_page import TRACED, Events, answers_of, as_plain, unlike

from kitforge.cutting.worksheet.generated import settings_computed
from kitforge.cutting.worksheet.generated.settings_traced import traced
from kitforge.cutting.worksheet.program import generated_text
from kitforge.cutting.worksheet.tables import tables_of
from kitforge.workshop.cutting_data import cutting_data

AT_ONCE = 500
SOAKED = 5_000


def differences(cases: Sequence[Case], folder: pathlib.Path) -> list[str]:
    """Return where the browser's answers differ from Python's."""
    answers = answers_of(generated_text("settings.js"), cases, folder)
    assert len(answers) == len(cases)
    data = cutting_data()
    found: list[str] = []
    for place, (case, answer) in enumerate(zip(cases, answers, strict=True)):
        given = case.cut, case.cutter, case.material, case.machine, data, tables_of(data), case.wish
        found += unlike(as_plain(settings_computed.computed(*given)), answer, f"case {place}")
    return found


def test_five_hundred_random_cuts_are_the_same_in_the_browser(tmp_path: pathlib.Path) -> None:
    """To 1e-12; words and reasons exactly."""
    assert differences(random_cases(2026, AT_ONCE), tmp_path) == []


def test_a_script_with_a_slip_is_seen(tmp_path: pathlib.Path) -> None:
    """A sign turned in one formula of the script shows."""
    script = generated_text("settings.js").replace("v_D - 2 * v_R", "v_D + 2 * v_R")
    answers = answers_of(script, random_cases(2026, 60), tmp_path)
    data = cutting_data()
    found: list[str] = []
    for case, answer in zip(random_cases(2026, 60), answers, strict=True):
        given = case.cut, case.cutter, case.material, case.machine, data, tables_of(data), case.wish
        found += unlike(as_plain(settings_computed.computed(*given)), answer)
    assert any(".b:" in one for one in found)


def test_the_traced_script_reports_what_python_reports(tmp_path: pathlib.Path) -> None:
    """Every value in the same order with the same case, in the same blocks."""
    cases, data = random_cases(77, 60), cutting_data()
    answers = answers_of(generated_text("settings_traced.js"), cases, tmp_path, TRACED)
    found: list[str] = []
    for case, answer in zip(cases, answers, strict=True):
        events = Events()
        traced(events, case.cut, case.cutter, case.material, case.machine, data, tables_of(data), case.wish)
        assert len(events.events) > 15
        found += unlike(events.events, answer)
    assert found == []


@pytest.mark.soak
@pytest.mark.parametrize("part", range(SOAKED // AT_ONCE))
def test_thousands_of_random_cuts_are_the_same_in_the_browser(part: int, tmp_path: pathlib.Path) -> None:
    """New ones in each run; the seed is told where they differ."""
    seed = int.from_bytes(os.urandom(4), "big")
    found = differences(random_cases(seed, AT_ONCE), tmp_path)
    assert not found, f"part {part}, seed {seed}: {found[:5]}"
