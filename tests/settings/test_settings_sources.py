"""Every number that is printed for a demo kit has a source, or the words 'common practice'."""

from __future__ import annotations

from collections.abc import Iterator

from kitforge.cutting.sources import HERE
from kitforge.model.findings import Severity
from kitforge.model.plan import MachinePlan
from kitforge.model.settings import CutSettings, Given, Limit, NoWindow
from kitforge.pipeline import CheckedKit

SAYS_NOTHING = ("", "derived", "memory")


def limits(machine: MachinePlan) -> Iterator[Limit]:
    for found in machine.settings.values():
        assert found.detail is not None
        for window in found.detail.windows:
            yield from (window.low_limit, window.high_limit, *window.lows, *window.highs)


def inputs(machine: MachinePlan) -> Iterator[Given]:
    details: list[CutSettings | NoWindow | None] = [found.detail for found in machine.settings.values()]
    details += [found.detail for found in machine.blocked.values()]
    for detail in details:
        assert detail is not None
        yield from (number for line in detail.trail.lines for number in line.inputs)
    for results in machine.holding.values():
        yield from (number for result in results for line in result.trail.lines for number in line.inputs)


def test_every_input_has_a_source(demo: CheckedKit) -> None:
    """On every class of every kit, for every step: windows, lines and what holds the work."""
    numbers = [number for machine in demo.plan.machines for number in inputs(machine)]
    assert numbers
    assert [number for number in numbers if number.source.strip() in SAYS_NOTHING] == []


def test_every_limit_has_a_source_and_its_formula(demo: CheckedKit) -> None:
    """Also those that do not rule, for which no line is printed."""
    found = [limit for machine in demo.plan.machines for limit in limits(machine)]
    assert found
    assert [limit for limit in found if not (limit.source and limit.formula)] == []


def test_every_line_names_its_source(demo: CheckedKit) -> None:
    """Also those of what holds the work; there is a line for each capacity that is printed."""
    for machine in demo.plan.machines:
        for found in machine.settings.values():
            assert found.detail is not None
            assert [line.what for line in found.detail.trail.lines if not line.source] == []
        for results in machine.holding.values():
            for result in results:
                values = [line.result for line in result.trail.lines]
                assert [line.what for line in result.trail.lines if not line.source] == []
                assert result.capacity in (0.0, *values)
                assert result.lift_capacity in (0.0, *values)


def test_what_comes_from_the_calculation_stands_in_it(demo: CheckedKit) -> None:
    """Each such number is the result of the line that it names."""
    for machine in demo.plan.machines:
        for found in machine.settings.values():
            assert found.detail is not None
            lines = found.detail.trail.lines
            for line in lines:
                for number in line.inputs:
                    assert (number.source == HERE) <= (number.line > 0), number
                    assert not number.line or lines[number.line - 1].result == number.value, number


def test_every_bound_of_the_plan_carries_a_source(demo: CheckedKit) -> None:
    """What the sheet and the tables print."""
    for machine in demo.plan.machines:
        for found in machine.settings.values():
            for window in (found.speed, found.feed, found.plunge, found.depth_per_pass, found.stepover):
                assert window is None or (window.low_limit.source and window.high_limit.source)


def test_weak_figures_are_noted_once(demo: CheckedKit) -> None:
    """One note for each group at most; no finding for every step."""
    notes = [finding for finding in demo.findings if finding.code == "settings-weak-input"]
    assert 1 <= len(notes) <= 2
    assert {note.severity for note in notes} == {Severity.NOTE}
    assert "machine classes" in str(notes[-1].message)
