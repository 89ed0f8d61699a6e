"""Tabs are rated by the direction in which they are pulled: worked out anew, tab by tab, with formulas of its own."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from functools import cache

import numpy as np
import pytest
from kit_samples import Sample
from planted import Fault

from kitforge.cutting import tab_group, tab_strength
from kitforge.cutting.tab_strength import TabStrength, Together
from kitforge.model.holds import HoldResult
from kitforge.model.kit import Grain, Stock
from kitforge.model.messages import term
from kitforge.model.pieces import Bridge, WoodPiece
from kitforge.model.plan import PlannedSetup
from kitforge.model.workshop import Material
from kitforge.planning import holding
from kitforge.workshop.load import load_workshop
from kitforge_holding import kitforge_check

LAW = "a piece is credited with no more than its tabs bear in the worst direction, and what is too little is told"
HAIR = 1 + 1e-6
_SMALL, _SAFETY_SMALL, _SAFETY = 2500.0, 3.0, 2.0
_WEAK = {"bridges-too-weak", "bridges-near-limit"}


def broken(sample: Sample) -> list[str]:
    """Return every piece that is credited with more than its tabs bear, and every weak one that nobody tells of."""
    told = {(f.part, f.operation) for f in kitforge_check(sample.kit, sample.plan) if f.code in _WEAK}
    found = []
    for machine in sample.plan.machines:
        for setup in sample.plan.setups:
            for result in machine.holding.get(setup.key, ()):
                if result.piece is not None and result.held_by == term("holding tabs"):
                    step = sample.plan.step(result.step)
                    known = (step.part.key, step.operation.name) in told or not machine.fits or bool(result.instead)
                    found += list(_of_piece(setup, result, result.piece, known=known))
    return found


def _of_piece(setup: PlannedSetup, result: HoldResult, piece: WoodPiece, *, known: bool) -> Iterator[str]:
    division = next(one for one in setup.divisions if one.step == result.step)
    tabs = [bridge for bridge in division.tied(piece) if not bridge.skin]
    safety = _SAFETY_SMALL if piece.area < _SMALL else _SAFETY
    one = [_bears(setup.stock, tab, tab.width_on(piece.number)) for tab in tabs]
    up = _most([bears[2] for bears in one]) / safety
    sides = [
        _most([_sideways(bears, angle - tab.angle) for bears, tab in zip(one, tabs, strict=True)])
        for angle in np.arange(0, 180, 3.0)
    ]
    least = max(min(sides), 0.0) / safety
    where = f"{result.step}, {len(tabs)} tabs"
    # between the directions that the planner looks at it may be a little less
    if result.capacity > least * 1.05:
        yield f"{where}: credited with {result.capacity:.1f} N sideways, {least:.1f} N are borne"
    if result.lift_capacity > up * HAIR:
        yield f"{where}: credited with {result.lift_capacity:.1f} N upwards, {up:.1f} N are borne"
    short = least * 1.05 < result.demand / HAIR or up < result.lift_demand / HAIR
    if short and tabs and not known:
        yield f"{where}: too weak for {result.demand:.1f} and {result.lift_demand:.1f} N, and nobody says so"


def _most(strengths: list[float]) -> float:
    ordered = sorted(strengths, reverse=True)
    return max((count * weakest for count, weakest in enumerate(ordered, 1)), default=0.0)


def _sideways(bears: tuple[float, float, float], turn: float) -> float:
    turn = math.radians(turn)
    return 1 / (abs(math.cos(turn)) / bears[0] + abs(math.sin(turn)) / bears[1])


def _bears(stock: Stock, tab: Bridge, width: float) -> tuple[float, float, float]:
    """Return what a tab bears along its edge, off it and upwards; the grain that is not known is the worst one."""
    edge, ways = math.radians(tab.angle), {Grain.LENGTH: (0.0,), Grain.WIDTH: (90.0,), Grain.NONE: (0.0, 90.0)}
    found = []
    for grain in ways[stock.grain]:
        # the share of the grain that runs across the kerf: sine of the angle between edge and grain
        across = abs(math.sin(edge - math.radians(grain)))
        if stock.grain is Grain.NONE and not stock.material.is_panel:
            across = 0.0
        found.append(_by_material(stock.material, across, width, tab.height, tab.kerf))
    return min(found, key=lambda one: (one[2], one[0]))


@cache
def _least_shear() -> float:
    """Return the least shear of all woods with a figure: no wood without one may be credited with more, MPa."""
    return min(wood.shear_parallel.value for wood in load_workshop().materials.values() if wood.shear_parallel)


def _by_material(wood: Material, across: float, w: float, t: float, kerf: float) -> tuple[float, float, float]:
    def over(strong: float, weak: float) -> float:
        return strong * weak / (strong * (1 - across**2) + weak * across**2)

    layer = t
    if wood.panel is None:
        assert wood.modulus_of_rupture and wood.tension_across
        shear = wood.shear_parallel.value if wood.shear_parallel else _least_shear()
        pulled = bent = over(wood.modulus_of_rupture.value, wood.tension_across.value)
        rolled = over(shear, 0.2 * shear)
    else:
        panel = wood.panel
        shear, rolled, pulled, bent = (
            one.value for one in (panel.panel_shear, panel.planar_shear, panel.in_plane, panel.bending)
        )
        if panel.veneer is not None and panel.veneer_across is not None:
            pulled = bent = over(bent, panel.veneer_across.value)
            if t >= 2 * panel.veneer.value - 0.02:
                layer, other = panel.veneer.value, 1 - across**2
                strong, weak = panel.bending.value, panel.veneer_across.value
                crossing = strong * weak / (strong * (1 - other) + weak * other)
                pulled = bent = max(pulled, crossing)
    beam = layer / (3 * kerf)
    return (
        min(pulled * beam * w * w, shear * w * t / 1.5),
        min(pulled * layer, shear * t) * w,
        min(bent * beam * w * layer, rolled * w * t / 1.5),
    )


def _alike_all_around(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(tab_strength, "angles_to_grain", lambda _stock, _angle: (0.0,))


def _sheared(patch: pytest.MonkeyPatch) -> None:
    """Every pull is taken as shear, as it was once."""

    def all_shear(fibres: tab_strength.Fibres, width: float, height: float, _kerf: float) -> TabStrength:
        return TabStrength(*[fibres.shear * width * height] * 3)

    patch.setattr(tab_strength, "tab_strength", all_shear)


def _added_up(patch: pytest.MonkeyPatch) -> None:
    def all_of_them(strengths: list[float]) -> Together:
        return Together(sum(strengths), len(strengths), 0)

    patch.setattr(tab_strength, "together", all_of_them)


def _one_direction(patch: pytest.MonkeyPatch) -> None:
    """Only the direction in which tabs bear most is looked at."""
    known: Callable[..., object] = tab_strength.sideways

    def best(tabs: list[tab_strength.StandingTab]) -> tuple[float, Together]:
        turns = range(0, 180, 15)
        found = [
            (float(turn), tab_strength.together([t.strength.towards(turn - t.angle) for t in tabs])) for turn in turns
        ]
        return max(found, key=lambda pair: pair[1].force)

    assert known is not best
    patch.setattr(tab_group, "sideways", best)


def _half_safety(patch: pytest.MonkeyPatch) -> None:
    from kitforge.model.workshop import Fact

    patch.setattr(tab_group, "safety_of", lambda _area: Fact(1.0, "common practice"))


def _as_wide_as_asked(patch: pytest.MonkeyPatch) -> None:
    """A skin or tab is credited twice."""
    standing = holding._standing
    patch.setattr(holding, "_standing", lambda *given: [*standing(*given), *standing(*given)])


FAULTS = (
    Fault("tabs bear alike along and across the grain", _alike_all_around, {"tabs", "family hardwood"}),
    Fault("every pull is taken as shear", _sheared, {"tabs"}),
    Fault("strong and weak tabs are added up", _added_up, {"tabs", "family hardwood"}),
    Fault("the best direction is taken for the worst", _one_direction, {"tabs"}),
    Fault("the safety factor is left out", _half_safety, {"tabs"}),
    Fault("every tab is counted twice", _as_wide_as_asked, {"tabs"}),
)
