"""What a hold-down bears for a piece of stock, with the sum behind it. Force N, areas mm2, lengths mm."""

from __future__ import annotations

from dataclasses import dataclass

from kitforge.cutting.holding import friction_hold, shear_hold, skin_hold, skin_needed, tab_hold, tabs_needed
from kitforge.cutting.holding import vacuum_normal as suction
from kitforge.cutting.records import COMMON, figure
from kitforge.workshop.cutting_data import CuttingData
from kitforge.workshop.records import HoldDown, HoldKind, Material
from kitforge.workshop.wood import (
    nail_full_penetration,
    nail_withdrawal,
    screw_withdrawal,
    short_penetration_factor,
)

# A wood screw carries its full side load from 7 diameters of thread on (Wood Handbook, FPL-GTR-282, p. 8-11).
_SCREW_PENETRATION = 7.0
# The spoilboard as light softwood: common practice, no source.
SPOILBOARD_GRAVITY = 0.40
_TAPES = (HoldKind.TAPE_AND_GLUE, HoldKind.DOUBLE_SIDED_TAPE)


@dataclass(frozen=True, slots=True)
class Held:
    """What is held: contact area mm2, and the number of fasteners or clamps."""

    area: float
    count: int


@dataclass(frozen=True, slots=True)
class Capacity:
    """What a hold-down bears sideways and upwards, N, already divided by the safety factor; None: no source tells.

    text: the sum in words and numbers.
    """

    sideways: float | None
    upwards: float | None
    safety: float
    text: str

    def bears(self, sideways: float, upwards: float) -> bool | None:
        """Return whether both demands N are borne; None when a capacity is not known."""
        if self.sideways is None or self.upwards is None:
            return None
        return self.sideways >= sideways and self.upwards >= upwards


def capacity(hold: HoldDown, held: Held, data: CuttingData) -> Capacity:
    """Return what `hold` bears for a piece, taking the weak end of every range.

    Friction: suction-cup calculation of a vacuum-component maker; tape: note on acrylic foam tape; fasteners: Wood
    Handbook chapter 8, in a spoilboard taken as light softwood. Where the hold-down lacks a figure, its capacity is
    unknown.
    """
    safety = hold.safety.value
    if hold.kind in _TAPES:
        return _tape(hold, held, data)
    if hold.kind is HoldKind.VACUUM and hold.pressure and hold.friction:
        normal = suction(hold.pressure.low, held.area)
        text = f"mu dp A / S = {hold.friction.value:g} x {hold.pressure.low:g} MPa x {held.area:.0f} mm2 / {safety:g}"
        return Capacity(friction_hold(hold.friction.value, normal, safety), normal / safety, safety, text)
    if hold.kind in (HoldKind.CLAMPS, HoldKind.EDGE_FENCES) and hold.force_each and hold.friction:
        return _pressed(hold, held)
    if hold.kind in (HoldKind.BRADS, HoldKind.SCREWS):
        return _fasteners(hold, held, data)
    return Capacity(None, None, safety, f"{hold.name} has no figures to compute with; test on scrap")


def _tape(hold: HoldDown, held: Held, data: CuttingData) -> Capacity:
    """Pull-off strength is taken as the shear strength: common practice, no source."""
    small = held.area < data.small_part_area.value
    least = data.safety_factors["tape_small_or_dusty"].value if small else 0.0
    safety = max(hold.safety.value, least)
    if hold.shear is None:
        return Capacity(None, None, safety, f"{hold.name} has no shear strength to compute with")
    borne = shear_hold(hold.shear.low, held.area, safety)
    text = f"tau A / S = {hold.shear.low:g} MPa x {held.area:.0f} mm2 / {safety:g} = {figure(borne)} N"
    return Capacity(borne, borne, safety, text)


