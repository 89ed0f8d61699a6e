"""What acts on one piece of a stock: which hold-down, over which area or by how many fasteners, and which bridges."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from enum import StrEnum

from shapely import contains_xy
from shapely.geometry.base import BaseGeometry

from kitforge.cutting.hold import Held
from kitforge.model.holds import FastenerPlace
from kitforge.model.kit import Stock
from kitforge.model.messages import Message, area_mm2, msg
from kitforge.model.pieces import Division, WoodPiece
from kitforge.model.plan import PlannedSetup
from kitforge.model.settings import COMMON
from kitforge.model.workshop import HoldDown, HoldKind
from kitforge.planning.fasteners import FASTENED, fastener_length

# Tape covers about half of the underside, cups a quarter; four wedges press a piece between fences. Common practice, no
# source.
COVERAGE = 0.5
CUPS = 0.25
WEDGES = 4
TAPES = (HoldKind.TAPE_AND_GLUE, HoldKind.DOUBLE_SIDED_TAPE)
# A piece reaches an edge of the stock that it comes this near to, mm.
_AT_EDGE = 0.5


def acting(hold: HoldDown, pieces: Iterable[WoodPiece], stock: Stock, places: Sequence[FastenerPlace]) -> Held | None:
    """Return what of a hold-down acts on pieces that hang together, None where nothing of it does.

    Tape and vacuum act under the pieces' own area, fasteners and clamps where they stand in one, fences on a piece that
    reaches from one edge of the stock to the opposite one.
    """
    outlines = [piece.outline for piece in pieces if piece.outline is not None]
    area = sum(outline.area for outline in outlines)
    if hold.kind in TAPES:
        return Held(COVERAGE * area, 0, f"tape on {COVERAGE:g} of the piece; {COMMON}")
    if hold.kind is HoldKind.VACUUM:
        share, why = (CUPS, f"cups under {CUPS:g} of the piece; {COMMON}") if hold.cups else (1.0, "the plan")
        enough = hold.least_area is None or area >= hold.least_area.value
        return Held(share * area, 0, why) if enough else None
    if hold.kind is HoldKind.EDGE_FENCES:
        spans = any(_spans(outline, stock) for outline in outlines)
        return Held(area, WEDGES, "the plan", COMMON) if spans else None
    count = sum(any(_stands_in(place, outline) for outline in outlines) for place in places_for(hold, places))
    return Held(area, count, "the plan", "the plan") if count else None


def places_for(hold: HoldDown, places: Iterable[FastenerPlace]) -> list[FastenerPlace]:
    """Return the places that belong to a hold-down."""
    return [place for place in places if place.kind == hold.kind.value]


def _stands_in(place: FastenerPlace, outline: BaseGeometry) -> bool:
    return bool(contains_xy(outline, place.x, place.y))


def _spans(outline: BaseGeometry, stock: Stock) -> bool:
    left, bottom, right, top = outline.bounds
    along = left < _AT_EDGE and right > stock.length - _AT_EDGE
    return along or (bottom < _AT_EDGE and top > stock.width - _AT_EDGE)


def offered(setup: PlannedSetup) -> list[HoldDown]:
    """Return the hold-downs of a setup that there is a place for and that suit its cuts, best first."""
    return [hold for hold in setup.setup.hold_downs if refused(setup, hold) is None]


class Refused(StrEnum):
    """Why a hold-down is not offered in a setup."""

    NO_PLACE = "no place"
    NO_LENGTH = "no length"
    TOO_SMALL = "too small"
    GIVES = "gives"
    CUPS = "cups"
    LEAVES_LOOSE = "leaves loose"


def refused(setup: PlannedSetup, hold: HoldDown) -> Refused | None:
    """Return why a hold-down is not offered in a setup, None where it is.

    What gives lets the work move while it is cut out. No place is known for a cup that a cut through the stock misses.
    """
    divided = any(len(division.pieces) > 1 or division.opened for division in setup.divisions)
    if divided and hold.gives:
        return Refused.GIVES
    if divided and hold.cups:
        return Refused.CUPS
    if hold.kind in FASTENED and fastener_length(hold, setup) is None:
        return Refused.NO_LENGTH
    if acting(hold, frame_group(setup), setup.stock, setup.fasteners) is not None:
        return None
    return Refused.TOO_SMALL if hold.kind is HoldKind.VACUUM else Refused.NO_PLACE


def reason(hold: HoldDown, why: Refused) -> Message:
    """Return a reason for which a hold-down is not offered in words, as the rest of a sentence."""
    if why is Refused.GIVES:
        return msg("it gives, so the work moves while a cut goes through it.")
    if why is Refused.NO_LENGTH:
        return msg("no length that is sold goes through the stock and ends within the spoilboard.")
    if why is Refused.CUPS:
        return msg("a cut goes through the stock, and over a cup it would let the air in at once.")
    if why is Refused.NO_PLACE:
        return msg("there is no place for it that is clear of every cut and part.")
    if why is Refused.LEAVES_LOOSE:
        return msg("a piece that is cut free would lie loose with it.")
    least = hold.least_area.value if hold.least_area else 0.0
    return msg("it does not hold a piece of less than {least}.", least=area_mm2(least, 0))


def further(setup: PlannedSetup) -> list[tuple[HoldDown, Refused | None]]:
    """Return the hold-downs of a setup after the one of first choice, with why they are not offered, None if they are.

    One that leaves loose what the first keeps is none to choose instead.
    """
    first = setup.setup.hold_downs[:1]
    kept = [piece for _division, piece in loose_pieces(setup, first[0])] if first else []
    return [(hold, refused(setup, hold) or _leaves_loose(setup, hold, kept)) for hold in setup.setup.hold_downs[1:]]


def _leaves_loose(setup: PlannedSetup, hold: HoldDown, before: Sequence[WoodPiece]) -> Refused | None:
    loose = [piece for _division, piece in loose_pieces(setup, hold) if not piece.small_waste]
    more = any(not any(_same(piece, other) for other in before) for piece in loose)
    return Refused.LEAVES_LOOSE if more else None


def frame_group(setup: PlannedSetup) -> tuple[WoodPiece, ...]:
    """Return what counts as the stock at the end of a setup, when least of it is left, and all that hangs on to it."""
    if not setup.divisions:
        return ()
    last = setup.divisions[-1]
    frame = frame_of(last)
    return last.group(frame) if frame else last.pieces


def frame_of(division: Division) -> WoodPiece | None:
    """Return the piece that counts as the stock itself: the only one, else the largest one that belongs to no part."""
    if len(division.pieces) == 1:
        return division.pieces[0]
    return max((piece for piece in division.pieces if piece.part is None), key=lambda one: one.area, default=None)


def is_held(setup: PlannedSetup, hold: HoldDown | None, division: Division, piece: WoodPiece) -> bool:
    """Return whether anything keeps a piece: a hold-down that acts on it, or on one that it hangs together with.

    What hangs on to the stock itself is as well held as that; whether it is, the check of the hold-downs says.
    """
    frame = frame_of(division)
    if frame is not None and frame in division.group(piece):
        return True
    return hold is not None and acting(hold, division.group(piece), setup.stock, setup.fasteners) is not None


def loose_pieces(setup: PlannedSetup, hold: HoldDown | None) -> list[tuple[Division, WoodPiece]]:
    """Return the pieces that nothing keeps, each once, after the step that cuts it loose."""
    found: list[tuple[Division, WoodPiece]] = []
    before: list[WoodPiece] = []
    for division in setup.divisions:
        loose = [piece for piece in division.pieces if not is_held(setup, hold, division, piece)]
        found += [(division, piece) for piece in loose if not any(_same(piece, other) for other in before)]
        before = loose
    return found


def _same(piece: WoodPiece, other: WoodPiece) -> bool:
    near = abs(piece.x - other.x) + abs(piece.y - other.y) < 1.0
    return near and abs(piece.area - other.area) < 0.01 * other.area
