"""The worksheet beside the flow that it takes the place of: every value of every kept cut and of as many new ones."""

from __future__ import annotations

import re

from kept_cases import Values, read_kept, result_values, unlike
from random_cuts import random_cases

from kitforge.cutting import by_sheet, settings
from kitforge.workshop.cutting_data import cutting_data

_TRAILING = re.compile(r"(\.\d*?)0+(?=\D)")
_CHART = re.compile(r"(the nearest one was taken) \(.*\)")


def plain(values: Values) -> Values:
    """Return the values with figures in messages as the house writes them: 22, not 22.0.

    A diameter beyond the starting ranges named the chart of another cutter as its source; now it names the ranges.
    """
    return {
        name: _plain(value) if name.endswith("message") and isinstance(value, str) else value
        for name, value in values.items()
    }


def _plain(message: str) -> str:
    return _CHART.sub(r"\1", _TRAILING.sub(r"\1", message)).replace(". ", " ")


def test_the_worksheet_gives_what_the_flow_gives() -> None:
    """To 1e-12, with limits, reasons, notes and refusals.

    Only a reason of the speed may differ, where two hold at once: the window is a single value, or the speed that the
    chip asks for is the highest allowed but for a rounding, which the worksheet takes as equal.
    """
    cases = [case for case, _values in read_kept()] + random_cases(5, 1600)
    found = []
    for case in cases:
        given = case.cut, case.cutter, case.material, case.machine, cutting_data(), case.wish
        before = plain(result_values(settings.settings(*given)))
        now = plain(result_values(by_sheet.settings(*given)))
        found += [
            (name, before.get(name), now.get(name))
            for name in unlike(before, now)
            if not (
                name == "speed.why" and {str(before[name])[:7], str(now[name])[:7]} <= {"lowest ", "highest", "keeps t"}
            )
        ]
    assert found == []
