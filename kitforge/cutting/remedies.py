"""What really helps against a problem: every remedy is tried on the cut before it is named.

A trial changes one thing by as much as a person would (a cutter a quarter thicker, half the depth, a flute less) and
works the settings again. A remedy stays where its problem is gone then; what cannot be tried stays as it is told.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace

from kitforge.cutting.settings import settings
from kitforge.cutting.working import Taken, Working
from kitforge.model.messages import Message
from kitforge.model.record import record
from kitforge.model.settings import (
    Cut,
    CutSettings,
    CutterGeometry,
    CutterKind,
    NoWindow,
    Problem,
    RequestedSettings,
    Substrate,
)
from kitforge.model.workshop import MachineClass, Span

MUCH, LITTLE = 2.0, 1.25
"""How much further a trial goes at most, and in one step: common practice."""


@record
class Trial:
    """What the settings of a cut are computed from, to be changed."""

    cut: Cut
    cutter: CutterGeometry
    machine: MachineClass
    wish: RequestedSettings


Change = Callable[[Trial, CutSettings | None], Iterator[Trial]]


def helping(problem: Problem, found: CutSettings | NoWindow) -> tuple[Message, ...]:
    """Return the remedies of a problem that help, tried one by one; all of them where nothing can be tried."""
    if not isinstance(found.working, Working):
        return problem.remedies
    taken = found.working.taken
    return tuple(remedy for remedy in problem.remedies if _helps(remedy.template, problem, found, taken))


def _helps(remedy: str, problem: Problem, found: CutSettings | NoWindow, taken: Taken) -> bool:
    change = CHANGES.get(remedy)
    if change is None:
        return True
    cut, cutter, material, machine, data, wish, added = taken
    now = found if isinstance(found, CutSettings) else None
    for trial in change(Trial(cut, cutter, machine, wish), now):
        try:
            then = settings(trial.cut, trial.cutter, material, trial.machine, data, trial.wish, added)
        except ZeroDivisionError:  # a size that no cutter has
            continue
        if not _still_there(problem, then):
            return True
    return False


def _still_there(problem: Problem, then: CutSettings | NoWindow) -> bool:
    if isinstance(then, CutSettings):
        return not problem.blocking and any(note.trouble is problem.trouble for note in then.notes)
    return problem.blocking is False or any(_same(problem, other) for other in then.problems)


def _same(problem: Problem, other: Problem) -> bool:
    """Whether a problem is the one that was: of the same kind, and where limits cross, the same ones."""
    if problem.low is None or other.low is None or problem.high is None or other.high is None:
        return problem.trouble is other.trouble
    return (problem.low.reason, problem.high.reason) == (other.low.reason, other.high.reason)


def _fewer_flutes(trial: Trial, _now: CutSettings | None) -> Iterator[Trial]:
    for count in range(trial.cutter.flutes - 1, 0, -1):
        yield replace(trial, cutter=replace(trial.cutter, flutes=count))


def _scaled(*factors: float, shank: bool = False) -> Change:
    def change(trial: Trial, _now: CutSettings | None) -> Iterator[Trial]:
        one = trial.cutter
        for factor in factors:
            wide = replace(one, diameter=one.diameter * factor, corner_radius=one.corner_radius * factor)
            yield replace(trial, cutter=replace(wide, shank=one.shank * factor) if shank else wide)

    return change


def _shorter(trial: Trial, _now: CutSettings | None) -> Iterator[Trial]:
    """A cutter whose edge is no longer than the cut is deep, with the same shank."""
    one, reach = trial.cutter, trial.cut.reach or trial.cut.depth
    edge = max(min(one.cutting_length, reach), one.cutting_length / MUCH)
    if edge < one.cutting_length:
        cut = replace(one, cutting_length=edge, overall_length=one.overall_length - one.cutting_length + edge)
        yield replace(trial, cutter=replace(cut, stick_out=None))


def _longer(trial: Trial, _now: CutSettings | None) -> Iterator[Trial]:
    one = trial.cutter
    for factor in (LITTLE, MUCH):
        yield replace(trial, cutter=replace(one, overall_length=one.overall_length * factor))


def _longer_edge(trial: Trial, _now: CutSettings | None) -> Iterator[Trial]:
    one = trial.cutter
    for factor in (LITTLE, MUCH):
        more = one.cutting_length * (factor - 1)
        edge = one.cutting_length + more
        yield replace(trial, cutter=replace(one, cutting_length=edge, overall_length=one.overall_length + more))


def _thicker_or_shorter(trial: Trial, now: CutSettings | None) -> Iterator[Trial]:
    yield from _scaled(LITTLE, MUCH, shank=True)(trial, now)
    yield from _shorter(trial, now)


def _solid(trial: Trial, _now: CutSettings | None) -> Iterator[Trial]:
    if trial.cutter.substrate is not Substrate.CARBIDE:
        yield replace(trial, cutter=replace(trial.cutter, substrate=Substrate.CARBIDE))


def _pushed_in(trial: Trial, _now: CutSettings | None) -> Iterator[Trial]:
    if trial.cutter.stick_out is not None:
        yield replace(trial, cutter=replace(trial.cutter, stick_out=None))


def _out_further(trial: Trial, _now: CutSettings | None) -> Iterator[Trial]:
    yield replace(trial, cutter=replace(trial.cutter, stick_out=None))


def _centre_cutting(trial: Trial, _now: CutSettings | None) -> Iterator[Trial]:
    yield replace(trial, cutter=replace(trial.cutter, centre_cutting=True))


def _marked_faster(trial: Trial, _now: CutSettings | None) -> Iterator[Trial]:
    yield replace(trial, cutter=replace(trial.cutter, max_speed=None))


def _sharp_corners(trial: Trial, _now: CutSettings | None) -> Iterator[Trial]:
    yield replace(trial, cutter=replace(trial.cutter, corner_radius=0.0))


def _ball(trial: Trial, _now: CutSettings | None) -> Iterator[Trial]:
    yield replace(trial, cutter=replace(trial.cutter, shape=CutterKind.BALL_NOSE, corner_radius=0.0))


def _flatter(trial: Trial, now: CutSettings | None) -> Iterator[Trial]:
    depth = now.depth_per_pass.start if now else trial.wish.depth_per_pass or trial.cut.depth
    for part in (1 / LITTLE, 1 / MUCH, 1 / MUCH**2):
        yield replace(trial, wish=replace(trial.wish, depth_per_pass=depth * part))


def _shallower(trial: Trial, _now: CutSettings | None) -> Iterator[Trial]:
    cut = trial.cut
    reach = cut.depth if cut.reach is None else cut.reach
    for part in (1 / LITTLE, 1 / MUCH):
        yield replace(trial, cut=replace(cut, depth=cut.depth * part, reach=reach * part))


def _feed_faster(trial: Trial, now: CutSettings | None) -> Iterator[Trial]:
    if now is not None:
        yield replace(trial, wish=replace(trial.wish, feed=now.feed.high))


def _better_held(trial: Trial, _now: CutSettings | None) -> Iterator[Trial]:
    keeping = trial.cut.keeping
    if keeping is not None:
        yield replace(trial, cut=replace(trial.cut, keeping=replace(keeping, bears=keeping.bears * MUCH)))


def _higher_cusp(trial: Trial, _now: CutSettings | None) -> Iterator[Trial]:
    if trial.cut.cusp is not None:
        yield replace(trial, cut=replace(trial.cut, cusp=trial.cut.cusp * MUCH))


def _class_with(better: Callable[[MachineClass], MachineClass]) -> Change:
    """A class in which one figure is better: two neighbouring classes lie about so far apart."""

    def change(trial: Trial, _now: CutSettings | None) -> Iterator[Trial]:
        yield replace(trial, machine=better(trial.machine))

    return change


def _times(span: Span, factor: float) -> Span:
    return replace(span, low=span.low * factor, high=span.high * factor)


CHANGES: Mapping[str, Change] = {
    "fewer flutes": _fewer_flutes,
    "a smaller cutter": _scaled(1 / LITTLE, 1 / MUCH),
    "a thicker cutter": _scaled(LITTLE, MUCH, shank=True),
    "a shorter cutter": _shorter,
    "a shorter or thicker cutter": _thicker_or_shorter,
    "a longer cutter": _longer,
    "a cutter with a longer cutting length": _longer_edge,
    "a cutter with a larger radius": _scaled(LITTLE, MUCH),
    "a cutter with sharper corners": _sharp_corners,
    "a ball nose or bowl cutter": _ball,
    "a cutter marked for a higher speed": _marked_faster,
    "solid carbide instead of steel": _solid,
    "use a centre-cutting cutter": _centre_cutting,
    "push the cutter further into the collet": _pushed_in,
    "let it stick out further": _out_further,
    "a smaller depth per pass": _flatter,
    "a shallower cut": _shallower,
    "feed faster, up to the end of the range": _feed_faster,
    "more or wider tabs, or a thicker skin": _better_held,
    "tape under the part": _better_held,
    "a higher cusp": _higher_cusp,
    "a stronger class": _class_with(lambda one: replace(one, side_force=_times(one.side_force, MUCH))),
    "a class that feeds faster": _class_with(lambda one: replace(one, feed=_times(one.feed, MUCH))),
    "a class that plunges faster": _class_with(lambda one: replace(one, plunge=_times(one.plunge, MUCH))),
    "a class with more power": _class_with(lambda one: replace(one, cutter_power=_times(one.cutter_power, MUCH))),
    "a class with a lower lowest speed": _class_with(
        lambda one: replace(one, lowest_speed=_times(one.lowest_speed, 1 / MUCH))
    ),
}
"""Each remedy of the worksheet that can be tried, and what it changes."""

UNTRIED = (
    "a cutter with another shank",
    "a collet or reducer",
    "drill a starting hole",
    "keep the cutter sharp and moving",
    "follow the cutter maker's chart",
    "try on scrap",
    "another class",
)
"""Remedies that no calculation can try: they are things to fit, or care to take."""
