"""From a step to cuts: chains at one depth, holding tabs and onion skin left standing."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from shapely import LineString
from shapely.geometry.base import BaseGeometry

from kitforge.model.identity import IdentityKey
from kitforge.model.kit import Cutter, OperationKind
from kitforge.model.record import record
from kitforge.model.steps import Step
from kitforge.planning.tabs import split_at_tabs
from kitforge.surface.distance import Segments, segments_of

# Chains are thinned to within this, mm: far below a cell, and it spares the many short chords of round paths.
_THIN = 0.002
# How many steps are kept: more than most kits have.
_KEPT = 128


@record(eq=False)
class CutterRun:
    """A cutter run along chains. depth: of its tip, floor: nothing is cut deeper than this; both below the face as the
    stock came, mm.

    chains: arrays of shape (n, 2), one point is a plunge; of shape (n, 3) with sloped=True, the depth third.
    """

    cutter: Cutter
    chains: tuple[NDArray[np.float64], ...]
    depth: float
    floor: float = math.inf
    sloped: bool = False


def cuts_of(step: Step) -> tuple[CutterRun, ...]:
    """Return the cuts of a step: full depth, and the runs lifted over holding tabs; none for a facing of the whole
    stock, which lies in the coordinates of the sheet and takes everything down alike.

    Chains of shape (n, 3) in the step's travel carry the depth of the tip themselves, as engraving does. Kept, because
    checks, pictures and maps cut the same step one after another.
    """
    return _cuts_of(IdentityKey(step))


def run_segments(cut: CutterRun) -> Segments:
    """Return the straight pieces of a run; kept as well."""
    return _segments_of(IdentityKey(cut))


@lru_cache(maxsize=_KEPT)
def _segments_of(cut: IdentityKey[CutterRun]) -> Segments:
    return segments_of(cut.one.chains)


@lru_cache(maxsize=_KEPT)
def _cuts_of(key: IdentityKey[Step]) -> tuple[CutterRun, ...]:
    step = key.one
    if step.operation.whole:
        return ()
    floor = _floor(step)
    plunges = _plunges(step)
    ways = step.travel.chains if step.travel is not None else ()
    if any(way.shape[1] == 3 for way in ways):
        return _sloped(step, [way for way in ways if way.shape[1] == 3], floor)
    chains = _thinned(ways)
    if not step.tabs or not step.operation.through:
        return _kept(CutterRun(step.cutter, (*chains, *plunges), step.tip, floor))
    below, over = split_at_tabs(chains, step.tabs, step.cutter.radius, step.leave_walls)
    tab_floor = step.datum.from_face(step.wood - max(tab.height for tab in step.tabs))
    return _kept(
        CutterRun(step.cutter, (*below, *plunges), step.tip, floor),
        CutterRun(step.cutter, over, min(step.tip, tab_floor), tab_floor),
    )


def _sloped(step: Step, ways: Sequence[NDArray[np.float64]], floor: float) -> tuple[CutterRun, ...]:
    """Return the cut along ways that carry their depth below the datum as a third column."""
    from_face = (0.0, 0.0, step.datum.below)
    deepest = step.datum.from_face(max(float(way[:, 2].max()) for way in ways))
    return _kept(CutterRun(step.cutter, tuple(way + from_face for way in ways), deepest, floor, sloped=True))


def _kept(*cuts: CutterRun) -> tuple[CutterRun, ...]:
    return tuple(cut for cut in cuts if cut.chains and cut.depth > 0)


def _floor(step: Step) -> float:
    skin = step.operation.skin
    return step.datum.from_face(step.wood - skin) if skin else math.inf


def _plunges(step: Step) -> tuple[NDArray[np.float64], ...]:
    if step.operation.does not in (OperationKind.DRILL, OperationKind.DISH, OperationKind.POCKET, OperationKind.FACE):
        return ()
    return tuple(np.array([point], dtype=np.float64) for point in step.operation.points)


def _line(chain: NDArray[np.float64]) -> BaseGeometry:
    # a way may cross itself, so nothing is asked of its topology, which takes ten times as long
    return LineString(chain).simplify(_THIN, preserve_topology=False)


def _thinned(chains: Sequence[NDArray[np.float64]]) -> tuple[NDArray[np.float64], ...]:
    return tuple(np.asarray(_line(chain).coords) if len(chain) > 3 else np.asarray(chain) for chain in chains)
