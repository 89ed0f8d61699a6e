"""From a cut, a cutter, a wood and a machine class to its settings, as the worksheet evaluates them.

The worksheet gives values; here they become the records that plans and print read.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from kitforge.cutting.override_check import verdict_note
from kitforge.cutting.sources import AUTHOR
from kitforge.cutting.working import Taken, Working
from kitforge.cutting.worksheet.citations import cite
from kitforge.cutting.worksheet.generated.settings_computed import computed
from kitforge.cutting.worksheet.generated.settings_values import Values
from kitforge.cutting.worksheet.results import Bound, Refusal, Told, Words
from kitforge.cutting.worksheet.tables import tables_of
from kitforge.model.messages import later, term
from kitforge.model.record import record
from kitforge.model.settings import (
    DERIVED,
    AddedRows,
    Chip,
    Cut,
    CutDirection,
    CutSettings,
    CutterGeometry,
    DirectionReason,
    Limit,
    Loads,
    Manner,
    NoWindow,
    Problem,
    RequestedSettings,
    TroubleCode,
    WayDown,
    Window,
)
from kitforge.model.workshop import MachineClass, Material
from kitforge.workshop.cutting_data import CuttingData

Records = Mapping[str, object]
FEED_FOLLOWS = later("feed at its upper end")
Limits = tuple[tuple[Limit, ...], tuple[Limit, ...]]


def settings(
    cut: Cut,
    cutter: CutterGeometry,
    material: Material,
    machine: MachineClass,
    data: CuttingData,
    wish: RequestedSettings | None = None,
    added: tuple[AddedRows, ...] = (),
) -> CutSettings | NoWindow:
    """Return the settings of a cut on a machine class, or every reason why there are none.

    With a `wish` the author's values take the place of the start values, the windows are computed for them, and each
    value outside its window makes a note. A start value without a wish lies inside all limits; the high ends of depth
    and feed may be used together. added: the rows of plugins; SheetError when these are wrong.
    """
    wish = wish or RequestedSettings()
    found = _evaluated(added)(cut, cutter, material, machine, data, tables_of(data), wish)
    taken: Taken = (cut, cutter, material, machine, data, wish, added)
    records: Records = {"material": material, "machine": machine, "data": data}
    if isinstance(found, Refusal):
        problems = tuple(_problem(told, records, blocking=True) for told in found.told)
        return NoWindow(problems, Working(taken, *_asked_by(found)))
    return _settings(found, records, taken)


def _evaluated(added: tuple[AddedRows, ...]) -> Callable[..., Values | Refusal]:
    if not added:
        return computed
    from kitforge.cutting.worksheet.program import settings_program  # the compiler: for rows of plugins alone

    return settings_program(added).computed


def _asked_by(refusal: Refusal) -> tuple[tuple[str, ...], tuple[int, ...]]:
    """Return what a refusal is explained by: the limits that cross, or what its message names."""
    limits = tuple(bound[1].case for told in refusal.told for bound in (told.low, told.high) if bound is not None)
    named = tuple(name for told in refusal.told if told.low is None for name, _value in told.message.values)
    return named, limits


def _settings(v: Values, records: Records, taken: Taken) -> CutSettings:
    speed = _window(
        "speed", "min-1", v.n, v.n_why, v.n_own, v.n_lower, v.n_upper, WindowLimits(v.n_lowers, v.n_uppers, records)
    )
    bounds = WindowLimits(v.vf_lowers, v.vf_uppers, records)
    feed = _window("feed", "mm/min", v.vf, v.vf_why, v.vf_own, v.vf_lower, v.vf_upper, bounds)
    if v.vz_lower is not None and v.vz_upper is not None:
        bounds = WindowLimits(v.vz_lowers, v.vz_uppers, records)
        plunge = _window("plunge", "mm/min", v.vz, v.vz_why or "", v.vz_own, v.vz_lower, v.vz_upper, bounds)
    else:  # a drill's feed and plunge are one and the same
        plunge = replace(feed, quantity="plunge")
    bounds = WindowLimits(v.ap_lowers, v.ap_uppers, records)
    depth = _window("depth per pass", "mm", v.ap, v.ap_why, v.ap_own, v.ap_lower, v.ap_upper, bounds)
    stepover = None
    if v.s is not None and v.s_lower is not None and v.s_upper is not None:
        bounds = WindowLimits(v.s_lowers, v.s_uppers, records)
        stepover = _window("stepover", "mm", v.s, v.s_why or "", v.s_own, v.s_lower, v.s_upper, bounds)
    if not (speed.author or feed.author):
        speed = _following(speed, v.n_follow)
    windows = [window for window in (speed, feed, plunge, depth, stepover) if window is not None]
    authored = [window for window in windows if window.author and not (v.drilling and window is plunge)]
    judged = (verdict_note(window, window.start) for window in authored)
    return CutSettings(
        speed=speed,
        feed=feed,
        plunge=plunge,
        depth_per_pass=depth,
        stepover=stepover,
        passes=int(v.N),
        entry=WayDown(Manner(str(v.manner)), v.vr, v.a_in, v.Lr, v.D_path, v.peck),
        stick_out=v.L,
        chip=Chip(v.fz, v.hm, v.h_top, v.at.x, v.thinning, v.at.De, v.v_tip),
        loads=_loads(v),
        cusp=v.hc,
        dial=None if v.dial is None else str(v.dial),
        notes=(*(note for note in judged if note), *(_problem(told, records) for told in v.notes)),
        direction=None if v.direction is None else CutDirection(str(v.direction)),
        direction_reason=None if v.direction_why is None else DirectionReason(str(v.direction_why)),
        working=Working(
            taken, None, tuple(limit.case for window in windows for limit in (window.low_limit, window.high_limit))
        ),
    )


def _following(speed: Window, highest: float) -> Window:
    """Return the speeds that the feed to start with can follow in proportion, without passing its own upper end."""
    if highest >= speed.high:
        return speed
    limit = Limit(highest, FEED_FOLLOWS, "n <= n_follow", DERIVED)
    return replace(speed, high=highest, high_limit=limit, limits=OneMore(speed.limits, limit))


@record
class OneMore:
    """The limits of a window and one more upper one."""

    limits: Callable[[], Limits]
    high: Limit

    def __call__(self) -> Limits:
        """Return them all."""
        lows, highs = self.limits()
        return lows, (*highs, self.high)


class WindowLimits:
    """All lower and all upper limits of a window, made when they are asked for."""

    __slots__ = ("_limits", "_raw")

    def __init__(self, lows: Sequence[Bound], highs: Sequence[Bound], records: Records) -> None:
        self._raw: tuple[Sequence[Bound], Sequence[Bound], Records] | None = (lows, highs, records)
        self._limits: Limits = (), ()

    def __call__(self) -> Limits:
        """Return the limits, kept after the first time."""
        if self._raw is not None:
            lows, highs, records = self._raw
            self._limits = tuple(_limit(one, records) for one in lows), tuple(_limit(one, records) for one in highs)
            self._raw = None
        return self._limits

    def limit(self, bound: Bound) -> Limit:
        """Return one of the limits."""
        assert self._raw is not None
        return _limit(bound, self._raw[2])

    def __getstate__(self) -> Limits:
        """Pack the limits themselves: the tables behind them cannot be packed."""
        return self()

    def __setstate__(self, state: Limits) -> None:
        self._raw, self._limits = None, state


def _window(
    quantity: str,
    unit: str,
    start: float,
    why: Words,
    own: float | None,
    lower: Bound,
    upper: Bound,
    bounds: WindowLimits,
) -> Window:
    low, high = bounds.limit(lower), bounds.limit(upper)
    why = AUTHOR if own is not None else str(why)
    return Window(quantity, low.value, start, high.value, unit, low, high, why, own is not None, bounds)


def _limit(bound: Bound, records: Records) -> Limit:
    value, rule = bound
    return Limit(value, rule.words, rule.formula, cite(rule.source, records), rule.hard, rule.case)


def _problem(told: Told, records: Records, *, blocking: bool = False) -> Problem:
    low, high = (None if bound is None else _limit(bound, records) for bound in (told.low, told.high))
    return Problem(TroubleCode[told.key], told.message, tuple(map(term, told.helps)), blocking, low, high)


def _loads(v: Values) -> Loads:
    push, power = v.own, v.own_P
    return Loads(push.kc, push.Ft, push.Fs, push.Fa, power.P, push.d, push.sb, power.Q, v.F_most, v.U_most)
