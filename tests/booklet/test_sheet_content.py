"""The settings sheet and its table."""

from __future__ import annotations

import csv
import io
from dataclasses import replace

import morris
import pytest

from kitforge.model.findings import Severity
from kitforge.model.kit import Kit
from kitforge.model.messages import msg
from kitforge.model.pack import BuildOptions
from kitforge.model.plan import MachinePlan, Plan
from kitforge.model.steps import BlockedStep, SettingsProblem
from kitforge_sheet.sheet import settings_sheet
from kitforge_sheet.table import HEADER, settings_table


def rows(data: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(data.decode("utf-8"), newline="")))


def test_the_table_has_every_step_and_setting_of_the_classes_that_fit(plan: Plan) -> None:
    found = rows(settings_table(plan, plan.machines))
    feeds = [row for row in found if row["setting"] == "feed"]
    fitting = [machine for machine in plan.machines if machine.fits]
    assert 0 < len(fitting) < len(plan.machines)
    assert len(feeds) == len(fitting) * len(plan.steps)
    first = fitting[0].settings[plan.steps[0].key].feed
    figures = float(feeds[0]["low"]), float(feeds[0]["start"])
    assert figures == pytest.approx((first.low, first.start), rel=1e-9)
    assert feeds[0]["unit"] == "mm/min"
    assert feeds[0]["high_limit"] == first.high_limit.reason


def test_the_table_names_classes_as_they_are_printed(plan: Plan) -> None:
    found = rows(settings_table(plan, plan.machines))
    assert {(row["machine_class"], row["machine_key"]) for row in found} == {
        (machine.machine.name, machine.machine.key) for machine in plan.machines if machine.fits
    }


def test_lines_end_as_rfc_4180_says(plan: Plan) -> None:
    """RFC 4180, section 2: each record ends with CRLF; the header comes first."""
    data = settings_table(plan, plan.machines)
    assert data.startswith(",".join(HEADER).encode() + b"\r\n")
    assert data.count(b"\r\n") == data.count(b"\n")


def test_a_title_cannot_become_a_formula(plan: Plan) -> None:
    step = plan.steps[0]
    evil = replace(step, part=replace(step.part, title="=1+1"))
    found = rows(settings_table(replace(plan, steps=(evil,)), plan.machines))
    assert {row["part"] for row in found} == {"'=1+1"}


def test_neighbouring_steps_with_the_same_settings_share_a_row(kit: Kit, plan: Plan) -> None:
    same = tuple(replace(m, settings={**m.settings, "token/outline": m.settings["lid/outline"]}) for m in plan.machines)
    page = settings_sheet(kit, replace(plan, machines=same), BuildOptions()).pages[0]
    assert [row.number for row in page.rows] == ["1", "2", "3", "4", "5", "6", "7–8"]
    assert page.rows[-1].part == "Lid and Token"


def test_a_class_that_does_not_fit_has_no_page_but_is_named(kit: Kit, plan: Plan) -> None:
    sheet = settings_sheet(kit, plan, BuildOptions())
    assert "Extra-light router" not in [page.name for page in sheet.pages]
    assert sheet.left_out[0].startswith("Extra-light router: The board's stock is")


def without_lines(machine: MachinePlan) -> MachinePlan:
    """A class that cuts all of the kit but its lines."""
    problem = SettingsProblem(
        "settings-none", Severity.ERROR, msg("The cutter bends too far"), msg("Use a thicker one")
    )
    settings = {key: value for key, value in machine.settings.items() if key != "board/lines"}
    return replace(machine, settings=settings, blocked={"board/lines": BlockedStep((problem,))})


def test_a_blocked_step_says_why(kit: Kit, plan: Plan) -> None:
    blocked = without_lines(plan.machines[2])
    sheet = settings_sheet(kit, replace(plan, machines=(blocked,)), BuildOptions())
    row = sheet.pages[0].rows[2]
    assert (row.settings, row.reasons) == (None, ("The cutter bends too far.",))
    assert sheet.pages[0].fits == "The kit does not fit"  # as the booklet says


def test_a_class_with_a_blocked_step_has_no_page_where_another_cuts_all(kit: Kit, plan: Plan) -> None:
    blocked, whole = without_lines(plan.machines[2]), plan.machines[3]
    both = replace(plan, machines=(blocked, whole))
    sheet = settings_sheet(kit, both, BuildOptions())
    assert [page.name for page in sheet.pages] == [whole.machine.name]
    assert sheet.left_out == (f"{blocked.machine.name}: The cutter bends too far.",)
    assert {row["machine_key"] for row in rows(settings_table(both, both.machines))} == {whole.machine.key}


def test_the_sheet_names_the_limits_the_troubles_and_only_a_dial_of_ones_own(kit: Kit, plan: Plan) -> None:
    """The positions of a dial belong to one make: a class has none, and the sheet says where to look."""
    sheet = settings_sheet(kit, plan, BuildOptions())
    settings = sheet.pages[0].rows[0].settings
    assert settings is not None
    assert (settings.dial, settings.feed.word) == ("", "machine force")
    assert "For a speed dial see your router's manual" in sheet.starting_points
    first, machine = plan.steps[0].key, plan.machines[1]
    dialled = replace(machine, settings={**machine.settings, first: replace(machine.settings[first], dial="3")})
    own = settings_sheet(kit, replace(plan, machines=(dialled,)), BuildOptions()).pages[0].rows[0].settings
    assert own is not None
    assert own.dial == "3"
    assert [t.name for t in sheet.troubles] == ["It burns", "It fuzzes", "It chatters", "It stalls", "It moved"]
    assert "lowest limit governs" in sheet.starting_points


def test_the_trouble_of_moving_speaks_of_the_hold_down_in_use(kit: Kit, plan: Plan) -> None:
    taped = replace(kit, setups=kit.setups[:1])
    screwed = replace(kit, setups=kit.setups[1:])
    assert "tape" in settings_sheet(taped, plan, BuildOptions()).troubles[-1].first
    assert "keep-out" in settings_sheet(screwed, plan, BuildOptions()).troubles[-1].first
    assert morris.TAPE.kind.value == "double-sided tape"
