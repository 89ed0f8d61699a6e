"""Whether a V-bit gets into the strokes of an engraving, and fills them."""

from __future__ import annotations

import math
from collections.abc import Iterator

from shapely import maximum_inscribed_circle

from kitforge.geometry.crowded import buffered
from kitforge.lettering.engrave import Engraving
from kitforge.lettering.typeface import LetteringError
from kitforge.model.findings import Finding, Severity
from kitforge.model.kit import CutterKind, OperationKind
from kitforge.model.messages import area_mm2, mm, msg, point_mm
from kitforge.planning.areas import filled, multi
from kitforge.planning.engraving import engraving_of, reach_of
from kitforge_cutterfit import kinds
from kitforge_cutterfit.uses import CutterUse

LEAST_WIDE = 0.1
"""What stays in the middle of strokes on less than this, mm², is not worth a word."""


def check_strokes(use: CutterUse) -> Iterator[Finding]:
    """Yield strokes too thin for the tip of the bit, and strokes too wide for its cone or for the greatest depth."""
    if use.operation.does is not OperationKind.ENGRAVE or use.cutter.kind is not CutterKind.V_BIT:
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


def _thin(use: CutterUse, engraving: Engraving, x: float, y: float, width: float) -> Finding:
    return use.found(
        kinds.STROKE_TOO_THIN,
        msg(
            "{name}: strokes get as thin as {width} near {at}, and the tip of {name_2} alone is {tip} wide: {what}.",
            name=use.name,
            width=mm(width),
            at=point_mm((x, y)),
            name_2=use.cutter.name,
            tip=mm(use.cutter.tip),
            what=msg("strokes break off there") if engraving.chains else msg("nothing is engraved"),
        ),
        msg("Make the letters larger or bolder, or use a V-bit with a tip below {width}.", width=mm(width)),
        at=(x, y),
        severity=None if engraving.chains else Severity.ERROR,
    )


def _nothing(use: CutterUse) -> Finding:
    return use.found(
        kinds.STROKE_TOO_THIN,
        msg(
            "{name}: no place is wider than the tip of {name_2}, {tip}, so that nothing is engraved.",
            name=use.name,
            name_2=use.cutter.name,
            tip=mm(use.cutter.tip),
        ),
        msg("Make the shapes larger, or use a V-bit with a smaller tip."),
        severity=Severity.ERROR,
    )


def _wide(use: CutterUse, engraving: Engraving) -> Finding:
    cutter, operation = use.cutter, use.operation
    reach = reach_of(cutter, operation.greatest)
    area = filled(operation.shapes)
    inside = max(
        (maximum_inscribed_circle(stroke, tolerance=0.05) for stroke in multi([buffered(area, -reach)]).geoms),
        key=lambda radius: radius.length,
    )
    x, y = inside.coords[0]
    widest = 2 * (reach + inside.length)
    needed = (widest - cutter.tip) / 2 / math.tan(math.radians(cutter.angle or 90.0) / 2)
    cone = widest <= cutter.diameter
    return use.found(
        kinds.STROKE_TOO_WIDE,
        msg(
            "{name}: strokes are up to {widest} wide near {at}, and {name_2} fills {reach} at {deepest} "
            "depth: their sides are cut, and {area} between the two ways stay higher.",
            name=use.name,
            widest=mm(widest),
            at=point_mm((x, y)),
            name_2=cutter.name,
            reach=mm(2 * reach),
            deepest=mm(engraving.deepest),
            area=area_mm2(engraving.wide, 1),
        ),
        msg("Allow a depth of {needed}, or make the letters smaller or thinner.", needed=mm(needed))
        if cone
        else msg("Use a bit of at least {widest}, or make the letters smaller or thinner.", widest=mm(widest)),
        at=(x, y),
    )
