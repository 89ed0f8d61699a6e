"""The generated programs are those of the worksheet, and every formula of it is reckoned in some kept cut."""

from __future__ import annotations

import pytest
from kept_cases import Values, read_kept
from random_cuts import Case
from write_worksheet import FOLDER, generated

from kitforge.cutting.worksheet.generated.settings_traced import traced
from kitforge.cutting.worksheet.program import settings_sheet
from kitforge.cutting.worksheet.tables import tables_of
from kitforge.cutting.worksheet.trace import Trace, TraceFrame
from kitforge.workshop.cutting_data import cutting_data


def test_the_generated_files_are_fresh() -> None:
    """After a change of the sheet: python tests/tools/write_worksheet.py."""
    for name, text in generated().items():
        assert (FOLDER / name).read_text(encoding="utf-8") == text, name
    assert {path.name for path in FOLDER.iterdir() if path.is_file()} == {*generated(), "__init__.py"}


@pytest.fixture(scope="module")
def kept() -> list[tuple[Case, Values]]:
    return read_kept()


def test_every_case_of_every_row_is_reckoned_in_some_kept_cut(kept: list[tuple[Case, Values]]) -> None:
    """No formula is dead, and none escapes the comparison of the kept cuts."""
    seen: set[int] = set()
    data = cutting_data()
    for case, _values in kept:
        trace = Trace()
        traced(trace, case.cut, case.cutter, case.material, case.machine, data, tables_of(data), case.wish)
        seen |= _cases(trace.top)
    rows = [(row.symbol, one) for _block, row in settings_sheet().sheet.rows() for one in row.cases]
    assert [f"{one.at}: {symbol} = {one.text}" for symbol, one in rows if one.number not in seen] == []


def _cases(frame: TraceFrame) -> set[int]:
    found = {entry.case for entry in frame.entries}
    for entry in frame.entries:
        if entry.inner is not None:
            found |= _cases(entry.inner)
    return found
