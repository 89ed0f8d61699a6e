"""`kitforge settings` divides a depth as the pack does: equal passes and one named last pass."""

from __future__ import annotations

from pathlib import Path

import pytest

from kitforge.cli.settings_report import report_of
from kitforge.pipeline import plan_kit
from kitforge.plugins import load_plugins

KIT = Path(__file__).parents[2] / "kits" / "bedside-lamp"


@pytest.mark.parametrize(("units", "places"), [("mm", 2), ("in", 3)])
def test_rows_add_up(units: str, places: int) -> None:
    _kit, plan = plan_kit(KIT, load_plugins())
    scale = 1.0 if units == "mm" else 25.4
    for row in report_of(plan, plan.machines, units).rows:
        step = plan.step(row.step)
        depth = round(step.depth / scale, places) - round(step.top / scale, places)
        together = row.passes * row.depth_per_pass.start + (row.last_pass or 0.0)
        assert together == pytest.approx(depth, abs=1e-9), row.label
        assert row.last_pass is None or f"last {row.last_pass:g}" in row.pass_words
