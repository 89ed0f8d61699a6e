"""A limit that a plugin adds in two rows: it rules, is explained, is told where it crosses, and reaches the page."""

from __future__ import annotations

import pathlib
from types import ModuleType

import pluggy
import pytest
from random_cuts import random_cases
from script_page import answers_of, as_plain, unlike

from kitforge import hookimpl
from kitforge import hooks as hookspecs
from kitforge.cutting.settings import settings
from kitforge.cutting.worksheet.program import settings_program, settings_sheet
from kitforge.cutting.worksheet.script_writer import write_script
from kitforge.cutting.worksheet.tables import tables_of
from kitforge.model.errors import PluginError
from kitforge.model.settings import AddedRows, Cut, CutSettings, CutterGeometry, CutterKind, NoWindow, Work
from kitforge.model.workshop import Workshop
from kitforge.plugins import LoadedPlugin, Plugins
from kitforge.workshop.cutting_data import CuttingData, cutting_data

HOSE = """
hose_reach [mm/min] what the hose of the extraction lets the head travel
  = 0.4 * vf_max -- invented for a test
vf <= [mm/min] hose {hard}
  = hose_reach when work == 'profile' -- invented for a test
help hose: a longer hose
"""
ROWS = (AddedRows("hose", "kitforge-hose 1.0", HOSE),)
QUARTER = CutterGeometry(CutterKind.UP_CUT, 6.35, 19.05, 6.35, 50.8, 2)


def test_the_limit_rules_and_is_explained(shop: Workshop, data: CuttingData) -> None:
    """Only for the work that it is for; with its own words, unit and source, and all else as it was."""
    wood, machine = shop.materials["sugar_maple"], shop.machines["medium_router"]
    found = settings(Cut(Work.PROFILE, 6), QUARTER, wood, machine, data, None, ROWS)
    plain = settings(Cut(Work.PROFILE, 6), QUARTER, wood, machine, data)
    assert isinstance(found, CutSettings)
    assert isinstance(plain, CutSettings)
    assert (found.feed.high_limit.reason, found.feed.high_limit.hard) == ("hose", True)
    assert found.feed.high == pytest.approx(0.4 * machine.feed_limit)
    assert found.depth_per_pass.high == plain.depth_per_pass.high
    line = found.trail.lines[dict(found.trail.limits)[found.feed.high_limit.case] - 1]
    assert (line.formula, line.source) == ("0.4 * vf_max", "invented for a test")
    pocket = Cut(Work.POCKET, 6, width=60)
    assert settings(pocket, QUARTER, wood, machine, data, None, ROWS) == settings(pocket, QUARTER, wood, machine, data)


def test_a_limit_that_crosses_another_is_told(shop: Workshop, data: CuttingData) -> None:
    """A hose that lets the head crawl leaves only chips that rub."""
    tight = (AddedRows("hose", "kitforge-hose 1.0", HOSE.replace("0.4", "0.02")),)
    machine = shop.machines["medium_router"]
    found = settings(Cut(Work.PROFILE, 6), QUARTER, shop.materials["sugar_maple"], machine, data, None, tight)
    assert isinstance(found, NoWindow)
    problem = found.problems[0]
    assert (problem.high and problem.high.reason, str(problem.remedies[0])) == ("hose", "a longer hose")


def test_the_page_computes_with_the_rows_of_a_plugin(tmp_path: pathlib.Path) -> None:
    """The script of the page is written from the same rows."""
    cases, data = random_cases(31, 80), cutting_data()
    answers = answers_of(write_script(settings_sheet(ROWS)), cases, tmp_path)
    computed = settings_program(ROWS).computed
    found: list[str] = []
    for case, answer in zip(cases, answers, strict=True):
        given = case.cut, case.cutter, case.material, case.machine, data, tables_of(data), case.wish
        found += unlike(as_plain(computed(*given)), answer)
    assert found == []


def plugins_with(rows: str) -> Plugins:
    manager = pluggy.PluginManager("kitforge")
    manager.add_hookspecs(hookspecs)
    module = ModuleType("hose")
    module.kitforge_cutting_rows = hookimpl(lambda: rows, specname="kitforge_cutting_rows")  # type: ignore[attr-defined]
    manager.register(module, name="hose")
    return Plugins(manager, [LoadedPlugin("hose", "kitforge-hose", "1.0", ("kitforge_cutting_rows",))])


def test_the_rows_come_through_the_door_of_plugins() -> None:
    """With the plugin's name and its distribution."""
    (added,) = plugins_with(HOSE).cutting_rows()
    assert (added.plugin, added.distribution, added.text) == ("hose", "kitforge-hose", HOSE)


@pytest.mark.parametrize(
    ("rows", "told"),
    [
        (HOSE.replace("vf_max", "machine_feed"), "row:3: 'machine_feed' is not known here"),
        (HOSE.replace("hose_reach", "reach"), "row:2: 'reach' must begin with 'hose_'"),
        (HOSE.replace("vf <= [mm/min]", "vf <= [mm]"), "row:4: limits of 'vf' are in mm/min"),
        (HOSE.replace("vf <=", "vv <="), "row:4: there is no setting 'vv' with limits '<='"),
        ("stop SHANK\n  when yes\n  : No.\n", "row:1: a plugin adds values and limits only"),
        ("hose_x [mm] x\n  = D -- y\n", "row:1: a limit must follow the values that it is reckoned from"),
    ],
)
def test_a_mistake_names_plugin_distribution_and_row(rows: str, told: str) -> None:
    """One plain message."""
    with pytest.raises(PluginError) as caught:
        plugins_with(rows).cutting_rows()
    assert f"plugin 'hose' of kitforge-hose, {told}" in str(caught.value)
