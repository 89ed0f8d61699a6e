"""The page computes what Python computes, in a real browser: machines, cutters, boards, rows, reasons and refusals."""

from __future__ import annotations

import math
import os
import random
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import pytest
from kit_samples import names, sample
from page_browser import answers

from kitforge.cutting.settings import settings
from kitforge.cutting.worksheet.plain import Plain, plain, plain_message
from kitforge.language import render_text, use_language
from kitforge.model.holds import HoldResult
from kitforge.model.kit import Kit
from kitforge.model.pack import BuildOptions
from kitforge.model.passes import INCH, MM, passes_of
from kitforge.model.plan import Plan
from kitforge.model.settings import CutSettings, CutterGeometry, NoWindow, RequestedSettings
from kitforge.model.steps import Step, StepSettings
from kitforge.model.workshop import MachineClass, Material
from kitforge.planning.fit import misfits
from kitforge.planning.holding import hold_results
from kitforge.print.figures import minutes, units_for
from kitforge.print.settings import step_view
from kitforge.workshop.cutting_data import cutting_data
from kitforge.workshop.load import load_workshop
from kitforge.workshop.own_machine import machine_from_mapping
from kitforge_booklet.holding import _name_of, _strain, _verdict, _while_cutting, _with, hold_rows
from kitforge_booklet.page.paths import rounded
from kitforge_booklet.page.reckoning import machine_plain, reckoning_data, worksheet_script
from kitforge_booklet.page.script_text import RECKONING, SCREEN, script_text
from kitforge_booklet.page.step_data import taken_of
from kitforge_booklet.page.words import WORDS
from kitforge_settings.adapter import _planned
from kitforge_settings.timing import step_seconds

AT_ONCE = 500
SOAKED = 5_000
CODES = ("en", "de")
OPTIONS = BuildOptions(languages=CODES)
ROW = """
  const step = data.steps[one.step];
  const machine = one.form ? reckoning.machineOf(one.form, data) : data.classes.find((found) => found.key === one.key);
  const wish = one.form ? step.wish : step.wishes[one.key];
  const own = {cutter: one.cutter || step.geometry, material: one.wood, wish};
  const found = reckoning.settingsOf(step, machine, data, own);
  const cutters = [{names: {en: "a cutter"}, shank: own.cutter.shank}];
  const told = {misfits: reckoning.misfits(machine, data, cutters), machine};
  if (found.refused) {
    return {...told, refused: found.refused.map(({key, message}) => [key, message])};
  }
  const writers = ["en", "de"].map((code) => numbers.writer(data.languages[code], data.units));
  const ends = Object.fromEntries(["speed", "feed", "plunge", "depth", "stepover"].map(
    (name) => [name, found[name] && [found[name].low, found[name].start, found[name].high]]));
  const rows = writers.map((write) => reckoning.rowOf(found, write));
  const seconds = timing.secondsOf(step, ready, machine, found.values, data.times);
  const times = writers.map((write) => write.minutes(seconds));
  return {...told, ends, rows, mm: found.inMm, inches: found.inInches, seconds, times};
"""
WAYS = "return timing.waysOf(data.steps);"


@dataclass(frozen=True)
class Checked:
    """A kit with its plan, and what its page reckons with."""

    kit: Kit
    plan: Plan
    script: str
    data: dict[str, Plain]


@pytest.fixture(scope="module")
def kits() -> tuple[Checked, ...]:
    """Random kits with pockets, dishes, engraving, holes, chamfers, profiles; the last one in inches."""
    return tuple(
        _checked(sample(name).kit, sample(name).plan) for name in names([12, 30, 8]) if name.startswith("random")
    )


def _checked(kit: Kit, plan: Plan) -> Checked:
    script = script_text(worksheet_script(kit), RECKONING)
    return Checked(kit, plan, script, reckoning_data(kit, plan, OPTIONS, script))