def _pressed(hold: HoldDown, held: Held) -> Capacity:
    """Clamps press down and hold by friction; side wedges hold by friction on both of their faces, up as sideways."""
    if hold.force_each is None or hold.friction is None:
        raise ValueError(f"{hold.key} has no force and friction")
    mu, safety, force = hold.friction.value, hold.safety.value, hold.force_each.low
    fences = hold.kind is HoldKind.EDGE_FENCES
    borne = friction_hold(mu, held.count * force, safety) * (2 if fences else 1)
    upwards = borne if fences else held.count * force / safety
    faces = "2 " if fences else ""
    text = f"{faces}n mu N / S = {faces}{held.count} x {mu:g} x {force:g} N / {safety:g} = {figure(borne)} N"
    return Capacity(borne, upwards, safety, text)


def _fasteners(hold: HoldDown, held: Held, data: CuttingData) -> Capacity:
    """Fasteners sit in the spoilboard; the handbook has no figures for it, so it counts as the lightest softwood."""
    diameter, into = hold.diameter, hold.penetration
    nails = hold.kind is HoldKind.BRADS
    safety, pulled = hold.safety.value, data.safety_factors["nails" if nails else "screws"].value
    if diameter is None or into is None:
        return Capacity(None, None, safety, f"{hold.name} has no diameter and penetration to compute with")
    weakest = min(data.lateral_constants, key=lambda row: row.nail.value)
    constant, power = (weakest.nail.value, 1.5) if nails else (weakest.screw.value, 2.0)
    full = nail_full_penetration(SPOILBOARD_GRAVITY, diameter) if nails else _SCREW_PENETRATION * diameter
    short = short_penetration_factor(into, full)
    lateral = constant * diameter**power
    pull = (nail_withdrawal if nails else screw_withdrawal)(SPOILBOARD_GRAVITY, diameter, into)
    sideways, upwards = held.count * lateral * short / safety, held.count * pull / pulled
    text = (
        f"n K d^{power:g} x penetration / S = {held.count} x {constant:g} x {diameter:g}^{power:g} x {short:.2f} / "
        f"{safety:g} = {figure(sideways)} N sideways; n x {pull:.0f} N / {pulled:g} = {figure(upwards)} N upwards"
    )
    return Capacity(sideways, upwards, safety, text)


@dataclass(frozen=True, slots=True)
class TabNeed:
    """How many holding tabs a cut needs, and what they bear, N."""

    count: int
    bears: float
    safety: float
    text: str


def tab_strength(material: Material, data: CuttingData) -> tuple[float, str]:
    """Return the shear strength MPa that tabs and skins count on, and its source."""
    if material.shear_parallel is not None and not material.is_panel:
        return material.shear_parallel.value, material.shear_parallel.source
    return data.tabs.panel_shear.value, COMMON


def tab_need(
    force: float, length: float, width: float, thickness: float, material: Material, data: CuttingData
) -> TabNeed:
    """Return the tabs that hold `force` N along a cut `length` mm: by strength, by spacing, three at least."""
    strength, _ = tab_strength(material, data)
    safety, rules = data.safety_factors["default"].value, data.tabs
    count = tabs_needed(force, width, thickness, strength, safety, int(rules.count.value), length, rules.spacing.high)
    bears = tab_hold(count, width, thickness, strength, safety)
    text = f"n w t tau / S = {count} x {width:g} x {thickness:g} mm x {strength:g} MPa / {safety:g} = {figure(bears)} N"
    return TabNeed(count, bears, safety, text)


def tabs_bear(count: int, width: float, thickness: float, material: Material, data: CuttingData) -> float:
    """Return what `count` tabs bear sideways, N, safety factor included."""
    return tab_hold(count, width, thickness, tab_strength(material, data)[0], data.safety_factors["default"].value)


def skin_bears(length: float, thickness: float, material: Material, data: CuttingData) -> float:
    """Return what an onion skin bears sideways, N, safety factor included."""
    return skin_hold(length, thickness, tab_strength(material, data)[0], data.safety_factors["default"].value)


def skin_for(force: float, length: float, material: Material, data: CuttingData) -> float:
    """Return the onion skin mm that holds `force` N, and no thinner than what can be cut reliably."""
    strength, _ = tab_strength(material, data)
    needed = skin_needed(force, length, strength, data.safety_factors["default"].value)
    return max(needed, data.tabs.onion_skin.low)
