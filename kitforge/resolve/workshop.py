"""Stock, cutters and setups: what the kit is cut from and with, and how it is held."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace

from kitforge.definition import kinds
from kitforge.definition.positions import Place
from kitforge.definition.schema import (
    CutterEntry,
    Definition,
    SetupEntry,
    StockEntry,
    Thickness,
)
from kitforge.definition.values import Raw
from kitforge.model.kit import Cutter, CutterKind, Face, Grain, Part, Setup, Stock
from kitforge.model.messages import Message, Quantity, msg, msg_many, term
from kitforge.model.units import MM_PER_INCH
from kitforge.model.workshop import HoldDown, Material, Workshop
from kitforge.resolve.ladder import resolve_ladder
from kitforge.resolve.values import HOLD_DOWNS, MATERIALS, ResolveContext, ValueRange, label
from kitforge.resolve.work import resolve_lines
from kitforge.workshop.spoilboard import spoilboard

THICKNESS = ValueRange(0.3, 150.0)
SHEET_SIZE = ValueRange(10.0, 5000.0)
BOARD_WIDTH = ValueRange(20.0, 2000.0)
DIAMETER = ValueRange(0.1, 120.0)
CUTTING_LENGTH = ValueRange(0.1, 150.0)
SHANK = ValueRange(1.0, 26.0)
OVERALL = ValueRange(5.0, 300.0)
ANGLE = ValueRange(10.0, 170.0)
MARKED_SPEED = ValueRange(1000.0, 100_000.0)
_FLAT_OFF = 0.3
_SPOILBOARD = ValueRange(3.0, 100.0)
_THICKER_OFF = 1.0

NO_EDGE_AT_THE_CENTRE = (CutterKind.SURFACING, CutterKind.BOWL, CutterKind.STRAIGHT)
"""What has an edge at its centre only where the kit says so; common practice."""


def resolve_stock(sheet: ResolveContext, key: str, entry: StockEntry, workshop: Workshop) -> Stock | None:
    """Return a piece of stock, or None where its material is unknown."""
    at: Place = ("stock", key)
    material: Material | None = sheet.entry(workshop.materials, entry.material, MATERIALS, *at, "material")
    nominal, actual = _thickness(sheet, entry.thickness, (*at, "thickness"))
    width = sheet.length(entry.width, *at, "width", within=SHEET_SIZE)
    length = sheet.length(entry.length, *at, "length", within=SHEET_SIZE)
    margin = sheet.length(entry.margin, *at, "margin", within=ValueRange(0.0, 500.0))
    if 2 * margin >= min(width, length):
        message = msg(
            "{place}: a margin of {margin} on each side leaves nothing.",
            place=label((*at, "margin")),
            margin=sheet.show(margin),
        )
        sheet.report(kinds.BAD_NUMBER, (*at, "margin"), message, msg("Make it smaller."))
    if material is None:
        return None
    title = entry.title or stock_title(material, nominal, sheet.unit)
    grain, source = Grain(entry.grain), sheet.where.key(*at)
    prepare = resolve_lines(sheet, entry.prepare, (*at, "prepare"))
    boards, planer = (_stated(sheet, getattr(entry, name), (*at, name)) for name in ("boards", "planer"))
    written = entry.thickness.actual if isinstance(entry.thickness, Thickness) else entry.thickness
    ladder = resolve_ladder(sheet, entry.ladder, written, actual, (*at, "ladder"))
    return Stock(
        key,
        title,
        material,
        nominal,
        actual,
        width,
        length,
        grain,
        source,
        entry.count,
        margin,
        prepare,
        boards,
        planer,
        ladder,
    )


def _stated(sheet: ResolveContext, written: Raw | None, at: Place) -> float | None:
    """Return the width of boards or of a planer, mm; None where the kit does not say."""
    return None if written is None else sheet.length(written, *at, within=BOARD_WIDTH)


def _thickness(sheet: ResolveContext, written: Raw | Thickness, at: Place) -> tuple[float, float]:
    if not isinstance(written, Thickness):
        thick = sheet.length(written, *at, within=THICKNESS)
        return thick, thick
    nominal = sheet.length(written.nominal, *at, "nominal", within=THICKNESS)
    actual = sheet.length(written.actual, *at, "actual", within=THICKNESS)
    if actual > nominal + _THICKER_OFF or actual < nominal * (1 - _FLAT_OFF):
        message = msg(
            "{place}: measured {actual}, but sold as {nominal}.",
            place=label(at),
            actual=sheet.show(actual),
            nominal=sheet.show(nominal),
        )
        sheet.report(kinds.THICKNESS_ODD, (*at, "actual"), message, msg("Measure again, in several places."))
    return nominal, actual


def resolve_cutter(sheet: ResolveContext, key: str, entry: CutterEntry) -> Cutter:
    """Return a cutter with its defaults put in."""
    at: Place = ("cutters", key)
    kind = CutterKind(entry.kind)
    diameter = sheet.length(entry.diameter, *at, "diameter", within=DIAMETER)
    cutter = Cutter(
        key=key,
        name=entry.name or cutter_name(kind, diameter, entry.flutes, sheet.unit),
        kind=kind,
        diameter=diameter,
        cutting_length=sheet.length(entry.cutting_length, *at, "cutting_length", within=CUTTING_LENGTH),
        shank=sheet.length(entry.shank, *at, "shank", within=SHANK),
        overall_length=sheet.length(entry.overall_length, *at, "overall_length", within=OVERALL),
        flutes=entry.flutes,
        source=sheet.where.key(*at),
        angle=sheet.optional_number(entry.angle, *at, "angle", within=ANGLE, unit=" degrees"),
        corner_radius=_corner_radius(sheet, entry, kind, diameter, at),
        tip=sheet.length(entry.tip, *at, "tip", within=ValueRange(0.0, 20.0)),
        centre_cutting=kind not in NO_EDGE_AT_THE_CENTRE if entry.centre_cutting is None else entry.centre_cutting,
        substrate=entry.substrate,
        max_speed=sheet.optional_number(entry.max_speed, *at, "max_speed", within=MARKED_SPEED, unit=" min-1"),
        note=entry.note,
    )
    _check_cutter(sheet, cutter, at)
    return cutter


def _corner_radius(sheet: ResolveContext, entry: CutterEntry, kind: CutterKind, diameter: float, at: Place) -> float:
    if entry.corner_radius is None:
        if kind is CutterKind.BOWL:
            message = msg("The key 'corner_radius' is missing in '{place}': a bowl cutter has one.", place=label(at))
            sheet.report(kinds.MISSING_KEY, at, message, msg("Add `corner_radius:`."), key=True)
        return diameter / 2 if kind is CutterKind.BALL_NOSE else 0.0
    radius = sheet.length(entry.corner_radius, *at, "corner_radius", within=ValueRange(0.0, 60.0))
    if radius > diameter / 2 * (1 + 1e-6):
        message = msg(
            "{place}: {radius} is more than half the diameter.",
            place=label((*at, "corner_radius")),
            radius=sheet.show(radius),
        )
        sheet.report(kinds.BAD_NUMBER, (*at, "corner_radius"), message)
    elif kind is CutterKind.BALL_NOSE and not math.isclose(radius, diameter / 2, rel_tol=0.02):
        message = msg(
            "{place}: a ball nose has half its diameter, {diameter}.",
            place=label((*at, "corner_radius")),
            diameter=sheet.show(diameter / 2),
        )
        sheet.report(kinds.BAD_NUMBER, (*at, "corner_radius"), message, msg("Leave it out, or write `kind: bowl`."))
    return radius


def _check_cutter(sheet: ResolveContext, cutter: Cutter, at: Place) -> None:
    show = sheet.show
    if cutter.cutting_length >= cutter.overall_length:
        message = msg(
            "{place}: {cutting_length} is not less than the overall length, {overall_length}.",
            place=label((*at, "cutting_length")),
            cutting_length=show(cutter.cutting_length),
            overall_length=show(cutter.overall_length),
        )
        sheet.report(kinds.BAD_NUMBER, (*at, "cutting_length"), message, msg("Some of it must go into the collet."))
    if cutter.kind is CutterKind.V_BIT and cutter.angle is None:
        message = msg("The key 'angle' is missing in '{place}': a V-bit has an included angle.", place=label(at))
        sheet.report(kinds.MISSING_KEY, at, message, msg("Add `angle:`, in degrees."), key=True)
    if cutter.angle is not None and cutter.kind not in (CutterKind.V_BIT, CutterKind.DRILL):
        message = msg("{place}: only V-bits and drills have an angle.", place=label((*at, "angle")))
        sheet.report(kinds.WRONG_VALUE, (*at, "angle"), message, msg("Remove it."))
    if cutter.tip and (cutter.kind is not CutterKind.V_BIT or cutter.tip >= cutter.diameter):
        message = msg(
            "{place}: only a V-bit has a flat tip, and it is smaller than the diameter.", place=label((*at, "tip"))
        )
        sheet.report(kinds.WRONG_VALUE, (*at, "tip"), message, msg("Remove it or make it smaller."))


def stock_title(material: Material, nominal: float, unit: str) -> Message:
    """Return the title of a stock that has none of its own, such as 'Birch plywood, 18 mm (0.709 in)'."""
    metric, inches = (
        Quantity(nominal, "", 1 if unit == "in" else 2),
        Quantity(nominal / MM_PER_INCH, "", 3, padded=True),
    )
    if unit == "in":
        return msg("{material}, {inches} in ({mm} mm)", material=term(material.name), inches=inches, mm=metric)
    return msg("{material}, {mm} mm ({inches} in)", material=term(material.name), inches=inches, mm=metric)


def cutter_name(kind: CutterKind, diameter: float, flutes: int, unit: str) -> Message:
    """Return a cutter's name in words, such as '6.35 mm up-cut, 2 flutes'; sizes stay in the unit they are sold by."""
    if math.isnan(diameter):
        return term(kind.value)
    word = term("V-bit") if kind is CutterKind.V_BIT else term(kind.value)
    if unit == "in":
        return msg_many(
            "{diameter} in {kind}, 1 flute",
            "{diameter} in {kind}, {count} flutes",
            flutes,
            diameter=Quantity(diameter / MM_PER_INCH, "", 4),
            kind=word,
        )
    return msg_many(
        "{diameter} mm {kind}, 1 flute",
        "{diameter} mm {kind}, {count} flutes",
        flutes,
        diameter=Quantity(diameter, "", 3),
        kind=word,
    )


