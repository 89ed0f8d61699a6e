"""Ugly drawings: several parts in one, frames, pages, and units that are not what the file says."""

from __future__ import annotations

from ugly import EDGE, PLATE, Ugly, Wanted, edge, inside, pins
from writing import Tags, block, box, circle, dxf, insert, line, lines, poly, text

LID = Wanted((80, 50), {4.0: 2})
FOOT = Wanted((40, 40), {4.0: 1})


def _lid(x: float, y: float, layer: str = "CUT") -> list[Tags]:
    return [poly(box(80, 50, x, y), layer), circle((x + 10, y + 25), 2, layer), circle((x + 70, y + 25), 2, layer)]


def _foot(x: float, y: float, layer: str = "CUT") -> list[Tags]:
    return [poly(box(40, 40, x, y), layer), circle((x + 20, y + 20), 2, layer)]


LIDS = [one for k in range(3) for one in _lid(90 * k, 0)]
MIXED = [*_lid(0, 0), *_foot(0, 60), *_foot(50, 60)]

CASES = [
    Ugly("three like parts side by side", "a.dxf", dxf(LIDS), [Wanted((80, 50), {4.0: 2}, copies=3)], certain=True),
    Ugly(
        "parts of two kinds, one of them twice",
        "a.dxf",
        dxf(MIXED),
        [LID, Wanted((40, 40), {4.0: 1}, copies=2)],
        certain=True,
    ),
    Ugly(
        "two parts, the larger one with its holes on a layer of its own",
        "a.dxf",
        dxf(edge(), inside(), _foot(220, 0, "FOOT")),
        [PLATE, FOOT],
        certain=True,
    ),
    Ugly(
        "like parts as copies of a block",
        "a.dxf",
        dxf([insert("LID", (90 * k, 0)) for k in range(4)], blocks=[block("LID", *_lid(0, 0))]),
        [Wanted((80, 50), {4.0: 2}, copies=4)],
        certain=True,
    ),
    Ugly(
        "a block turned where it is used again",
        "a.dxf",
        dxf([insert("LID", (0, 0)), insert("LID", (150, 0), "0", (50, 90.0))], blocks=[block("LID", *_lid(0, 0))]),
        [Wanted((80, 50), {4.0: 2}, copies=2)],
    ),
    Ugly(
        "a page of A4 as a frame",
        "a.dxf",
        dxf(poly(box(297, 210, -40, -40)), edge(), inside()),
        [PLATE],
        ["drawing-frame"],
    ),
    Ugly(
        "a title frame of loose lines with a title block",
        "a.dxf",
        dxf(
            lines(box(400, 277, -90, -90), "BORDER"),
            lines(box(120, 40, 190, -90), "BORDER"),
            text((200, -80), "PLATE 1:1", "BORDER"),
            edge(),
            inside(),
        ),
        [PLATE],
        ["drawing-frame"],
        faults=4,  # the frame, the block in it, the side they share, the text
    ),
    Ugly(
        "parts laid out on a rectangle that is the sheet",
        "a.dxf",
        dxf(poly(box(600, 400, -20, -20), "CUT"), LIDS),
        [Wanted((80, 50), {4.0: 2}, copies=3)],
        ["drawing-frame", "drawing-nested"],
    ),
    Ugly(
        "a layer for the stock",
        "a.dxf",
        dxf(poly(box(230, 150, -15, -15), "STOCK"), edge(), inside()),
        [PLATE],
        ["drawing-frame"],
    ),
    Ugly("an inch header over millimetres", "a.dxf", dxf(edge(), inside(), units=1), [], ["drawing-unit-doubtful"]),
    Ugly(
        "an inch header over millimetres, a small part",
        "a.dxf",
        dxf(poly(box(60, 40)), circle((8, 8), 2), units=1),
        [],
        ["drawing-unit-doubtful"],
    ),
    Ugly(
        "a millimetre header over inches",
        "a.dxf",
        dxf(poly(box(8, 5)), circle((1, 1), 0.125)),
        [],
        ["drawing-unit-doubtful"],
    ),
    Ugly(
        "a millimetre header over inches, a large part",
        "a.dxf",
        dxf(poly(box(30, 20)), circle((1, 1), 0.125)),
        [],
        ["drawing-unit-doubtful"],
    ),
    Ugly("a metre header over millimetres", "a.dxf", dxf(edge(), inside(), units=6), [], ["drawing-unit-doubtful"]),
    Ugly(
        "a centimetre header over millimetres", "a.dxf", dxf(edge(), inside(), units=5), [], ["drawing-unit-doubtful"]
    ),
    Ugly("no unit", "a.dxf", dxf(edge(), inside(), units=0), [PLATE], ["drawing-unit-guess"]),
    Ugly(
        "no unit, drawn in inches",
        "a.dxf",
        dxf(poly(box(8, 5)), units=0),
        [Wanted((203.2, 127))],
        ["drawing-unit-guess"],
    ),
    Ugly(
        "truly in inches",
        "a.dxf",
        dxf(poly(box(8, 5)), circle((1, 1), 0.125), units=1),
        [Wanted((203.2, 127), {6.35: 1})],
        certain=True,
    ),
    Ugly(
        "dimensions turned into lines",
        "a.dxf",
        dxf(
            edge(),
            inside(),
            line((0, -5), (0, -15), "DIM"),
            line((200, -5), (200, -15), "DIM"),
            line((0, -12), (200, -12), "DIM"),
            text((95, -11), "200", "DIM"),
        ),
        [PLATE],
        ["drawing-left-out", "drawing-layers-unused"],
        faults=2,  # lines and a text
    ),
    Ugly(
        "a part and its mirror image",
        "a.dxf",
        dxf(
            poly([(0, 0), (80, 0), (50, 60), (0, 60)]),
            poly([(180, 0), (100, 0), (130, 60), (180, 60)]),
        ),
        [Wanted((80, 60)), Wanted((80, 60))],
        certain=True,
    ),
    Ugly(
        "a ring: a part in the opening of another",
        "a.dxf",
        dxf(edge(), poly(box(160, 80, 20, 20)), poly(box(100, 40, 50, 40)), circle((100, 60), 2)),
        [],
        ["drawing-nested", "thin-wall", "drawing-island"],
    ),
    Ugly("holes only", "a.dxf", dxf(pins()), [], ["drawing-small", "no line", "small"]),
    Ugly(
        "a tray of many wells is one part",
        "a.dxf",
        dxf(poly(EDGE), [circle((20 + 40 * k, 60), 15) for k in range(5)]),
        [Wanted((200, 120), closed=5)],
        certain=True,
    ),
]
