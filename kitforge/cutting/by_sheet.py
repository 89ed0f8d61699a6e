"""From a cut, a cutter, a wood and a machine class to its settings, as the worksheet evaluates them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from kitforge.cutting.judge import verdict_note
from kitforge.cutting.records import (
    Chip,
    Cut,
    CutSettings,
    CutterGeometry,
    Entry,
    Limit,
    Loads,
    Manner,
    NoWindow,
    Problem,
    Trouble,
    Window,
    Wish,
)
from kitforge.cutting.sources import AUTHOR
from kitforge.cutting.worksheet.citations import cite
from kitforge.cutting.worksheet.generated.settings_computed import computed
from kitforge.cutting.worksheet.generated.settings_values import Values
from kitforge.cutting.worksheet.results import Bound, Refusal, Told, Words
from kitforge.cutting.worksheet.tables import tables_of
from kitforge.workshop.cutting_data import CuttingData
from kitforge.workshop.records import MachineClass, Material

Records = Mapping[str, object]


def settings(
    cut: Cut,
    cutter: CutterGeometry,
    material: Material,
    machine: MachineClass,
    data: CuttingData,
    wish: Wish | None = None,
) -> CutSettings | NoWindow:
    """Return the settings of a cut on a machine class, or every reason why there are none.

    With a `wish` the author's values take the place of the start values, the windows are computed for them, and each
    value outside its window makes a note. A start value without a wish lies inside all limits; the high ends of depth
    and feed may be used together.
    """
    found = computed(cut, cutter, material, machine, data, tables_of(data), wish or Wish())
    records: Records = {"material": material, "machine": machine, "data": data}
    if isinstance(found, Refusal):
        return NoWindow(tuple(_problem(told, records, blocking=True) for told in found.told))
    return _settings(found, records)


def _settings(v: Values, records: Records) -> CutSettings:
    speed = _window("speed", "min-1", v.n, v.n_why, (v.n_lower, v.n_lowers, v.n_upper, v.n_uppers), v.n_own, records)
    feed = _window(
        "feed", "mm/min", v.vf, v.vf_why, (v.vf_lower, v.vf_lowers, v.vf_upper, v.vf_uppers), v.vf_own, records
    )
    plunge = replace(feed, quantity="plunge")  # a drill's feed and plunge are one and the same
    if v.vz_lower is not None and v.vz_upper is not None:
        bounds = v.vz_lower, v.vz_lowers, v.vz_upper, v.vz_uppers
        plunge = _window("plunge", "mm/min", v.vz, v.vz_why, bounds, v.vz_own, records)
    bounds = v.ap_lower, v.ap_lowers, v.ap_upper, v.ap_uppers
    depth = _window("depth per pass", "mm", v.ap, v.ap_why, bounds, v.ap_own, records)
    stepover = None
    if v.s is not None and v.s_lower is not None and v.s_upper is not None:
        bounds = v.s_lower, v.s_lowers, v.s_upper, v.s_uppers
        stepover = _window("stepover", "mm", v.s, v.s_why or "", bounds, v.s_own, records)
    judged = (
        verdict_note(window, window.start)
        for window in (speed, feed, None if v.drilling else plunge, depth, stepover)
        if window and window.author
    )
    notes = (*(note for note in judged if note), *(_problem(told, records) for told in v.notes))
    dial = None if v.dial is None else str(v.dial)
    return CutSettings(
        speed, feed, plunge, depth, stepover, int(v.N), _entry(v), v.L, _chip(v), _loads(v), v.hc, dial, notes
    )  # fmt: skip


def _window(
    quantity: str, unit: str, start: float, why: Words, bounds: tuple[Bound, Sequence[Bound], Bound, Sequence[Bound]],
    own: float | None, records: Records,
) -> Window:  # fmt: skip
    lows = tuple(_limit(bound, records) for bound in bounds[1])
    highs = tuple(_limit(bound, records) for bound in bounds[3])
    low, high = lows[bounds[1].index(bounds[0])], highs[bounds[3].index(bounds[2])]
    why = AUTHOR if own is not None else str(why)
    return Window(quantity, low.value, start, high.value, unit, low, high, why, lows, highs, own is not None)


def _limit(bound: Bound, records: Records) -> Limit:
    value, rule = bound
    return Limit(value, rule.words, rule.formula, (), cite(rule.source, records), rule.hard)


def _problem(told: Told, records: Records, *, blocking: bool = False) -> Problem:
    low, high = (None if bound is None else _limit(bound, records) for bound in (told.low, told.high))
    return Problem(Trouble[told.key], str(told.message), told.helps, blocking, low, high)


def _entry(v: Values) -> Entry:
    return Entry(Manner(str(v.manner)), v.vr, v.a_in, v.Lr, v.D_path, v.peck)


def _chip(v: Values) -> Chip:
    return Chip(v.fz, v.hm, v.h_top, v.at.x, v.thinning, v.at.De, v.v_tip)


def _loads(v: Values) -> Loads:
    push, power = v.hardest, v.hardest_P
    return Loads(push.kc, push.Ft, push.Fs, push.Fa, power.P, push.d, push.sb, power.Q)
