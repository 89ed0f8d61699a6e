"""What the author should state of the finished piece and does not, and statements that do not go together."""

from __future__ import annotations

from collections.abc import Iterator

from kitforge.model.facts import ELECTRIC, Hazard, PieceUse
from kitforge.model.findings import Finding, Severity
from kitforge.model.kit import Hardware, Kit, Operation, OperationKind, Part
from kitforge.model.messages import listed, msg
from kitforge.model.needs import PassageNeed, SeatNeed
from kitforge.planning.small_parts import small_parts
from kitforge_needs import kinds
from kitforge_needs.hints import suggested

_HOLLOW = (OperationKind.POCKET, OperationKind.DISH, OperationKind.GROOVE)
_GOES_WITH = {Hazard.WALL_FIXING: PieceUse.WALL, Hazard.FOOD_CONTACT: PieceUse.FOOD}
_SWALLOWED = (Hazard.SMALL_PART, Hazard.MAGNET, Hazard.BUTTON_CELL)


def check_statements(kit: Kit) -> Iterator[Finding]:
    """Yield what is not stated, and what disagrees."""
    yield from (_unknown_hazard(thing) for thing in kit.hardware if thing.hazards is None)
    if not kit.info.uses:
        yield _unknown_use(kit)
    else:
        yield from _disagreements(kit)
    yield from _passages(kit)
    if PieceUse.CHILDREN in kit.info.uses:
        yield from _for_children(kit)


def _unknown_hazard(thing: Hardware) -> Finding:
    names = [hazard.value for hazard in Hazard if hazard is not Hazard.NONE]
    hints = [hazard.value for hazard in suggested(f"{thing.item} {thing.use or ''} {thing.note or ''}")]
    advice = msg("Write `hazard:` with one or more of {names}; or `hazard: none`.", names=listed(names))
    if hints:
        advice = msg(
            "Write `hazard:` with one or more of {names}; or `hazard: none`. Its words may mean {hints}; you know.",
            names=listed(names),
            hints=listed(hints, either=True),
        )
    message = msg(
        "It is not stated which dangers '{thing}' brings into the piece, so the booklet cannot warn of them.",
        thing=thing.item,
    )
    return kinds.HAZARD_UNKNOWN.new(message, advice, source=thing.source)


def _unknown_use(kit: Kit) -> Finding:
    message = msg(
        "It is not stated where and how the finished piece is used; the booklet reckons with a heated room and warns "
        "of nothing that only a use brings."
    )
    advice = msg("Write `use:` under `kit:` with one or more of {uses}.", uses=listed([use.value for use in PieceUse]))
    return kinds.USE_UNKNOWN.new(message, advice, source=kit.source)


def _disagreements(kit: Kit) -> Iterator[Finding]:
    for hazard, use in _GOES_WITH.items():
        for thing in kit.hardware:
            if thing.brings(hazard) and use not in kit.info.uses:
                yield kinds.USE_DISAGREES.new(
                    msg(
                        "'{thing}' has the hazard '{hazard}', but the use of the piece does not name '{use}'.",
                        thing=thing.item,
                        hazard=hazard.value,
                        use=use.value,
                    ),
                    msg("Add '{use}' to `use:` under `kit:`, or mend the hazard.", use=use.value),
                    source=thing.source,
                )


def _passages(kit: Kit) -> Iterator[Finding]:
    """Ask an electric piece with a recess for the way of its cable; one on batteries only if no seat is stated."""
    electric = [thing for thing in kit.hardware if thing.brings(*ELECTRIC)]
    if not electric or any(isinstance(need, PassageNeed) for need in kit.needs):
        return
    plugged = any(thing.brings(Hazard.MAINS) for thing in electric)
    if not plugged and any(isinstance(need, SeatNeed) for need in kit.needs):
        return
    for part, recess in _first_recess(kit):
        yield kinds.NO_PASSAGE.new(
            msg(
                "'{thing}' is electric, and '{part}' has a recess ('{recess}'), but no passage for a cable is stated, "
                "so nothing proves that one fits.",
                thing=electric[0].item,
                part=part.title,
                recess=recess.title,
            ),
            msg(
                "Add a passage to `needs:`, such as `passage: {{part: {part}, from: {name}, to: outside, width: 6 mm, "
                "height: 6 mm}}`; state in `needs:` what the recess holds where no cable leaves it.",
                part=part.key,
                name=recess.name,
            ),
            source=electric[0].source,
            part=part.key,
            operation=recess.name,
            severity=None if plugged else Severity.NOTE,
        )


def _first_recess(kit: Kit) -> Iterator[tuple[Part, Operation]]:
    for part in kit.parts:
        for operation in part.operations:
            if operation.does in _HOLLOW and not operation.through:
                yield part, operation
                return


def _for_children(kit: Kit) -> Iterator[Finding]:
    advice = msg("Say from which age it is meant, fix what can come loose, and look up the toy law where you sell it.")
    for thing in kit.hardware:
        if thing.brings(*_SWALLOWED):
            message = msg("The piece is for children, and '{thing}' can be swallowed.", thing=thing.item)
            yield kinds.FOR_CHILDREN.new(message, advice, source=thing.source)
        if thing.brings(Hazard.MAINS, Hazard.HEAT):
            message = msg("The piece is for children, and '{thing}' can burn or shock them.", thing=thing.item)
            yield kinds.FOR_CHILDREN.new(message, advice, source=thing.source)
    for part in small_parts(kit):
        message = msg("The piece is for children, and '{part}' fits the small-parts test cylinder.", part=part.title)
        yield kinds.FOR_CHILDREN.new(message, advice, source=part.source, part=part.key)
