"""What a hold-down bears for a piece of stock, with the sum behind it. Force N, areas mm2, lengths mm."""

from __future__ import annotations

from dataclasses import replace

from kitforge.cutting.holding import friction_hold, shear_hold
from kitforge.cutting.holding import vacuum_normal as suction
from kitforge.cutting.sources import HOLDING, given, worst_end
from kitforge.model.record import record
from kitforge.model.settings import COMMON, DERIVED, CalculationLine, Given, figure
from kitforge.model.workshop import Fact, HoldDown, HoldKind
from kitforge.workshop.cutting_data import CuttingData
from kitforge.workshop.spoilboard import spoilboard
from kitforge.workshop.wood import (
    nail_full_penetration,
    nail_withdrawal,
    short_penetration_factor,
)

# A wood screw carries its full side load from 7 diameters of thread on (Wood Handbook, FPL-GTR-282, p. 8-11).
_SCREW_PENETRATION = 7.0
# The spoilboard as light softwood where no figure for fibreboard is known: common practice, no source.
SPOILBOARD_GRAVITY = 0.40
SHEAR = "How much tape do I need?, technical note on acrylic foam tape (form of the formula)"
FRICTION = "Theoretical holding force of a suction cup, design calculation of a vacuum-component maker"
STATICS = "balance of moments about the edge opposite to the lift"
_TAPES = (HoldKind.TAPE_AND_GLUE, HoldKind.DOUBLE_SIDED_TAPE)


@record
class Held:
    """What is held: contact area mm2, and the number of fasteners or clamps; each with where it comes from.

    edge_share: what counts upwards where the cutter lifts at an edge, as a share of what is borne in the middle; None
    where that is not asked.
    """

    area: float
    count: int
    area_source: str = "kit"
    count_source: str = "kit"
    edge_share: float | None = None


@record
class Capacity:
    """What a hold-down bears sideways and upwards, N, already divided by the safety factor; None: no source tells.

    text: the sum in words and numbers; lines: the same line by line, each number with its source.
    """

    sideways: float | None
    upwards: float | None
    safety: float
    text: str
    lines: tuple[CalculationLine, ...] = ()

    def bears(self, sideways: float, upwards: float) -> bool | None:
        """Return whether both demands N are borne; None when a capacity is not known."""
        if self.sideways is None or self.upwards is None:
            return None
        return self.sideways >= sideways and self.upwards >= upwards


def capacity(hold: HoldDown, held: Held, data: CuttingData) -> Capacity:
    """Return what `hold` bears for a piece, taking the weak end of every range.

    Friction: suction-cup calculation of a vacuum-component maker; tape: note on acrylic foam tape; fasteners: Wood
    Handbook chapter 8, in a spoilboard of fibreboard. Where the hold-down lacks a figure, its capacity is
    unknown.
    """
    found = _in_the_middle(hold, held, data)
    return found if held.edge_share is None else _at_an_edge(hold, found, held.edge_share)


def _at_an_edge(hold: HoldDown, found: Capacity, share: float) -> Capacity:
    """A piece that is lifted at an edge tips about the opposite one: less of what holds it counts."""
    if found.upwards is None:
        return found
    lifted = found.upwards * share
    middle = Given(f"{hold.name}, borne upwards in the middle", "Fm", found.upwards, "N", HOLDING)
    counted = Given("share that counts where an edge is lifted", "c", share, "", f"{STATICS}; {DERIVED}")
    lines = [replace(line, what=middle.name, symbol="Fm") if line.symbol == "Fu" else line for line in found.lines]
    at_edge = CalculationLine(f"{hold.name}, borne upwards", "Fu", "Fm * c", (middle, counted), lifted, "N", STATICS)
    text = f"{found.text}; lifted at an edge {share:.2f} of it"
    return replace(found, upwards=lifted, text=text, lines=(*lines, at_edge))


