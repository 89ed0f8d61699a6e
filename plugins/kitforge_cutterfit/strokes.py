"""Whether a V-bit gets into the strokes of an engraving, and fills them."""

from __future__ import annotations

import math
from collections.abc import Iterator

from kitforge.findings import Finding, Severity
from kitforge.kit import CutterKind, Doing
from kitforge.lettering.engrave import Engraving
from kitforge.lettering.typeface import LetteringError
from kitforge.planning.areas import filled, multi
from kitforge.planning.engraving import engraving_of, reach_of
from kitforge.units import format_mm
from kitforge_cutterfit import kinds
from kitforge_cutterfit.wishes import Use, place

LEAST_WIDE = 0.1
"""What stays in the middle of strokes on less than this, mm², is not worth a word."""


def check_strokes(use: Use) -> Iterator[Finding]:
    """Yield strokes too thin for the tip of the bit, and strokes too wide for its cone or for the greatest depth."""
    if use.operation.does is not Doing.ENGRAVE or use.cutter.kind is not CutterKind.V_BIT:
        return
    try:
        engraving = engraving_of(use.operation.shapes, use.cutter, use.operation.greatest)
    except (LetteringError, ValueError):
        return  # open and crossing shapes are findings of another check
    if engraving.too_narrow is not None:
        yield _thin(use, engraving, *engraving.too_narrow)
    elif not engraving.chains:
        yield _nothing(use)
    if engraving.wide > LEAST_WIDE:
        yield _wide(use, engraving)


def _thin(use: Use, engraving: Engraving, x: float, y: float, width: float) -> Finding:
    tip = format_mm(use.cutter.tip)
    return use.found(
        kinds.STROKE_TOO_THIN,
        f"{use.name}: strokes get as thin as {format_mm(width)} near {place((x, y))}, and the tip of "
        f"{use.cutter.name} alone is {tip} wide: "
        f"{'strokes break off there' if engraving.chains else 'nothing is engraved'}.",
        f"Make the letters larger or bolder, or use a V-bit with a tip below {format_mm(width)}.",
        at=(x, y),
        severity=None if engraving.chains else Severity.ERROR,
    )


def _nothing(use: Use) -> Finding:
    return use.found(
        kinds.STROKE_TOO_THIN,
        f"{use.name}: no place is wider than the tip of {use.cutter.name}, {format_mm(use.cutter.tip)}, so that "
        "nothing is engraved.",
        "Make the shapes larger, or use a V-bit with a smaller tip.",
        severity=Severity.ERROR,
    )


def _wide(use: Use, engraving: Engraving) -> Finding:
    from shapely import maximum_inscribed_circle

    cutter, operation = use.cutter, use.operation
    reach = reach_of(cutter, operation.greatest)
    area = filled(operation.shapes)
    inside = max(
        (maximum_inscribed_circle(stroke, tolerance=0.05) for stroke in multi([area.buffer(-reach)]).geoms),
        key=lambda radius: radius.length,
    )
    x, y = inside.coords[0]
    widest = 2 * (reach + inside.length)
    needed = (widest - cutter.tip) / 2 / math.tan(math.radians(cutter.angle or 90.0) / 2)
    cone = widest <= cutter.diameter
    return use.found(
        kinds.STROKE_TOO_WIDE,
        f"{use.name}: strokes are up to {format_mm(widest)} wide near {place((x, y))}, and {cutter.name} fills "
        f"{format_mm(2 * reach)} at {format_mm(engraving.deepest)} depth: their sides are cut, and "
        f"{engraving.wide:.1f} mm² between the two ways stay higher.",
        f"Allow a depth of {format_mm(needed)}, or make the letters smaller or thinner."
        if cone
        else f"Use a bit of at least {format_mm(widest)}, or make the letters smaller or thinner.",
        at=(x, y),
    )
