"""What keeps a figure and its unit on one line: in texts alone, in every unit that the pack prints."""

from __future__ import annotations

import pytest

from kitforge.print.unparted import joined, unparted

JOINED = "\N{NO-BREAK SPACE}"


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("12.5 mm deep, 0.492 in", "12.5_mm deep, 0.492_in"),
        ("0.56 m² (6.03 sq ft) for 65 ml (2.2 fl oz)", "0.56_m² (6.03_sq_ft) for 65_ml (2.2_fl_oz)"),
        ("600 × 720 mm at 18 000 rpm and 30 %", "600 × 720_mm at 18 000_rpm and 30_%"),
        ("step 3 makes 4 parts, minutes and metres", "step 3 makes 4 parts, minutes and metres"),
        ("from 5 mm/min to 8 h", "from 5_mm/min to 8_h"),
    ],
)
def test_figures_and_units_stay_together(text: str, wanted: str) -> None:
    assert joined(text).replace(JOINED, "_") == wanted


def test_marks_stay_as_they_are() -> None:
    html = '<p title="5 mm" style="margin: 0 5 mm">5 mm <b>6 mm</b> x</p><style>a { width: 5mm }</style>'
    assert unparted(html).replace(JOINED, "_") == html.replace(">5 mm", ">5_mm").replace(">6 mm", ">6_mm")
