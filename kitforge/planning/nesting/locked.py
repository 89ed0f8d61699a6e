"""layout.lock: where the parts of a kit lie, as `kitforge nest` found it. A build reads it and never searches.

    kitforge_layout = 1
    made_for = "b0c4..."   # sum over outlines, stock and gaps as they were
    sum = "52fa..."        # over everything below, so that an edit by hand is told
    found = "outlines, 306 orders, seed 1"

    [[sheet]]
    stock = "sheet"
    number = 1
    lies = [
      ["foot", 1, 25.4, 212.06, 0],     # part, copy, x, y in mm, turned by 0, 90, 180 or 270 degrees
    ]

It may come from a stranger: it is read with bounds, and nothing in it is believed before it is measured.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Sequence
from typing import Any

from kitforge.model.kit import Kit
from kitforge.model.layout import TURNS, LaidSheet, Placement
from kitforge.model.messages import Message, msg
from kitforge.model.record import record
from kitforge.planning.layout import spacing_for
from kitforge.planning.nesting.task import kept_out_of, parts_of

LARGEST = 1 << 20
MOST_SHEETS, MOST_LYING = 1000, 20_000
_FORMAT = 1
_FARTHEST = 100_000.0
_LONGEST = 200
_HEAD = """\
# Where the parts lie on their stock. Written by `kitforge nest`, not by hand: after a change of the kit nest again.
# A line is: part, copy, x and y of its drawing's origin on the sheet (mm), and by how many degrees it is turned.
"""


class UnfitLayoutError(ValueError):
    """A layout.lock that cannot be read or is not as it must be."""

    def __init__(self, why: Message) -> None:
        super().__init__(str(why))
        self.why = why


@record
class LockedLayout:
    """A layout as it is kept. made_for: sum of what it was made for; found: how it was found."""

    sheets: tuple[LaidSheet, ...]
    made_for: str
    found: str


def text_of(layout: LockedLayout) -> str:
    """Return the text of layout.lock."""
    body = f"found = {json.dumps(layout.found)}\n" + "".join(map(_block, layout.sheets))
    head = f"kitforge_layout = {_FORMAT}\nmade_for = {json.dumps(layout.made_for)}\nsum = {json.dumps(_sum(body))}\n"
    return _HEAD + head + body


def _block(sheet: LaidSheet) -> str:
    rows = "".join(
        f"  [{json.dumps(one.part)}, {one.copy}, {one.x:.2f}, {one.y:.2f}, {one.turn}],\n"
        for one in sorted(sheet.placements, key=lambda one: (one.part, one.copy))
    )
    return f"\n[[sheet]]\nstock = {json.dumps(sheet.stock)}\nnumber = {sheet.number}\nlies = [\n{rows}]\n"


def _sum(body: str) -> str:
    return hashlib.sha256(body.encode()).hexdigest()[:32]


def layout_in(data: bytes) -> LockedLayout:
    """Return the layout in the bytes of layout.lock. Raises UnfitLayoutError."""
    import tomllib

    if len(data) > LARGEST:
        raise UnfitLayoutError(msg("it is larger than {largest} KiB", largest=LARGEST >> 10))
    try:
        text = data.decode("utf-8-sig").replace("\r\n", "\n")
        document = tomllib.loads(text)
    except (UnicodeDecodeError, tomllib.TOMLDecodeError, RecursionError, ValueError) as error:
        raise UnfitLayoutError(msg("it is no TOML ({why})", why=str(error)[:_LONGEST])) from None
    if document.get("kitforge_layout") != _FORMAT:
        raise UnfitLayoutError(msg("it is of another format than {known}", known=_FORMAT))
    sheets = tuple(_sheets(document.get("sheet")))
    texts = tuple(document.get(name) for name in ("made_for", "found"))
    if not all(isinstance(one, str) and len(one) <= _LONGEST for one in texts):
        raise UnfitLayoutError(msg("'made_for' and 'found' are no short texts"))
    layout = LockedLayout(sheets, str(texts[0]), str(texts[1]))
    # compared as it would be written: other line ends or a comment are no edit
    if f"sum = {json.dumps(str(document.get('sum')))}\n" not in text_of(layout):
        raise UnfitLayoutError(msg("it was changed by hand or by a merge: its sum is not that of what it holds"))
    return layout


def _sheets(found: object) -> Iterator[LaidSheet]:
    if not isinstance(found, list) or len(found) > MOST_SHEETS:
        raise UnfitLayoutError(msg("it holds no sheets, or more than {most}", most=MOST_SHEETS))
    known, lying = set[tuple[str, int]](), 0
    for one in found:
        table = one if isinstance(one, dict) else {}
        stock, number, rows = table.get("stock"), table.get("number"), table.get("lies")
        if not (isinstance(stock, str) and _is_name(stock) and isinstance(rows, list)):
            raise UnfitLayoutError(msg("a sheet is not a stock, a number and what lies on it"))
        if not (isinstance(number, int) and _is_whole(number, 1, MOST_SHEETS)):
            raise UnfitLayoutError(msg("a sheet is not a stock, a number and what lies on it"))
        lying += len(rows)
        if (stock, number) in known or lying > MOST_LYING:
            raise UnfitLayoutError(msg("a sheet is told twice, or more lies there than any kit has"))
        known.add((stock, number))
        yield LaidSheet(stock, number, tuple(map(_placement, rows)))


def _placement(row: Any) -> Placement:  # noqa: ANN401 - whatever TOML holds
    if isinstance(row, list) and len(row) == 5:
        part, copy, x, y, turn = row
        numbers = all(isinstance(one, int | float) and not isinstance(one, bool) for one in (x, y))
        near = numbers and abs(x) < _FARTHEST and abs(y) < _FARTHEST  # false for what is no number
        turned = _is_whole(turn, 0, 270) and turn in TURNS
        if near and turned and _is_name(part) and _is_whole(copy, 1, MOST_LYING):
            return Placement(part, copy, float(f"{x:.2f}"), float(f"{y:.2f}"), turn)
    raise UnfitLayoutError(msg("a line is not part, copy, x, y and a turn of 0, 90, 180 or 270"))


def _is_name(value: object) -> bool:
    return isinstance(value, str) and 0 < len(value) <= _LONGEST


def _is_whole(value: object, low: int, high: int) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and low <= value <= high


def made_for(kit: Kit, stocks: Sequence[str]) -> str:
    """Return the sum of all that a layout of these stocks goes by: outlines to a hundredth, stock, gaps, hold-downs."""
    told = hashlib.sha256()
    for key in sorted(stocks):
        stock, parts = kit.stock[key], parts_of(kit).get(key, [])
        sizes = (stock.length, stock.width, stock.margin, spacing_for(parts))
        told.update(repr((key, [f"{size:.2f}" for size in sizes], stock.grain.value)).encode())
        if stock.ladder is not None:
            told.update(repr(stock.ladder.rungs).encode())
        for at, away in kept_out_of(kit, stock, parts):
            told.update(f"{at.wkt} {away:.2f}".encode())
        for part in parts:
            corners = [(f"{v.x:.2f}", f"{v.y:.2f}", f"{v.bulge:.4f}") for v in part.outline.vertices]
            told.update(repr((part.key, part.count, part.places, corners)).encode())
    return told.hexdigest()[:32]
