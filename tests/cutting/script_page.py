"""The script of the worksheet in a real browser: what it gives for many cuts, beside what Python gives."""

from __future__ import annotations

import json
import math
import pathlib
import re
import sys
from collections.abc import Iterator, Sequence
from html import unescape

from random_cuts import Case

sys.path.insert(0, str(pathlib.Path(__file__).parents[1] / "report"))

from browser import page_after

from kitforge.cutting.worksheet.plain import Plain, plain, plain_message, plain_tables
from kitforge.cutting.worksheet.program import settings_sheet
from kitforge.cutting.worksheet.results import Refusal
from kitforge.cutting.worksheet.tables import tables_of
from kitforge.cutting.worksheet.trace import Trace
from kitforge.model.messages import Message
from kitforge.workshop.cutting_data import cutting_data

CLOSE = 1e-12
COMPUTED = "return worksheet(...taken);"
TRACED = """
  const events = [];
  let paused = false;
  const add = (...event) => { if (!paused) events.push(event); };
  const flat = (value) => (value === null || typeof value !== "object" ? value : "values");
  worksheet({
    put: (number, value) => add("put", number, flat(value)),
    enter: (number, ...given) => add("enter", number, ...given.map(flat)),
    leave: () => add("leave"), pause: () => { paused = true; }, resume: () => { paused = false; },
  }, ...taken);
  return events;
"""
_PAGE = """<!DOCTYPE html><meta charset="utf-8"><title>cuts</title><pre id="out"></pre>
<script>{script}</script>
<script>
"use strict";
const data = {data}, tables = {tables}, cases = {cases};
const run = (one) => {{
  const taken = [one.cut, one.cutter, one.material, one.machine, data, tables, one.wish];
  try {{ {run} }}
  catch (error) {{ return {{error: String(error)}}; }}
}};
document.getElementById("out").textContent = JSON.stringify(cases.map(run));
</script>
"""


def plain_case(case: Case) -> dict[str, Plain]:
    """Return a case as the page takes it."""
    return {name: plain(getattr(case, name)) for name in ("cut", "cutter", "material", "machine", "wish")}


class Events(Trace):
    """What the traced worksheet reports, one after the other, as the page lists it."""

    def __init__(self) -> None:
        super().__init__()
        self.events: list[Plain] = []
        self._quiet = False

    def _add(self, *event: object) -> None:
        if not self._quiet:
            self.events.append([_flat(one) for one in event])

    def put(self, case: int, value: object) -> None:
        self._add("put", case, value)

    def enter(self, case: int, *taken: object) -> None:
        self._add("enter", case, *taken)

    def leave(self) -> None:
        self._add("leave")

    def pause(self) -> None:
        self._quiet = True

    def resume(self) -> None:
        self._quiet = False


def _flat(value: object) -> Plain:
    if isinstance(value, Message) or hasattr(value, "_fields"):
        return "values"
    return plain(value)


def answers_of(script: str, cases: Sequence[Case], folder: pathlib.Path, run: str = COMPUTED) -> list[Plain]:
    """Return what a script that sets `worksheet` gives for some cases in the browser; run: what is done with a case."""
    data = cutting_data()
    parts = {
        "data": plain_tables(settings_sheet(), data),
        "tables": plain(tables_of(data)),
        "cases": [plain_case(case) for case in cases],
    }
    safe = {name: json.dumps(part).replace("<", "\\u003c") for name, part in parts.items()}
    page = folder / "cuts.html"
    page.write_text(_PAGE.format(script=script, run=run, **safe), encoding="utf-8")
    shown = re.search(r'<pre id="out">(.*?)</pre>', page_after(page, folder / "profile"), re.DOTALL)
    assert shown is not None, "the page shows nothing"
    answers: list[Plain] = json.loads(unescape(shown[1]))
    return answers


def as_plain(value: object) -> Plain:
    """Return what Python's worksheet gives as the script gives it."""
    if isinstance(value, Refusal):
        return {"refused": [as_plain(told) for told in value.told]}
    if isinstance(value, Message):
        return plain_message(value)
    names = getattr(value, "_fields", None)
    if names is not None:
        return {name: as_plain(getattr(value, name)) for name in names}
    if isinstance(value, list | tuple):
        return [as_plain(item) for item in value]
    return plain(value)


def unlike(one: Plain, other: Plain, where: str = "") -> Iterator[str]:
    """Yield where two plain values differ: numbers by more than 1e-12, all else at all."""
    if _is_number(one) and _is_number(other):
        if not math.isclose(one, other, rel_tol=CLOSE, abs_tol=0.0):  # type: ignore[arg-type]
            yield f"{where}: {one!r}, in the page {other!r}"
    elif isinstance(one, dict) and isinstance(other, dict) and one.keys() == other.keys():
        for name, value in one.items():
            yield from unlike(value, other[name], f"{where}.{name}")
    elif isinstance(one, list) and isinstance(other, list) and len(one) == len(other):
        for place, (first, second) in enumerate(zip(one, other, strict=True)):
            yield from unlike(first, second, f"{where}[{place}]")
    elif one != other:
        yield f"{where}: {one!r}, in the page {other!r}"


def _is_number(value: Plain) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)