def row_in_words(view: Any, code: str) -> dict[str, Any]:
    """Return a row of the booklet as the page gives one."""

    def setting(one: Any) -> dict[str, Any]:
        start = {"main": one.start.main, "other": one.start.other}
        return {"start": start, "span": one.span.main, "word": one.word, "author": one.author}

    return {
        **{name: setting(getattr(view, name)) for name in ("speed", "feed", "plunge", "depth")},
        "stepover": setting(view.stepover) if view.stepover else None,
        "passes": {"count": view.passes.count, "more": view.passes.more},
        "entry": view.entry, "dial": view.dial, "direction": view.direction, "stickOut": view.stick_out.main,
        "warnings": list(view.warnings),
    }  # fmt: skip


def test_rows_of_all_classes_are_those_of_print(kits: tuple[Checked, ...], tmp_path: Path) -> None:
    """Every word and figure of every step on every class, in both languages."""
    for number, checked in enumerate(kits):
        plan, units = checked.plan, units_for(OPTIONS.units, checked.kit.info.units)
        steps = [step for step in plan.steps if taken_of(plan, step) is not None]
        found = [(machine, place, step) for machine in plan.machines for place, step in enumerate(steps)
                 if step.key in machine.settings]  # fmt: skip
        assert found
        cases = [{"step": place, "key": machine.machine.key, "wood": wood(step.part.stock.material)}
                 for machine, place, step in found]  # fmt: skip
        folder = tmp_path / str(number)
        folder.mkdir()
        for (machine, _place, step), answer in zip(
            found, answers(checked.script, checked.data, cases, ROW, folder, WAYS), strict=True
        ):
            for code, row, time in zip(CODES, answer["rows"], answer["times"], strict=True):
                with use_language(code):
                    view = step_view(plan, machine, machine.settings[step.key], units)
                assert row == row_in_words(view, code), (machine.machine.key, step.key)
                assert time == view.time
            # what rounding the ways to a thousandth moves, most where an engraving has pieces of hundredths of a mm
            assert answer["seconds"] == pytest.approx(machine.settings[step.key].seconds, rel=3e-3)


def wood(material: Material) -> dict[str, Plain]:
    return {"key": material.key, "name": material.name, "kind": material.kind.value, "density": material.density.value}


def form_of(dice: random.Random) -> tuple[dict[str, Any], dict[str, Any]]:
    """Return a random machine as the page's form gives it, and as Python reads one; what is unknown is left out."""
    names = ("like", "area", "z", "rpm", "dial", "feed", "power", "plunge", "collets")
    form: dict[str, Any] = {"name": "mine", **dict.fromkeys(names)}
    read: dict[str, Any] = {"name": "mine"}

    def known() -> bool:
        return dice.random() < 0.5

    if dice.random() < 0.3:
        form["like"] = read["like"] = dice.choice(sorted(load_workshop().machines))
    if known():
        form["area"] = read["area"] = [round(dice.uniform(100, 2500)), round(dice.uniform(100, 2500))]
    if known():
        form["z"] = read["z_travel"] = round(dice.uniform(8, 200))
    if known():
        low = round(dice.uniform(1000, 14000))
        form["rpm"] = read["rpm"] = [low, low + round(dice.uniform(0, 20000))]
    elif known():
        speeds = sorted(dice.sample(range(6000, 30000, 500), dice.randint(1, 6)))
        read["dial"] = {str(place): speed for place, speed in enumerate(speeds, 1)}
        form["dial"] = [[str(place), speed] for place, speed in enumerate(speeds, 1)]
    for name, key, low, high in (
        ("feed", "feed_limit", 300, 20000),
        ("plunge", "plunge_limit", 100, 6000),
        ("power", "power", 50, 3000),
    ):
        if known():
            form[name] = read[key] = round(dice.uniform(low, high))
    if known():
        sizes: list[float | str] = dice.sample([3.175, 6, 6.35, 8, 12.7, "ER11", "ER20"], dice.randint(1, 3))
        read["collets"] = sizes
        form["collets"] = [collet(size) for size in sizes]
    return form, read