def _in_the_middle(hold: HoldDown, held: Held, data: CuttingData) -> Capacity:
    if hold.kind in _TAPES:
        return _tape(hold, held, data)
    if hold.kind is HoldKind.VACUUM and hold.pressure and hold.friction:
        return _vacuum(hold, held)
    if hold.kind in (HoldKind.CLAMPS, HoldKind.EDGE_FENCES) and hold.force_each and hold.friction:
        return _pressed(hold, held)
    if hold.kind in (HoldKind.BRADS, HoldKind.SCREWS):
        return _fasteners(hold, held, data)
    return Capacity(None, None, hold.safety.value, f"{hold.name} has no figures to compute with; test on scrap")


def _sideways(hold: str, formula: str, inputs: tuple[Given, ...], value: float, source: str) -> CalculationLine:
    return CalculationLine(f"{hold}, borne sideways", "Fh", formula, inputs, value, "N", source)


def _upwards(hold: str, formula: str, inputs: tuple[Given, ...], value: float, source: str) -> CalculationLine:
    return CalculationLine(f"{hold}, borne upwards", "Fu", formula, inputs, value, "N", source)


def _area(held: Held) -> Given:
    return Given("area that holds", "A", held.area, "mm2", held.area_source)


def _tape(hold: HoldDown, held: Held, data: CuttingData) -> Capacity:
    """Pull-off strength is taken as the shear strength: common practice, no source."""
    small = held.area < data.small_part_area.value
    least = data.safety_factors["tape_small_or_dusty"]
    factor = least if small and least.value > hold.safety.value else hold.safety
    safety = factor.value
    if hold.shear is None:
        return Capacity(None, None, safety, f"{hold.name} has no shear strength to compute with")
    borne = shear_hold(hold.shear.low, held.area, safety)
    text = f"tau A / S = {hold.shear.low:g} MPa x {held.area:.0f} mm2 / {safety:g} = {figure(borne)} N"
    strength = worst_end("shear strength, weak end", "tau", hold.shear, "MPa")
    inputs = (strength, _area(held), given("safety factor", "S", factor, ""))
    lines = (
        _sideways(hold.name, "tau * A / S", inputs, borne, SHEAR),
        _upwards(hold.name, "tau * A / S", inputs, borne, f"pull-off taken as shear; {COMMON}"),
    )
    return Capacity(borne, borne, safety, text, lines)


def _vacuum(hold: HoldDown, held: Held) -> Capacity:
    if hold.pressure is None or hold.friction is None:
        raise ValueError(f"{hold.key} has no pressure and friction")
    safety, normal = hold.safety.value, suction(hold.pressure.low, held.area)
    text = f"mu dp A / S = {hold.friction.value:g} x {hold.pressure.low:g} MPa x {held.area:.0f} mm2 / {safety:g}"
    pressed = (
        worst_end("vacuum under the stock, weak end", "dp", hold.pressure, "MPa"),
        _area(held),
        given("safety factor", "S", hold.safety, ""),
    )
    friction, sideways = given("friction", "mu", hold.friction, ""), friction_hold(hold.friction.value, normal, safety)
    lines = (
        _sideways(hold.name, "mu * dp * A / S", (friction, *pressed), sideways, FRICTION),
        _upwards(hold.name, "dp * A / S", pressed, normal / safety, FRICTION),
    )
    return Capacity(sideways, normal / safety, safety, text, lines)


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
    pressed = (
        Given("how many", "n", held.count, "", held.count_source),
        worst_end("force of each, weak end", "N", hold.force_each, "N"),
        given("safety factor", "S", hold.safety, ""),
    )
    rubbed = (given("friction", "mu", hold.friction, ""), *pressed)
    rule = "2 * n * mu * N / S" if fences else "n * mu * N / S"
    lines = (
        _sideways(hold.name, rule, rubbed, borne, FRICTION),
        _upwards(hold.name, rule if fences else "n * N / S", rubbed if fences else pressed, upwards, FRICTION),
    )
    return Capacity(borne, upwards, safety, text, lines)


