"""EXPLAINED.md: it is current, and every line of it can be followed with a pocket calculator."""

from __future__ import annotations

import contextlib
import io
import itertools
import pathlib
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache

import pytest
from calculator import calculated
from kit_samples import checked_demo
from write_explained import PAGE, STEPS, demo_kits, page

import kitforge.pipeline
import kitforge.plugins
from kitforge.cli.main import main
from kitforge.model.kit import Kit
from kitforge.model.plan import Plan

ROOT = pathlib.Path(__file__).parents[2]
HEAD = re.compile(r" {0,2}\d+\. (?P<what>.+?) \[(?P<source>.*)\]")
INPUT = re.compile(r"(?:^|; )(\S+) = ([^\s,]+)(?: [^,\[]+)??(?:, .+?)? \[[^\]]*\](?=; |$)")
EQUAL, INPUTS = " " * 9 + "= ", " " * 11


@dataclass
class Printed:
    """One line of a printed calculation: the formula, the same with numbers, the result, and its inputs by symbol."""

    what: str
    formula: str
    numbers: str | None
    result: float
    inputs: dict[str, float]


def said(arguments: Sequence[str]) -> str:
    out = io.StringIO()
    with contextlib.redirect_stdout(out):
        assert main(list(arguments)) == 0
    return out.getvalue()


def printed(text: str) -> Iterator[Printed]:
    lines = text.splitlines()
    for start, line in enumerate(lines):
        head = HEAD.fullmatch(line)
        if head is None:
            continue
        formula = re.split(r" [<>]?= ", lines[start + 1].strip(), maxsplit=1)[1]
        rest = lines[start + 2 :]
        equal = [one.strip()[2:] for one in itertools.takewhile(lambda one: one.startswith(EQUAL), rest)]
        given = itertools.takewhile(lambda one: one.startswith(INPUTS), rest[len(equal) :])
        joined = " ".join(one.strip() for one in given)
        inputs = {symbol: float(value) for symbol, value in INPUT.findall(joined)}
        yield Printed(head["what"], formula, equal[0] if len(equal) == 2 else None, float(equal[-1].split()[0]), inputs)


@pytest.fixture(scope="module")
def current() -> str:
    """The page as it would be written now; each kit is planned once for all tests, not for each of its steps."""

    with contextlib.chdir(ROOT):  # before the patch: a check plans too
        plans = {kit: checked_demo(pathlib.PurePath(kit).name) for kit in demo_kits()}

    def planned(folder: pathlib.Path, *_more: object, **_named: object) -> tuple[Kit, Plan]:
        return plans[folder.as_posix()].kit, plans[folder.as_posix()].plan

    with contextlib.chdir(ROOT), pytest.MonkeyPatch.context() as patch:
        patch.setattr(kitforge.pipeline, "plan_kit", planned)
        patch.setattr(kitforge.plugins, "load_plugins", cache(kitforge.plugins.load_plugins))
        return page(demo_kits(), said)


def test_the_page_is_current(current: str) -> None:
    """After a change of the kits or the physics: python tests/tools/write_explained.py."""
    assert current == PAGE.read_text(encoding="utf-8")


def test_every_printed_line_can_be_worked_again(current: str) -> None:
    """From its printed inputs, and from the formula with the numbers put in; five figures are printed."""
    lines = list(printed(current))
    assert len(lines) > 40 * STEPS * 2
    for line in lines:
        if line.formula.startswith("by trial"):
            continue
        slack = pytest.approx(line.result, rel=2e-3, abs=1e-9)
        assert calculated(line.formula, line.inputs) == slack, line
        if line.numbers is not None:
            assert calculated(line.numbers, {}) == slack, line


def test_every_mark_leads_to_a_line_or_a_source(current: str) -> None:
    """A number in brackets is in the list of sources, a line that is named has been written."""
    for block in re.findall(r"```text\n(.*?)```", current, re.DOTALL):
        body, _, listed = block.partition("\nSources\n")
        sources = set(re.findall(r"^  \[(\d+)\] \S", listed, re.MULTILINE))
        written = set(re.findall(r"^ {0,2}(\d+)\. ", body, re.MULTILINE))
        marks = re.findall(r" \[([^\[\]]*)\](?=;|\n)", re.sub(r"\n {11}(?! )", " ", body))
        assert {mark for mark in marks if mark.isdigit()} == sources
        assert {mark[5:] for mark in marks if mark.startswith("line ")} <= written
        assert [mark for mark in marks if mark in ("", "memory", "this calculation")] == []
