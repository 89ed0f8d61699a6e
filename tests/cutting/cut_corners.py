"""The corners of printed ranges, and what is wrong at them.

The print says how the ranges hang together: at another speed feed and plunge move in proportion, never above the upper
end of their ranges; depth and stepover may be anywhere in theirs.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import product

from random_cuts import Case

from kitforge.cutting.worksheet.generated.settings_computed import computed
from kitforge.cutting.worksheet.generated.settings_values import Values
from kitforge.cutting.worksheet.tables import tables_of
from kitforge.model.settings import CutSettings, RequestedSettings
from kitforge.workshop.cutting_data import cutting_data

DATA = cutting_data()
HAIR = 1 + 1e-6


@dataclass(frozen=True, slots=True)
class Corner:
    """Settings that a person may dial in, by what the print says."""

    speed: float
    feed: float
    plunge: float
    depth: float
    stepover: float | None

    @property
    def wish(self) -> RequestedSettings:
        """The corner as the settings of an author."""
        return RequestedSettings(self.speed, self.feed, None, self.depth, self.stepover)


def corners(found: CutSettings) -> Iterator[Corner]:
    """Yield the corners of the printed ranges, and the start values between them."""
    speed, feed, plunge, depth = found.speed, found.feed, found.plunge, found.depth_per_pass
    asides = (None,) if found.stepover is None else (found.stepover.low, found.stepover.start, found.stepover.high)
    # plunges beside the feeds of the same end: at settings that stay nothing else depends on them
    downs = zip((feed.low, feed.start, feed.high), (plunge.low, plunge.start, plunge.high), strict=True)
    for n, (vf, vz), ap, s in product((speed.low, speed.start, speed.high), downs, (depth.start, depth.high), asides):
        turned = n / speed.start
        yield Corner(n, min(vf * turned, feed.high), min(vz * turned, plunge.high), ap, s)


def faults(case: Case, found: CutSettings) -> Iterator[str]:
    """Yield what is wrong at the corners of the settings of a case."""
    machine, cut = case.machine, case.cut
    floor_only = cut.reach is not None and cut.reach > cut.depth
    cutter = replace(case.cutter, stick_out=found.stick_out)
    for corner in corners(found):
        depth = min(corner.depth, cut.depth)
        one_pass = replace(cut, depth=depth, reach=cut.reach if floor_only else depth)
        at = _values(replace(case, cut=one_pass, cutter=cutter, wish=corner.wish))
        if not isinstance(at, Values):
            yield f"{corner}: no settings"
            continue
        kept, most = case.cut.keeping, found.loads
        held, lifts = (kept.bears, kept.lifts) if kept else (None, None)
        yield from (
            f"{corner}: {name} {value:.5g} is more than {bound:.5g}"
            for name, value, bound in (
                ("side force", at.own.Fs, machine.force_limit if not at.drilling else None),
                ("side force", at.own.Fs, held if not at.drilling else None),
                ("lift", at.own.Fa, lifts if not at.drilling else None),
                ("side force of the worst corner", at.own.Fs, most.most_side_force),
                ("lift of the worst corner", at.own.Fa, most.most_lift),
                ("power", at.own_P.P, machine.cutter_power.low),
                ("bending", at.own.d, at.d_max),
                ("stress", at.own.sb, at.s_max),
                ("feed", at.vf, machine.plunge_limit if at.drilling else machine.feed_limit),
                ("plunge", corner.plunge, machine.plunge_limit),
                ("plunge", corner.plunge, at.vz_thrust),
            )
            if bound is not None and value > bound * HAIR
        )
        if at.fz * HAIR < at.at.fz_min:
            yield f"{corner}: {at.fz:.5g} per tooth rubs, {at.at.fz_min:.5g} is the floor"


def _values(case: Case) -> object:
    return computed(case.cut, case.cutter, case.material, case.machine, DATA, tables_of(DATA), case.wish)