def resolve_setups(
    sheet: ResolveContext, definition: Definition, parts: Iterable[Part], workshop: Workshop
) -> tuple[Setup, ...]:
    """Return a setup for every piece of stock and face that is cut, with the kit's hold-downs where none is written."""
    default = _hold_downs(sheet, definition.hold_down, ("hold_down",), workshop)
    board = spoilboard().thickness.value
    if definition.spoilboard is not None:
        board = sheet.length(definition.spoilboard, "spoilboard", within=_SPOILBOARD)
    used = {(part.stock.key, operation.face) for part in parts for operation in part.operations}
    for key in definition.setups:
        sheet.look_up(definition.stock, key, msg("stock"), "setups", key)
    found = []
    for key in definition.stock:
        written = definition.setups.get(key)
        for face in Face:
            entry: SetupEntry | None = getattr(written, face.value) if written else None
            at: Place = ("setups", key, face.value)
            if entry is not None and (key, face) not in used:
                message = msg("{place}: nothing is cut from this face.", place=label(at))
                sheet.report(kinds.ENTRY_UNUSED, at, message, msg("Remove it."), key=True)
            setup = replace(_setup(sheet, entry or SetupEntry(), key, face, default, workshop), spoilboard=board)
            if (key, face) in used:
                found.append(setup)
    return tuple(found)


def _setup(
    sheet: ResolveContext,
    entry: SetupEntry,
    key: str,
    face: Face,
    default: tuple[HoldDown, ...],
    workshop: Workshop,
) -> Setup:
    at: Place = ("setups", key, face.value)
    holds = _hold_downs(sheet, entry.hold_down, (*at, "hold_down"), workshop) or default
    source = sheet.where.of(*at) if at in sheet.where.values else sheet.where.key("stock", key)
    fasteners, clamps = sheet.points(entry.fasteners, *at, "fasteners"), sheet.points(entry.clamps, *at, "clamps")
    return Setup(key, face, holds, fasteners, clamps, source, entry.note)


def _hold_downs(sheet: ResolveContext, names: list[str], at: Place, workshop: Workshop) -> tuple[HoldDown, ...]:
    found = [sheet.entry(workshop.hold_downs, name, HOLD_DOWNS, *at, index) for index, name in enumerate(names)]
    return tuple(hold for hold in found if hold is not None)
