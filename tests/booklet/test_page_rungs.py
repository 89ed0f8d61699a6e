"""start.html of a kit with drawings for several thicknesses: the measured board leads to a folder and to its depths."""

from __future__ import annotations

from pathlib import Path

import pytest
from page_browser import answers
from rack_kits import checked, rack_text
from test_page_reckoning import WAYS

from kitforge.cutting.settings import settings
from kitforge.model.pack import BuildOptions
from kitforge.model.settings import NoWindow
from kitforge.pipeline import CheckedKit
from kitforge.workshop.cutting_data import cutting_data
from kitforge.workshop.own_machine import machine_from_mapping
from kitforge_booklet.page.reckoning import reckoning_data, worksheet_script
from kitforge_booklet.page.script_text import RECKONING, script_text
from kitforge_booklet.page.step_data import taken_of

RUNGS = (5.6, 5.8, 6.0, 6.2, 6.4)
KIT = rack_text("""\
        shapes: [{rectangle: {centre: [60 mm, 20 mm], size: [60 mm, slot]}}]
      - name: rebate
        do: pocket
        depth: 2 mm
        cutter: down
        shapes: [{rectangle: {centre: [60 mm, 50 mm], size: [60 mm, 9 mm]}}]
""")
RUN = """
  const write = numbers.writer(data.languages.en, data.units);
  const done = own.reckon(data, write, {feed: "2200", "stock-0-thickness": one}, ready);
  const ends = ({found}) => [found.feed.low, found.feed.start, found.feed.high];
  const said = (one) => ({ends: ends(one), deep: one.deep, depth: one.step.depth, seconds: one.seconds});
  const steps = done.steps.map(said);
  return {refused: done.refused, told: done.told, steps};
"""


@pytest.fixture(scope="module")
def rack(tmp_path_factory: pytest.TempPathFactory) -> CheckedKit:
    return checked(tmp_path_factory.mktemp("rack"), KIT)


def test_a_measured_board_leads_to_the_folder_and_to_what_python_computes_there(
    rack: CheckedKit, tmp_path: Path
) -> None:
    """The smallest thickness that is the reading or more; outside of them it is refused."""
    script = script_text(worksheet_script(rack.kit), (*RECKONING, "own.js"))
    data = reckoning_data(rack.kit, rack.plan, BuildOptions(), script)
    readings = ["5.45", "5.7", "5.8", "5.81", "6", "6.4", "6.45", "5.3", ""]
    found = answers(script, data, readings, RUN, tmp_path, WAYS.replace("data.steps", "reckoning.allSteps(data)"))
    taken = (5.6, 5.8, 5.8, 6.0, 6.0, 6.4)
    for thickness, answer in zip(taken, found[:6], strict=True):
        assert answer["refused"] == []
        assert any(f"take the drawings in drawings/{thickness:.1f}-mm." in line for line in answer["told"]), answer
        _require_as_in_python(rack, thickness, answer["steps"])
    assert ["is above 6.4 mm" in line for line in found[6]["refused"]] == [True]
    assert ["is far below 5.6 mm" in line for line in found[7]["refused"]] == [True]
    assert not any("take the drawings" in line for line in found[8]["told"])


def _require_as_in_python(rack: CheckedKit, thickness: float, steps: list[dict[str, object]]) -> None:
    plan = next(rung.plan for rung in rack.plan.rungs if rung.thickness == thickness)
    machine = machine_from_mapping("own", {"name": "mine", "feed_limit": 2200})
    changed = 0
    for step, told in zip(plan.steps, steps, strict=True):
        taken = taken_of(plan, step)
        assert taken is not None
        one = settings(taken[0], taken[1], taken[2], machine, cutting_data(), None, ())
        assert not isinstance(one, NoWindow)
        assert told["depth"] == step.depth
        assert bool(told["deep"]) == (step.through and thickness != 6.0)
        changed += bool(told["deep"])
        ends = (one.feed.low, one.feed.start, one.feed.high)
        assert told["ends"] == pytest.approx(ends, rel=1e-12)
        assert told["seconds"] is not None
    assert changed == (0 if thickness == 6.0 else 2)
