"""The outline of each part as a line: closed, simple, made of sound pieces."""

from __future__ import annotations

from collections.abc import Iterator

from kitforge.model.findings import Finding
from kitforge.model.kit import Part
from kitforge.model.messages import area_mm2, mm, msg, point_mm
from kitforge.model.path import Path
from kitforge_outline import kinds
from kitforge_outline.faults import TINY, gap_of, line_faults, short_pieces
from kitforge_outline.words import size, times

# An outline that encloses less than this is a line drawn there and back, mm2: common practice, no source.
LEAST_AREA = 1.0


def check_outline(part: Part) -> Iterator[Finding]:
    """Yield what is wrong with the outline of a part as a line."""
    path = part.outline
    if not path.closed:
        yield _open(part, path)
    yield from _pieces(part, path)
    faults = line_faults([path])
    if faults.overlap:
        count, at, length = faults.overlap
        yield kinds.OUTLINE_OVERLAP.new(
            msg(
                "Pieces of the outline lie on one another {count}, over {length} in all, first near {at}.",
                count=times(count),
                length=size(length),
                at=point_mm(at),
            ),
            msg("Delete the piece that is drawn twice and join its neighbours end to end."),
            source=part.outline_source,
            part=part.key,
            at=at,
        )
    if faults.crossing:
        yield kinds.OUTLINE_CROSSING.new(
            msg(
                "The outline meets or crosses itself {number}, first at {at}.",
                number=times(faults.crossing.number),
                at=point_mm(faults.crossing.at),
            ),
            msg("Trim the pieces where they cross, so that the outline is one simple loop."),
            source=part.outline_source,
            part=part.key,
            at=faults.crossing.at,
        )
    elif path.closed and not faults.overlap and abs(path.area) < LEAST_AREA:
        yield kinds.OUTLINE_NO_AREA.new(
            msg("The outline encloses {area}, so there is no part.", area=area_mm2(abs(path.area), 3)),
            msg("Draw the edge of the part as a closed line round it."),
            source=part.outline_source,
            part=part.key,
            at=path.start,
        )


def _open(part: Part, path: Path) -> Finding:
    gap = gap_of(path)
    return kinds.OUTLINE_OPEN.new(
        msg(
            "The outline does not close: there is a gap of {gap} between {at} and {at_2}.",
            gap=size(gap),
            at=point_mm(path.end),
            at_2=point_mm(path.start),
        ),
        msg("Join the two ends, or add the piece that is missing between them."),
        source=part.outline_source,
        part=part.key,
        at=path.end,
    )


def _pieces(part: Part, path: Path) -> Iterator[Finding]:
    zero, tiny = short_pieces(path)
    if zero:
        yield kinds.PIECE_ZERO.new(
            msg(
                "The outline has pieces without length {number}, first at {at}.",
                number=times(zero.number),
                at=point_mm(zero.at),
            ),
            msg("Delete the doubled points."),
            source=part.outline_source,
            part=part.key,
            at=zero.at,
        )
    if tiny:
        yield kinds.PIECE_TINY.new(
            msg(
                "The outline has pieces under {limit} long {number}, first one of {size} at {at}.",
                limit=mm(TINY),
                number=times(tiny.number),
                size=size(tiny.size),
                at=point_mm(tiny.at),
            ),
            msg("Join them with their neighbours; on such pieces a machine slows down and may leave a mark."),
            source=part.outline_source,
            part=part.key,
            at=tiny.at,
        )