def collet(size: float | str) -> dict[str, Any]:
    if isinstance(size, str):
        span = cutting_data().collets[size]
        return {"name": size, "span": {"low": span.low, "high": span.high}}
    return {"name": f"{size:g} mm", "span": {"low": size, "high": size}}


@dataclass(frozen=True)
class Case:
    """A step on a machine of somebody's own, with a cutter and a wood of theirs."""

    place: int
    step: Step
    machine: MachineClass
    cutter: CutterGeometry
    wood: Material
    plain: dict[str, Any]


def random_cases(checked: Checked, seed: int, count: int) -> Iterator[Case]:
    dice = random.Random(seed)
    steps = [step for step in checked.plan.steps if taken_of(checked.plan, step) is not None]
    woods = list(load_workshop().materials.values())
    for _number in range(count):
        place = dice.randrange(len(steps))
        step, (form, read) = steps[place], form_of(dice)
        taken = taken_of(checked.plan, step)
        assert taken is not None
        cutter = replace(
            taken[1],
            diameter=round(taken[1].diameter * dice.uniform(0.7, 1.2), 2),
            flutes=dice.randint(1, 4),
            max_speed=dice.choice([None, None, 12000.0, 18000.0]),
        )
        own = dice.choice(woods)
        case = {"step": place, "form": form, "cutter": plain(cutter), "wood": wood(own)}
        yield Case(place, step, machine_from_mapping("own", read), cutter, own, case)


def unlike(checked: Checked, cases: Sequence[Case], folder: Path) -> list[str]:
    """Return where the page differs: numbers by more than 1e-12, words at all."""
    found: list[str] = []
    given = answers(checked.script, checked.data, [case.plain for case in cases], ROW, folder, WAYS)
    for number, (case, answer) in enumerate(zip(cases, given, strict=True)):
        found += [f"case {number}: {line}" for line in _unlike(checked, case, answer)]
    return found


def _planned_on(step: Step, machine: MachineClass, found: CutSettings, asked: float | None) -> StepSettings:
    assert step.geometry is not None
    return _planned(step, found, step_seconds(step, step.geometry.visits, machine, found), asked)


def _unlike(checked: Checked, case: Case, answer: dict[str, Any]) -> Iterator[str]:
    if "error" in answer:
        yield answer["error"]
        return
    steps: Any = checked.data["steps"]
    wished = steps[case.place]["wish"]
    wish = RequestedSettings(**wished) if isinstance(wished, dict) else None
    taken = taken_of(checked.plan, case.step)
    assert taken is not None
    found = settings(taken[0], case.cutter, case.wood, case.machine, cutting_data(), wish, checked.kit.cutting_rows)
    expected = machine_plain(case.machine)
    page = answer["machine"]
    same = [name for name in expected if name not in ("key", "name", "collet_text")]
    yield from (f"{name}: {expected[name]} {page[name]}" for name in same if expected[name] != page[name])
    if isinstance(found, NoWindow):
        told = [[problem.trouble.name, plain_message(problem.message)] for problem in found.problems]
        if told != answer.get("refused"):
            yield f"refused {told}, in the page {answer.get('refused')}"
        return
    if "ends" not in answer:
        yield f"the page refuses: {answer['refused']}"
        return
    step = replace(case.step, travel=rounded(case.step))
    planned = _planned_on(step, case.machine, found, wish.depth_per_pass if wish else None)
    yield from _times_unlike(planned.seconds, answer)
    for name, page in answer["ends"].items():
        window = getattr(planned, {"depth": "depth_per_pass"}.get(name, name))
        ends = [window.low, window.start, window.high] if window else None
        if (ends is None) != (page is None) or (
            ends and any(not math.isclose(one, other, rel_tol=1e-12) for one, other in zip(ends, page, strict=True))
        ):
            yield f"{name}: {ends}, in the page {page}"
    passes = [
        passes_of(case.step.top, case.step.depth, found.passes, found.depth_per_pass.high, unit) for unit in (MM, INCH)
    ]
    if wish is None and [(one.count, one.each, one.last) for one in passes] != [
        (one["count"], one["each"], one["last"]) for one in (answer["mm"], answer["inches"])
    ]:
        yield f"passes: {passes}"
    units = units_for(OPTIONS.units, checked.kit.info.units)
    machine = replace(checked.plan.machines[0], machine=replace(case.machine, key=checked.plan.machines[0].machine.key))
    for code, row in zip(CODES, answer["rows"], strict=True):
        with use_language(code):
            words = row_in_words(step_view(checked.plan, machine, planned, units), code)
        yield from (
            f"{code} {name}: {words[name]}, in the page {row[name]}" for name in words if words[name] != row[name]
        )


