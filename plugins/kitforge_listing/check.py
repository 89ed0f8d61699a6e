"""What a cover would show that does not sell the piece: loose parts, or a wall piece on a table."""

from __future__ import annotations

from collections.abc import Iterator

from kitforge.model.facts import PieceUse
from kitforge.model.findings import Finding
from kitforge.model.kit import Kit
from kitforge.model.messages import msg
from kitforge_listing.kinds import COVER_LOOSE, COVER_LYING


def check_cover(kit: Kit) -> Iterator[Finding]:
    """Yield what the cover would show wrongly."""
    if kit.together or not kit.parts:
        return
    copies = sum(part.count for part in kit.parts)
    # Two equal signs are a set; different parts that are put together are one piece.
    if len({part for step in kit.assembly for part in step.parts}) > 1:
        yield COVER_LOOSE.new(
            msg("The cover shows {copies} loose parts, for nothing says where they stand.", copies=copies),
            source=kit.source,
            advice=msg("Say it with `together`, and the cover shows the finished piece."),
        )
    elif copies == 1 and PieceUse.WALL in kit.info.uses and kit.pictures.pose is None:
        yield COVER_LYING.new(
            msg("The piece hangs on a wall in use, but the cover shows it lying on a table."),
            source=kit.source,
            advice=msg(
                "Write `pictures: {pose: upright}` if the y of its drawing runs up the wall, else `pose: lying`."
            ),
        )
