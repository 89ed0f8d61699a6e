"""Pieces on one module: every piece is a whole number of pitches less the play, and the mixes fill the field exactly.

A piece that is nowhere larger than its modules lies wholly within them, so pieces laid module by module never overlap:
what is left to prove is that the modules of a mix can be laid on those of the field without a gap, which a search does.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kitforge.model.findings import Finding
from kitforge.model.kit import Kit
from kitforge.model.messages import Message, listed, mm, msg
from kitforge.model.needs import ModuleNeed
from kitforge.model.plan import Plan
from kitforge_needs import kinds
from kitforge_needs.words import purpose

EXACT = 0.01
"""How far a size may lie beside its module, mm: what a drawing is exact to."""
MOST_MODULES = 1_000
"""Modules of a field."""
MOST_TRIES = 20_000
"""Pieces laid in the search for one mix; a field that needs more is told to be undecided."""

Modules = tuple[int, int]
_AXES = "xy"


def prove_module(kit: Kit, _plan: Plan, need: ModuleNeed) -> Iterator[Finding]:
    """Yield the pieces that are off their module, a field that is none, mixes that do not fill it; or that all do."""
    found = list(_pieces_off(kit, need))
    field, said = _field(need)
    found += [_error(need, one) for one in said]
    if not found:
        found = [_error(need, one) for one in _mixes_off(kit, need, field)]
    yield from found
    if not found:
        yield _met(kit, need, field)


def _error(need: ModuleNeed, said: tuple[Message, Message], part: str | None = None) -> Finding:
    message, advice = said
    return kinds.MODULE.new(message, advice, source=need.source, part=part or need.parts[0])


def _extents(kit: Kit, part: str) -> tuple[float, float]:
    box = kit.part(part).outline.bounds
    return box.width, box.height


def modules_of(kit: Kit, need: ModuleNeed, part: str) -> Modules:
    """Return how many modules a piece takes along x and y, one at least; one along an axis that has none."""
    extents = _extents(kit, part)
    counts = [
        1 if pitch is None else max(1, round((extent + need.play) / pitch))
        for extent, pitch in zip(extents, need.pitch, strict=True)
    ]
    return counts[0], counts[1]


def _pieces_off(kit: Kit, need: ModuleNeed) -> Iterator[Finding]:
    for key in need.parts:
        sides = zip(_AXES, _extents(kit, key), modules_of(kit, need, key), need.pitch, strict=True)
        for axis, extent, count, pitch in sides:
            if pitch is None:
                continue
            wanted = count * pitch - need.play
            if abs(extent - wanted) > EXACT:
                yield _error(need, _off(kit, need, key, axis, extent, count, pitch), key)


def _off(
    kit: Kit, need: ModuleNeed, key: str, axis: str, extent: float, count: int, pitch: float
) -> tuple[Message, Message]:
    wanted = count * pitch - need.play
    message = msg(
        "'{title}' is {extent} along {axis}, and {count} x {pitch} less {play} is {wanted}{purpose}.",
        title=kit.part(key).title, extent=mm(extent), axis=axis, count=count, pitch=mm(pitch), play=mm(need.play),
        wanted=mm(wanted), purpose=purpose(need),
    )  # fmt: skip
    if extent > wanted:
        return message, msg("Make it {by} smaller.", by=mm(extent - wanted))
    return message, msg("Make it {by} larger.", by=mm(wanted - extent))


def _field(need: ModuleNeed) -> tuple[Modules, list[tuple[Message, Message]]]:
    """Return how many modules the field has along x and y, and what is wrong with it."""
    counts, said = [1, 1], []
    for index, (size, pitch) in enumerate(zip(need.field, need.pitch, strict=True)):
        if size is None or pitch is None:
            continue
        counts[index] = max(1, round(size / pitch))
        if abs(size - counts[index] * pitch) > EXACT:
            message = msg(
                "The field of {size} along {axis} is no whole number of modules of {pitch}{purpose}.",
                size=mm(size), axis=_AXES[index], pitch=mm(pitch), purpose=purpose(need),
            )  # fmt: skip
            said.append((message, msg("Make it {wanted}.", wanted=mm(counts[index] * pitch))))
    if counts[0] * counts[1] > MOST_MODULES:
        message = msg("The field has more than {most} modules.", most=MOST_MODULES)
        said.append((message, msg("Prove a smaller field.")))
    return (counts[0], counts[1]), said


def _mixes_off(kit: Kit, need: ModuleNeed, field: Modules) -> Iterator[tuple[Message, Message]]:
    for mix in need.mixes:
        pieces = [(modules_of(kit, need, part), count) for part, count in mix]
        filled, whole = sum(a * b * count for (a, b), count in pieces), field[0] * field[1]
        if filled != whole:
            message = msg(
                "{mix} come to {filled} modules, and the field has {whole}{figures}{purpose}.",
                mix=_said(kit, mix), filled=filled, whole=whole, figures=_lengths(need, filled, whole),
                purpose=purpose(need),
            )  # fmt: skip
            yield message, msg("Add pieces.") if filled < whole else msg("Take pieces out.")
            continue
        fits = tiles(field, pieces)
        if fits is None:
            message = msg("Whether {mix} fill the field was not found in the tries allowed.", mix=_said(kit, mix))
            yield message, msg("Prove a smaller field.")
        elif not fits:
            message = msg(
                "{mix} have as many modules as the field, and no way to lay them fills it{purpose}.",
                mix=_said(kit, mix), purpose=purpose(need),
            )  # fmt: skip
            yield message, msg("Choose other pieces.")


def _lengths(need: ModuleNeed, filled: int, whole: int) -> Message:
    """Return both in mm where the pieces stand in a row."""
    pitches = [pitch for pitch in need.pitch if pitch is not None]
    if len(pitches) > 1:
        return msg("")
    return msg(" ({filled} of {whole})", filled=mm(filled * pitches[0]), whole=mm(whole * pitches[0]))


def tiles(field: Modules, pieces: Sequence[tuple[Modules, int]]) -> bool | None:
    """Return whether pieces, (columns, rows) and how many, fill a field of so many columns and rows without overlap.

    None where that is not found within `MOST_TRIES`. Pieces are not turned; the first free module, row by row, is
    always filled next, so nothing is tried twice.
    """
    if pieces_in_a_row(field, pieces):
        return sum(columns * rows * count for (columns, rows), count in pieces) == field[0] * field[1]
    return _Search(field, pieces).fills()


def pieces_in_a_row(field: Modules, pieces: Sequence[tuple[Modules, int]]) -> bool:
    """Return whether all pieces are as broad as the field one way, so that their sum decides."""
    return any(all(size[axis] == field[axis] for size, _ in pieces) for axis in (0, 1))


class _Search:
    """The modules that are taken, as bits from the first row on, and how many of each piece are left."""

    def __init__(self, field: Modules, pieces: Sequence[tuple[Modules, int]]) -> None:
        self.columns, self.rows = field
        self.sizes = [size for size, _ in pieces]
        self.left = [count for _, count in pieces]

    def fills(self) -> bool | None:
        """Return whether the pieces fill the field; None where that takes too many tries."""
        full = (1 << self.columns * self.rows) - 1
        waiting = [(0, 0)]  # what is taken, and which piece to try next at the first free module
        laid: list[int] = []
        tries = 0
        while waiting:
            taken, kind = waiting.pop()
            if taken == full:
                return True
            free = _first_free(taken)
            while kind < len(self.left) and not self._fits(taken, free, kind):
                kind += 1
            if kind < len(self.left):
                tries += 1
                self.left[kind] -= 1
                laid.append(kind)
                waiting += [(taken, kind + 1), (taken | self._mask(free, kind), 0)]
            elif laid:
                self.left[laid.pop()] += 1
            if tries > MOST_TRIES:
                return None
        return False

    def _fits(self, taken: int, free: int, kind: int) -> bool:
        row, column = divmod(free, self.columns)
        columns, rows = self.sizes[kind]
        inside = column + columns <= self.columns and row + rows <= self.rows
        return bool(self.left[kind]) and inside and not taken & self._mask(free, kind)

    def _mask(self, free: int, kind: int) -> int:
        columns, rows = self.sizes[kind]
        line = (1 << columns) - 1
        return sum(line << free + row * self.columns for row in range(rows))


def _first_free(taken: int) -> int:
    return (~taken & (taken + 1)).bit_length() - 1


def _said(kit: Kit, mix: Sequence[tuple[str, int]]) -> Message:
    pieces = [msg("{count} x '{title}'", count=count, title=kit.part(one).title) for one, count in mix]
    return msg("{pieces}", pieces=listed(pieces))


def _met(kit: Kit, need: ModuleNeed, field: Modules) -> Finding:
    pitches = [(pitch, count) for pitch, count in zip(need.pitch, field, strict=True) if pitch is not None]
    sides = listed([msg("{count} x {pitch}", count=count, pitch=mm(pitch)) for pitch, count in pitches])
    message = msg(
        "The field of {sides} is filled exactly{purpose} by {mixes}; each piece is {play} smaller than its modules.",
        sides=sides, purpose=purpose(need), mixes=listed([_said(kit, mix) for mix in need.mixes], either=True),
        play=mm(need.play),
    )  # fmt: skip
    return kinds.MET.new(message, source=need.source, part=need.parts[0])
