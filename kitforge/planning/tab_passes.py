"""All passes of an operation leave the same tabs: a tab that one pass leaves and another cuts through holds nothing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import groupby

from shapely import MultiPolygon

from kitforge.model.kit import Tabs
from kitforge.model.steps import Step, StepSettings, TabPlace
from kitforge.planning.alike import tabs_of_another
from kitforge.planning.areas import united
from kitforge.planning.tab_load import Pull, TabLoad
from kitforge.planning.tabs import BEYOND, place_tabs
from kitforge.workshop.cutting_data import cutting_data


def with_enough_tabs(
    steps: Sequence[Step], settings: Mapping[str, Sequence[StepSettings]], like: Mapping[str, Step]
) -> list[Step]:
    """Return steps with tabs that bear the hardest cut of all machine classes, unless the author placed them.

    settings: of each step on the classes that can cut it, by its key. like: the same steps at another thickness, whose
    tabs stay where they bear this one too. Where no tabs do that the plan can choose, they are the best ones; the check
    of the hold-downs says so.
    """
    found: dict[str, tuple[TabPlace, ...]] = {}
    for passes in passes_of(steps):
        found |= dict.fromkeys((step.key for step in passes), _tabs_of(passes, steps, settings, like))
    return [replace(step, tabs=found[step.key]) for step in steps]


def with_one_set(passes: Sequence[Step]) -> Sequence[Step]:
    """Return the passes of an operation with the same tabs, before anything is known of what they must bear."""
    if len(passes) < 2 or not passes[-1].tabs:
        return passes
    tabs = place_tabs(passes[-1].operation, cut=cut_by(passes))
    return [replace(step, tabs=tabs) for step in passes]


def passes_of(steps: Sequence[Step]) -> list[list[Step]]:
    """Return the steps of each operation of each part together, in their order."""

    def operation(step: Step) -> tuple[str, str]:
        return step.part.key, step.operation.name

    return [list(passes) for _key, passes in groupby(sorted(steps, key=operation), operation)]


def cut_by(passes: Sequence[Step]) -> MultiPolygon | None:
    """Return what passes take away together, in plan view; None where nobody knows."""
    cuts = [step.cut for step in passes if step.cut is not None]
    return cuts[0] if len(cuts) == 1 else united(cuts) if cuts else None


def _tabs_of(
    passes: Sequence[Step],
    steps: Sequence[Step],
    settings: Mapping[str, Sequence[StepSettings]],
    like: Mapping[str, Step],
) -> tuple[TabPlace, ...]:
    last = passes[-1]
    hold, known = last.operation.hold, [step for step in passes if settings.get(step.key)]
    if not isinstance(hold, Tabs) or hold.at or not last.tabs or not known:
        return last.tabs
    load = TabLoad(tuple(_pull(step, settings[step.key]) for step in known), last.part.stock)
    kept = tabs_of_another(last, like.get(last.key), load)
    return place_tabs(last.operation, load, _gone_beside(passes, steps, hold)) if kept is None else kept


def _gone_beside(passes: Sequence[Step], steps: Sequence[Step], hold: Tabs) -> MultiPolygon | None:
    """Return what passes take away together with what other through cuts of the part take beside it: notches, say."""
    own, last = cut_by(passes), passes[-1]
    if own is None:
        return None
    others = [
        step.cut
        for step in steps
        if step.part.key == last.part.key and step.operation.name != last.operation.name and step.through and step.cut
    ]
    # a tab stands there with all of its width, not with its middle alone
    half = (cutting_data().tabs.widest.value if hold.open_width else hold.width) / 2
    beside = [cut.buffer(half) for cut in others if cut.dwithin(own, last.kerf + BEYOND)]
    return united([own, *beside]) if beside else own


def _pull(step: Step, settings: Sequence[StepSettings]) -> Pull:
    return Pull(max(one.pull[0] for one in settings), max(one.pull[1] for one in settings), step.kerf)
