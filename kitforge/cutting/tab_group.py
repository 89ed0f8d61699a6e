"""What the tabs or the skin bear that hold one piece, with the sum behind it. Lengths mm, N, MPa, degrees."""

from __future__ import annotations

from collections.abc import Sequence

from kitforge.cutting.hold import Capacity
from kitforge.cutting.sources import given
from kitforge.cutting.tab_strength import (
    StandingTab,
    safety_of,
    sideways,
    upwards,
)
from kitforge.model.settings import DERIVED, CalculationLine, Given, figure

BEAM = "beam over the kerf, built in at both ends (M = F L / 2), and shear; derived, no test of tabs was found"
GRAIN = "strengths of clear wood at an angle to the grain (Hankinson; Wood Handbook, Table 5-3a); derived"


def tabs_hold(name: str, tabs: Sequence[StandingTab], area: float) -> Capacity:
    """Return what tabs bear that hold a piece of an area, in the worst direction sideways, and upwards.

    Every tab counts as it stands to the grain; brittle as they are, they do not add up (`tab_strength.together`).
    """
    if not tabs:
        return Capacity(0.0, 0.0, 1.0, "no tab holds the piece")
    factor = safety_of(area)
    turn, side = sideways(tabs)
    lift = upwards(tabs)
    low, high = side.force / factor.value, lift.force / factor.value
    weakest, weakest_up = tabs[side.weakest], tabs[lift.weakest]
    towards = weakest.strength.towards(turn - weakest.angle)
    lines = [*_side_lines(name, weakest, turn, towards), *_up_lines(name, weakest_up)]
    for symbol, what, count, force, borne in (
        ("Fh", "sideways", side.count, ("F_s", towards), low),
        ("Fu", "upwards", lift.count, ("F_u", weakest_up.strength.up), high),
    ):
        inputs = (
            Given("how many bear alike", "n", count, "", "counted from the weakest"),
            Given("of which the weakest bears", force[0], force[1], "N", BEAM),
            given("safety factor", "S", factor, ""),
        )
        formula = f"n * {force[0]} / S"
        lines.append(CalculationLine(f"{name}, borne {what}", symbol, formula, inputs, borne, "N", DERIVED))
    text = (
        f"{len(tabs)} in all; {side.count} x {figure(towards)} N / {factor.value:g} = {figure(low)} N sideways; "
        f"{lift.count} x {figure(weakest_up.strength.up)} N / {factor.value:g} = {figure(high)} N upwards"
    )
    return Capacity(low, high, factor.value, text, tuple(lines))


def _size(tab: StandingTab) -> tuple[Given, ...]:
    return (
        Given("width", "w", tab.width, "mm", "kit"),
        Given("height", "t", tab.height, "mm", "kit"),
        Given("thickness of what crosses the kerf", "l", min(tab.height, tab.fibres.layer or tab.height), "mm", GRAIN),
        Given("kerf", "L", tab.kerf, "mm", "cutter"),
    )


def _side_lines(name: str, tab: StandingTab, turn: float, towards: float) -> list[CalculationLine]:
    size = _size(tab)
    strong = (
        Given("strength across the kerf", "f", tab.fibres.tension, "MPa", GRAIN),
        Given("shear strength", "tau", tab.fibres.shear, "MPa", GRAIN),
    )
    along, away = tab.strength.along, tab.strength.away
    parts = (
        Given("along its edge", "F_al", along, "N", BEAM),
        Given("off its edge", "F_aw", away, "N", BEAM),
        Given("from its edge to the worst direction", "a", _between(turn, tab.angle), "deg", "the grain and the edge"),
    )
    to_worst = "1 / (cos(a) / F_al + sin(a) / F_aw)"
    return [
        CalculationLine(
            f"{name}, one pulled along its edge until it breaks", "F_al",
            "min(f * l * w^2 / (3 * L), 2 / 3 * tau * w * t)", (*size, *strong), along, "N", BEAM,
        ),
        CalculationLine(
            f"{name}, one pulled off its edge", "F_aw", "min(f * l, tau * t) * w", (*size[:3], *strong), away, "N", BEAM
        ),
        CalculationLine(f"{name}, one in the direction in which all bear least", "F_s", to_worst, parts, towards, "N",
                        "both parts of the pull added up; derived"),
    ]  # fmt: skip


def _between(turn: float, other: float) -> float:
    """Return the angle between two lines, 0 to 90 degrees."""
    found = (turn - other) % 180
    return min(found, 180 - found)


def _up_lines(name: str, tab: StandingTab) -> list[CalculationLine]:
    strong = (
        Given("bending strength across the kerf", "f_m", tab.fibres.bending, "MPa", GRAIN),
        Given("shear strength when lifted", "tau_r", tab.fibres.rolling, "MPa", GRAIN),
    )
    formula = "min(f_m * w * l^2 / (3 * L), 2 / 3 * tau_r * w * t)"
    size = _size(tab)
    return [CalculationLine(f"{name}, one lifted until it breaks", "F_u", formula, (*size, *strong), tab.strength.up,
                            "N", BEAM)]  # fmt: skip