def _times_unlike(seconds: tuple[float, float], answer: dict[str, Any]) -> Iterator[str]:
    """Yield where times differ: sums of thousands of moves by more than 1e-9, words at all."""
    if answer["seconds"] != pytest.approx(seconds, rel=1e-9):
        yield f"seconds: {seconds}, in the page {answer['seconds']}"
    for code, told in zip(CODES, answer["times"], strict=True):
        with use_language(code):
            if told != minutes(seconds):
                yield f"{code} time: {minutes(seconds)}, in the page {told}"


def test_five_hundred_machines_cutters_and_woods_are_as_in_python(kits: tuple[Checked, ...], tmp_path: Path) -> None:
    """Machines with what is left out, windows to 1e-12, passes, every word of a row, every refusal."""
    for number, checked in enumerate(kits):
        folder = tmp_path / str(number)
        folder.mkdir()
        assert unlike(checked, list(random_cases(checked, 2026 + number, -(-AT_ONCE // len(kits)))), folder) == []


def test_a_slip_in_the_page_is_seen(kits: tuple[Checked, ...], tmp_path: Path) -> None:
    """Another share for the last pass, another rounding, another class taken: each shows."""
    for number, (right, wrong) in enumerate((("height % count === 0", "false"), ("0.97", "0.5"), ("sum +=", "sum -="))):
        assert right in kits[0].script
        slipped = replace(kits[0], script=kits[0].script.replace(right, wrong))
        folder = tmp_path / str(number)
        folder.mkdir()
        assert unlike(slipped, list(random_cases(slipped, 7, 120)), folder), right


def test_what_does_not_go_onto_a_machine_is_told_as_python_tells_it(kits: tuple[Checked, ...], tmp_path: Path) -> None:
    """The same sentences in the same order, both languages."""
    checked, dice = kits[0], random.Random(5)
    plan = checked.plan
    forms = [form_of(dice) for _number in range(60)]
    run = """
      const machine = reckoning.machineOf(one, data);
      const told = reckoning.misfits(machine, data, Object.values(data.cutters));
      const writers = ["en", "de"].map((code) => numbers.writer(data.languages[code], data.units));
      return writers.map((writer) => told.map(writer.write));
    """
    given = answers(checked.script, checked.data, [form for form, _read in forms], run, tmp_path)
    spoilboard = max(one.setup.spoilboard for one in plan.setups)
    kept = 0
    for (_form, read), page in zip(forms, given, strict=True):
        told = misfits(machine_from_mapping("own", read), plan.sheets, plan.steps, spoilboard)
        kept += bool(told)
        for code, lines in zip(CODES, page, strict=True):
            with use_language(code):
                assert lines == list(dict.fromkeys(render_text(message) for message in told))
    assert 5 < kept < 60


def test_what_holds_is_as_in_python(kits: tuple[Checked, ...], tmp_path: Path) -> None:
    """The verdicts of the booklet's tables, worded the same, for machines of one's own in the wood of the kit."""
    run = """
      const machine = reckoning.machineOf(one, data), settings = new Map();
      for (const step of data.steps) {
        const stock = data.stock.find((found) => found.key === step.stock);
        const material = data.woods.find((found) => found.key === stock.wood);
        const found = reckoning.settingsOf(step, machine, data, {cutter: step.geometry, material, wish: step.wish});
        if (!found.refused) settings.set(step.number, found);
      }
      const writers = ["en", "de"].map((code) => numbers.writer(data.languages[code], data.units));
      const rows = writers.map((write) => reckoning.holdingOf(data.setups, settings, write));
      return rows.map((lines) => lines.map((row) => [row.heldBy, row.when, row.words]));
    """
    seen = set()
    for number, checked in enumerate(kits):
        folder, dice = tmp_path / str(number), random.Random(number)
        folder.mkdir()
        forms = [form_of(dice) for _number in range(40)]
        given = answers(checked.script, checked.data, [form for form, _read in forms], run, folder)
        for (_form, read), page in zip(forms, given, strict=True):
            for code, rows in zip(CODES, page, strict=True):
                with use_language(code):
                    assert rows == held(checked, machine_from_mapping("own", read))
                seen |= {words.partition(",")[0] for _by, _when, words in rows}
    assert {"Yes", "No"} <= seen


def held(checked: Checked, machine: MachineClass) -> list[list[str]]:
    """Return the rows of the booklet for a machine: by what, when, verdict."""
    plan, found = checked.plan, {}
    for step in plan.steps:
        taken = taken_of(plan, step)
        assert taken is not None
        one = settings(taken[0], taken[1], taken[2], machine, cutting_data(), None, checked.kit.cutting_rows)
        if not isinstance(one, NoWindow):
            found[step.key] = _planned_on(step, machine, one, None)
    first = replace(plan.machines[0], settings=found, holding=hold_results(plan.setups, plan.steps, found))
    rows = [result for setup in plan.setups for result in _with(first, setup, None)]
    return [
        [_name_of(one.held_by), "" if one.hold_down else _while_cutting(plan.step(one.step)), _verdict(one)]
        for one in rows
    ]


def test_a_row_of_the_booklet_stands_for_the_cut_that_is_held_worst(kits: tuple[Checked, ...]) -> None:
    """Several cuts of one name in a setup share a row of "Does it hold?", in whatever order they come."""
    shared = 0
    for plan in (checked.plan for checked in kits):
        for setup in plan.setups:
            for one_machine in plan.machines:
                turned = {key: tuple(reversed(results)) for key, results in one_machine.holding.items()}
                machine = replace(one_machine, holding=turned)
                rows = {(row.held_by, row.when): row.verdicts[0] for row in hold_rows(plan, [machine], setup)}
                results: dict[tuple[str, str], list[HoldResult]] = {}
                for one in _with(machine, setup, None):
                    when = "" if one.hold_down else _while_cutting(plan.step(one.step))
                    results.setdefault((_name_of(one.held_by), when), []).append(one)
                for key, found in results.items():
                    shared += len({_verdict(one) for one in found}) > 1
                    assert rows[key] == _verdict(max(found, key=_strain))
    assert shared


def test_the_scripts_say_every_word_and_no_other() -> None:
    text = script_text("", RECKONING + SCREEN)
    said = set(re.findall(r'say\("([^"]+)"', text))
    assert said - WORDS.keys() == set()
    assert {key for key in WORDS if f'"{key}"' not in text and f" {key}:" not in text} == set()


@pytest.mark.soak
@pytest.mark.parametrize("part", range(SOAKED // AT_ONCE))
def test_thousands_of_machines_are_as_in_python(part: int, kits: tuple[Checked, ...], tmp_path: Path) -> None:
    seed = int.from_bytes(os.urandom(4), "big")
    found = unlike(one := kits[part % len(kits)], list(random_cases(one, seed, AT_ONCE)), tmp_path)
    assert not found, f"part {part}, seed {seed}: {found[:5]}"
