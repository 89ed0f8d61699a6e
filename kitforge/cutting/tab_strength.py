"""How much a holding tab bears until it breaks, by the direction in which it is pulled. Lengths mm, N, MPa, degrees.

A tab stands across the kerf, built in at both ends, so that the moment in it is M = F L / 2. Derived from beam theory
and the strength of clear wood; no test of tabs was found. It errs low: small pieces are stronger across the grain than
the tables say. Common practice, no source: four to eight tabs of 6 to 8 by 2.5 to 3 mm hold an outline in hardwood.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from kitforge.model.kit import Grain, Stock
from kitforge.model.record import record
from kitforge.model.workshop import Fact, Material, MaterialKind
from kitforge.workshop.cutting_data import cutting_data

# Shear across the fibres over shear along them: 0.18 to 0.28 (Wood Handbook, chapter 5, recalled).
ROLLING = 0.2
# Where no table has the tension across the grain: its share of shear near the low end of the woods that have both, and
# of the bending strength that a wood has at least for its shear (Wood Handbook, Table 5-3a; derived).
_TENSION = {MaterialKind.HARDWOOD: 0.30, MaterialKind.SOFTWOOD: 0.22}
_BENDING = 6.0
# A veneer that a tab holds less of than this is none, mm.
_PARTLY = 0.01
_DIRECTIONS = 1
"""So many degrees lie between the directions in which tabs are pulled: near its own edge, along which it bears much, a
tab loses a tenth over a few of them."""


@record
class Fibres:
    """What the wood of a tab bears across its kerf, MPa. tension, shear: in its plane; bending, rolling: lifted.

    layer: how thick the layer is that is pulled and bent, mm; None: all of it.
    """

    tension: float
    bending: float
    shear: float
    rolling: float
    layer: float | None = None


@record
class TabStrength:
    """What one tab bears until it breaks, N. along: in the direction of its edge; away: off the edge; up: lifted."""

    along: float
    away: float
    up: float

    def towards(self, turn: float) -> float:
        """Return what it bears sideways in a direction that is turned by so many degrees from its edge.

        What both parts of the pull do to it is added up.
        """
        c, s = abs(math.cos(math.radians(turn))), abs(math.sin(math.radians(turn)))
        return 1 / (c / self.along + s / self.away)


@record
class StandingTab:
    """A tab as it stands: direction of its edge, degrees; width, height, kerf mm; the wood across it; what it bears."""

    angle: float
    width: float
    height: float
    kerf: float
    fibres: Fibres
    strength: TabStrength


def hankinson(along: float, across: float, angle: float) -> float:
    """Return a strength at an angle to the grain, from those along and across it.

    Hankinson's formula with the exponent 2: Wood Handbook, FPL-GTR-190, Eq. 5-1 (recalled).
    """
    s, c = math.sin(math.radians(angle)) ** 2, math.cos(math.radians(angle)) ** 2
    return along * across / (along * s + across * c)


def tab_strength(fibres: Fibres, width: float, height: float, kerf: float) -> TabStrength:
    """Return what a tab bears until it breaks: by bending over the kerf, and by shear.

    The pull off the edge is never central, so it counts no more than the shear strength.
    """
    section, layer = width * height, min(height, fibres.layer or height)
    return TabStrength(
        along=min(fibres.tension * layer * width**2 / (3 * kerf), 2 / 3 * fibres.shear * section),
        away=min(fibres.tension * layer, fibres.shear * height) * width,
        up=min(fibres.bending * width * layer**2 / (3 * kerf), 2 / 3 * fibres.rolling * section),
    )


def standing_tab(stock: Stock, angle: float, width: float, height: float, kerf: float) -> StandingTab:
    """Return a tab on an edge of a direction with what it bears; the weaker one where the grain is not known."""
    found = []
    for phi in angles_to_grain(stock, angle):
        fibres = fibres_across(stock.material, phi, height)
        found.append(StandingTab(angle, width, height, kerf, fibres, tab_strength(fibres, width, height, kerf)))
    return min(found, key=lambda tab: (tab.strength.up, tab.strength.along))


def angles_to_grain(stock: Stock, angle: float) -> tuple[float, ...]:
    """Return what the angle between the grain and the way across the kerf may be: 0 on end grain, 90 on long grain.

    angle: direction of the edge, degrees from the length of the stock.
    """
    if stock.grain is Grain.NONE and not stock.material.is_panel:
        return (90.0,)
    across = abs((angle + 90) % 180)
    from_length = min(across, 180 - across)
    if stock.grain is Grain.NONE:
        return from_length, 90 - from_length
    return (from_length if stock.grain is Grain.LENGTH else 90 - from_length,)


def fibres_across(material: Material, phi: float, height: float) -> Fibres:
    """Return what the wood or the panel bears across the kerf of a tab, at an angle to its grain.

    Of plywood the tab takes the lower face and what is above it: only whole veneers count, one of them for bending; a
    tab less than two veneers high is solid wood of the face.
    """
    panel = material.panel
    if panel is not None and panel.veneer is not None and panel.veneer_across is not None:
        along, across, thick = panel.bending.value, panel.veneer_across.value, panel.veneer.value
        face = hankinson(along, across, phi)
        if height < 2 * thick - _PARTLY:
            return Fibres(face, face, panel.panel_shear.value, panel.planar_shear.value)
        crossing = max(face, hankinson(along, across, 90 - phi))
        return Fibres(crossing, crossing, panel.panel_shear.value, panel.planar_shear.value, thick)
    if panel is not None:
        return Fibres(panel.in_plane.value, panel.bending.value, panel.panel_shear.value, panel.planar_shear.value)
    shear, bending, tension = wood_strengths(material)
    across = hankinson(bending.value, tension.value, phi)
    return Fibres(across, across, shear.value, hankinson(shear.value, ROLLING * shear.value, phi))


def wood_strengths(material: Material) -> tuple[Fact, Fact, Fact]:
    """Return shear along the grain, modulus of rupture and tension across the grain, MPa.

    Where a table has no figure, one that errs low.
    """
    shear = material.shear_parallel or cutting_data().tabs.panel_shear
    bending = material.modulus_of_rupture or Fact(_BENDING * shear.value, "derived", "derived")
    share = _TENSION.get(material.kind, min(_TENSION.values()))
    tension = material.tension_across or Fact(share * shear.value, "derived", "derived")
    return shear, bending, tension


@record
class Together:
    """What several tabs bear: N until the last of those that count breaks; how many count, and which is the weakest."""

    force: float
    count: int
    weakest: int


def together(strengths: Sequence[float]) -> Together:
    """Return what tabs bear that are pulled alike: wood is brittle, so the stiff ones break before all bear their best.

    n tabs bear n times the weakest of them; it is counted with as many of the strongest as bear most.
    """
    order = sorted(range(len(strengths)), key=lambda index: -strengths[index])
    sums = [Together((n + 1) * strengths[index], n + 1, index) for n, index in enumerate(order)]
    return max(sums, key=lambda one: one.force, default=Together(0.0, 0, 0))


def sideways(tabs: Sequence[StandingTab]) -> tuple[float, Together]:
    """Return the direction in degrees in which tabs bear least, and what they bear in it."""
    turns = range(0, 180, _DIRECTIONS)
    found = [(float(turn), together([tab.strength.towards(turn - tab.angle) for tab in tabs])) for turn in turns]
    return min(found, key=lambda pair: pair[1].force)


def upwards(tabs: Iterable[StandingTab]) -> Together:
    """Return what tabs bear when a piece is lifted."""
    return together([tab.strength.up for tab in tabs])


def safety_of(area: float) -> Fact:
    """Return the safety factor of tabs that hold a piece of an area, mm2: more for a small one."""
    data = cutting_data()
    small = area < data.tabs.small_piece.value
    return data.safety_factors["tabs_small" if small else "default"]
