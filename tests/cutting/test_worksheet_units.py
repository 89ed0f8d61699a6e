"""Every formula of the worksheet in its units, worked by an independent library."""

from __future__ import annotations

import pytest
from worksheet_units import counted, wrong_units

from kitforge.cutting.worksheet.checker import check_sheet
from kitforge.cutting.worksheet.program import SETTINGS, settings_sheet, sheet_texts
from kitforge.cutting.worksheet.reader import read_sheet


def test_every_formula_is_right_in_its_units() -> None:
    """Values, limits, arguments of blocks and both sides of comparisons."""
    sheet = settings_sheet()
    assert counted(sheet)["worked"] > 250
    assert list(wrong_units(sheet)) == []


@pytest.mark.parametrize(
    ("right", "wrong"),
    [
        ("= vf / (z * n) -- milling", "= vf / z * n -- milling"),
        ("= kc * edge * h -- ISO", "= kc * edge -- ISO"),
        ("(L^3 - l1^3) / DMM^4)", "(L^3 - l1^3) / DMM^3)"),
        ("= kcm * Q / k60 -- milling", "= kcm * Q -- milling"),
        ("= ap / tan(a_in)", "= ap / tan(Lr_usual)"),
        ("= v^(1 / (1 - m)) -- derived", "= v^(1 - m) -- derived"),
        ("= k_rim * v_rim / (pi * D)", "= v_rim / (pi * D)"),
        ("q_narrow * s.high) when", "q_narrow + s.high) when"),
        ("= pushed(ap_0) when", "= pushed(c) when"),
        ("= OAL - L -- cutter", "= OAL - c -- cutter"),
    ],
)
def test_a_wrong_unit_is_seen(right: str, wrong: str) -> None:
    """A quotient turned round, a length lost, a factor lost, an angle for a length."""
    texts = [(name, text.replace(right, wrong)) for name, text in sheet_texts("settings")]
    if texts == sheet_texts("settings"):
        pytest.fail(f"'{right}' does not stand in the sheet any more")
    assert list(wrong_units(check_sheet(read_sheet(texts), SETTINGS)))
