"""The outline of each part as a line: closed, simple, made of sound pieces."""

from __future__ import annotations

from collections.abc import Iterator

from kitforge.findings import Finding
from kitforge.geometry.path import Path
from kitforge.kit import Part
from kitforge_outline import kinds
from kitforge_outline.faults import gap_of, line_faults, short_pieces
from kitforge_outline.words import place, size, times

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
        yield kinds.OUTLINE_OVERLAP.found(
            f"Pieces of the outline lie on one another {times(count)}, over {size(length)} in all, first "
            f"near {place(at)}.",
            "Delete the piece that is drawn twice and join its neighbours end to end.",
            source=part.outline_source, part=part.key, at=at,
        )  # fmt: skip
    if faults.crossing:
        yield kinds.OUTLINE_CROSSING.found(
            f"The outline meets or crosses itself {times(faults.crossing.number)}, first at "
            f"{place(faults.crossing.at)}.",
            "Trim the pieces where they cross, so that the outline is one simple loop.",
            source=part.outline_source, part=part.key, at=faults.crossing.at,
        )  # fmt: skip
    elif path.closed and not faults.overlap and abs(path.area) < LEAST_AREA:
        yield kinds.OUTLINE_NO_AREA.found(
            f"The outline encloses {abs(path.area):.3f} mm², so there is no part.",
            "Draw the edge of the part as a closed line round it.",
            source=part.outline_source, part=part.key, at=path.start,
        )  # fmt: skip


def _open(part: Part, path: Path) -> Finding:
    gap = gap_of(path)
    return kinds.OUTLINE_OPEN.found(
        f"The outline does not close: there is a gap of {size(gap)} between {place(path.end)} and {place(path.start)}.",
        "Join the two ends, or add the piece that is missing between them.",
        source=part.outline_source, part=part.key, at=path.end,
    )  # fmt: skip


def _pieces(part: Part, path: Path) -> Iterator[Finding]:
    zero, tiny = short_pieces(path)
    if zero:
        yield kinds.PIECE_ZERO.found(
            f"The outline has pieces without length {times(zero.number)}, first at {place(zero.at)}.",
            "Delete the doubled points.",
            source=part.outline_source, part=part.key, at=zero.at,
        )  # fmt: skip
    if tiny:
        yield kinds.PIECE_TINY.found(
            f"The outline has pieces under 0.02 mm long {times(tiny.number)}, first one of {size(tiny.size)} at "
            f"{place(tiny.at)}.",
            "Join them with their neighbours; on such pieces a machine slows down and may leave a mark.",
            source=part.outline_source, part=part.key, at=tiny.at,
        )  # fmt: skip