def _fasteners(hold: HoldDown, held: Held, data: CuttingData) -> Capacity:
    """Fasteners sit in fibreboard: it has figures of its own for the pull, sideways it counts as lightest softwood."""
    diameter, into = hold.diameter, hold.penetration
    nails = hold.kind is HoldKind.BRADS
    safety, pulled = hold.safety.value, data.safety_factors["nails" if nails else "screws"].value
    if diameter is None or into is None:
        return Capacity(None, None, safety, f"{hold.name} has no diameter and penetration to compute with")
    weakest = min(data.lateral_constants, key=lambda row: row.nail.value)
    constant, power = (weakest.nail, 1.5) if nails else (weakest.screw, 2.0)
    full = nail_full_penetration(SPOILBOARD_GRAVITY, diameter) if nails else _SCREW_PENETRATION * diameter
    short = short_penetration_factor(into, full)
    k = constant.value
    lateral = k * diameter**power
    board = spoilboard()
    pull = board.screw_withdrawal.value * diameter * into
    if nails:
        pull = board.brad_share.value * nail_withdrawal(SPOILBOARD_GRAVITY, diameter, into)
    sideways, upwards = held.count * lateral * short / safety, held.count * pull / pulled
    text = (
        f"n K d^{power:g} x penetration / S = {held.count} x {k:g} x {diameter:g}^{power:g} x {short:.2f} / "
        f"{safety:g} = {figure(sideways)} N sideways; n x {pull:.0f} N / {pulled:g} = {figure(upwards)} N upwards"
    )
    lines = _fastener_lines(hold, held, data, constant, full / diameter, (sideways, upwards))
    return Capacity(sideways, upwards, safety, text, lines)


def _fastener_lines(
    hold: HoldDown, held: Held, data: CuttingData, constant: Fact, full: float, borne: tuple[float, float]
) -> tuple[CalculationLine, ...]:
    nails = hold.kind is HoldKind.BRADS
    handbook = "Wood Handbook, FPL-GTR-282 (2021), "
    size = (
        Given("how many", "n", held.count, "", held.count_source),
        Given("diameter", "d", hold.diameter or 0.0, "mm", f"size of the hold-down; {COMMON}"),
        Given("length in the spoilboard", "l", hold.penetration or 0.0, "mm", f"size of the hold-down; {COMMON}"),
    )
    gravity = Given("specific gravity of the spoilboard", "G", SPOILBOARD_GRAVITY, "", f"light softwood; {COMMON}")
    side_source = handbook + ("Eq. 8-2, p. 8-6" if nails else "Eq. 8-13, p. 8-11")
    side = (
        *size,
        given("constant of the lightest softwood", "K", constant, ""),
        Given("diameters of length for the full load", "q", full, "", side_source),
        given("safety factor", "S", hold.safety, ""),
    )
    board = spoilboard()
    pull_source = handbook + "Eq. 8-1, p. 8-2" if nails else "pull of a screw in the face of fibreboard; derived"
    pulled = data.safety_factors["nails" if nails else "screws"]
    over = "average maximum over published allowable load of the handbook; derived"
    factor = given("safety factor on withdrawal", "S", pulled, "", over)
    if nails:
        in_board = given("share of that in fibreboard", "b", board.brad_share, "")
        pull: tuple[Given, ...] = (*size, gravity, in_board, factor)
        rule = "n * b * 54.12 * G^2.5 * d * l / S"
    else:
        holds = given("pull on a mm2 of diameter times length, in fibreboard", "u", board.screw_withdrawal, "N/mm2")
        pull, rule = (*size, holds, factor), "n * u * d * l / S"
    power = "1.5" if nails else "2"
    return (
        _sideways(hold.name, f"n * K * d^{power} * min(1, l / (q * d)) / S", side, borne[0], side_source),
        _upwards(hold.name, rule, pull, borne[1], pull_source),
    )
