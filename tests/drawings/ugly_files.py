"""Ugly drawings: what programs write into DXF files, and what they leave out."""

from __future__ import annotations

from ugly import EDGE, PINS, PLATE, WINDOW, Ugly, Wanted, edge, inside, loose, pins, side
from writing import Tags, arc, block, box, circle, dxf, insert, layer_entry, line, poly, ring, text

BARE = Wanted((200, 120), {5.0: 4})


def _ordered(record: Tags, *codes: int) -> Tags:
    """Return a record with its codes in another order."""
    return [record[0], *sorted(record[1:], key=lambda tag: codes.index(tag[0]))]


def _face(*corners: tuple[float, float], layer: str = "0", kind: str = "3DFACE") -> Tags:
    """Return a 3DFACE or a SOLID."""
    places = [tag for k, (x, y) in enumerate(corners) for tag in ((10 + k, x), (20 + k, y), (30 + k, 0.0))]
    return [(0, kind), (8, layer), *places]


def _old_polyline(points: list[tuple[float, float]], flags: int, layer: str) -> list[Tags]:
    head: Tags = [(0, "POLYLINE"), (8, layer), (66, 1), (70, flags), (10, 0.0), (20, 0.0), (30, 0.0)]
    corners: list[Tags] = [[(0, "VERTEX"), (8, layer), (10, x), (20, y), (30, 0.0)] for x, y in points]
    return [head, *corners, [(0, "SEQEND"), (8, layer)]]


_IN_ORDER = [dxf(edge(), pins(), handles=True)]
SAME_HANDLE = (
    dxf(edge(), pins(), handles=True).replace(b"  5\n102\n", b"  5\n101\n").replace(b"  5\n104\n", b"  5\n101\n")
)

CASES = [
    Ugly("a handle used three times", "a.dxf", SAME_HANDLE, [BARE], ["103", "102"], certain=True),
    Ugly(
        "codes of lines in another order, both x first",
        "a.dxf",
        dxf([_ordered(one, 10, 11, 20, 21, 8) for one in loose()], pins()),
        [BARE],
        certain=True,
    ),
    Ugly(
        "codes of lines in another order, y before x",
        "a.dxf",
        dxf([_ordered(one, 20, 10, 21, 11, 8) for one in loose()], pins()),
        [BARE],
        certain=True,
    ),
    Ugly(
        "codes of circles in another order, the radius between x and y",
        "a.dxf",
        dxf(edge(), [_ordered(one, 10, 40, 20, 8) for one in pins()]),
        [BARE],
        certain=True,
    ),
    Ugly(
        "no header, no handles, the oldest kind of lines",
        "a.dxf",
        dxf(loose(), pins(), units=None, version=None),
        [BARE],
    ),
    Ugly(
        "old polylines with a vertex list",
        "a.dxf",
        dxf(_old_polyline(EDGE, 1, "EDGE"), pins(), version="AC1009"),
        [BARE],
        certain=True,
    ),
    Ugly(
        "a mesh of old 3D polylines beside the part",
        "a.dxf",
        dxf(
            edge(),
            pins(),
            [
                [(0, "POLYLINE"), (8, "SOLID"), (66, 1), (70, 16), (71, 2), (72, 2)],
                *_old_polyline(WINDOW, 0, "SOLID")[1:],
            ],
        ),
        [BARE],
        ["drawing-skipped", "drawing-not-flat"],
    ),
    Ugly(
        "old 3D faces instead of lines",
        "a.dxf",
        dxf(edge(), pins(), _face(*WINDOW, layer="WINDOW")),
        [],
        ["drawing-skipped"],
    ),
    Ugly(
        "a solid as a filled area", "a.dxf", dxf(edge(), pins(), _face(*WINDOW, kind="SOLID")), [], ["drawing-skipped"]
    ),
    Ugly(
        "a construction layer that is not plotted",
        "a.dxf",
        dxf(edge(), inside(), line((-20, 60), (220, 60), "HELP"), layers=[layer_entry("HELP", 0, 7, (290, 0))]),
        [PLATE],
        ["drawing-skipped", "drawing-hidden"],
    ),
    Ugly(
        "points of dimensions on their own layer",
        "a.dxf",
        dxf(edge(), inside(), [(0, "POINT"), (8, "Defpoints"), (10, 30.0), (20, 30.0)]),
        [PLATE],
        ["drawing-skipped", "drawing-hidden"],
    ),
    Ugly(
        "holes on a frozen layer",
        "a.dxf",
        dxf(edge(), inside(), layers=[layer_entry("PINS", 1)]),
        [],
        ["drawing-hidden"],
    ),
    Ugly(
        "holes on a layer that is off",
        "a.dxf",
        dxf(edge(), inside(), layers=[layer_entry("PINS", 0, -7)]),
        [],
        ["drawing-hidden"],
    ),
    Ugly(
        "holes in paper space",
        "a.dxf",
        dxf(edge(), [[*one, (67, 1)] for one in pins()]),
        [],
        ["drawing-skipped", "drawing-hidden"],
    ),
    Ugly(
        "everything in paper space",
        "a.dxf",
        dxf([[*one, (67, 1)] for one in (edge(), *pins())]),
        [],
        ["paper space"],
    ),
    Ugly("text that is no line", "a.dxf", dxf(edge(), pins(), text((60, 60), "TOP")), [BARE], ["drawing-text"]),
    Ugly(
        "lines drawn at two heights",
        "a.dxf",
        dxf([[*one, (30, 3.0), (31, 9.0)] for one in loose()], pins()),
        [BARE],
        ["drawing-not-flat"],
    ),
    Ugly(
        "circles seen from behind",
        "a.dxf",
        dxf(edge(), [[*circle((-x, y), 2.5, "PINS"), (210, 0.0), (220, 0.0), (230, -1.0)] for x, y in PINS]),
        [BARE],
        certain=True,
    ),
    Ugly(
        "a plate in another plane",
        "a.dxf",
        dxf(edge(), [[*one, (210, 1.0), (220, 0.0), (230, 0.0)] for one in pins()]),
        [],
        ["drawing-not-flat"],
    ),
    Ugly(
        "holes from a block used four times",
        "a.dxf",
        dxf(edge(), [insert("PIN", at, "PINS") for at in PINS], blocks=[block("PIN", circle((0, 0), 2.5))]),
        [BARE],
        certain=True,
    ),
    Ugly(
        "a block that is not in the file",
        "a.dxf",
        dxf(edge(), [insert("PIN", at, "PINS") for at in PINS], blocks=[block("NAIL", circle((0, 0), 2.5))]),
        [],
        ["drawing-unresolved", "'PIN'"],
    ),
    Ugly(
        "a block that holds itself",
        "a.dxf",
        dxf(edge(), insert("PIN", PINS[0]), blocks=[block("PIN", circle((0, 0), 2.5), insert("PIN", (5, 5)))]),
        [],
        ["contains itself"],
    ),
    Ugly(
        "a block stretched in one direction",
        "a.dxf",
        dxf(edge(), insert("PIN", (100, 60), "PINS", (41, 8.0), (42, 4.0)), blocks=[block("PIN", circle((0, 0), 2.5))]),
        [Wanted((200, 120), closed=1)],
        certain=True,
    ),
    Ugly(
        "decimal commas",
        "a.dxf",
        dxf(edge(), pins()).replace(b" 40\n2.5\n", b" 40\n2,5\n", 1),
        [],
        ["a.dxf:"],
    ),
    Ugly("a file that breaks off", "a.dxf", dxf(edge(), inside())[:-60], [], ["breaks off"]),
    Ugly(
        "an arc that is a full circle",
        "a.dxf",
        dxf(edge(), [arc(at, 2.5, 0, 360, "PINS") for at in PINS]),
        [BARE],
        certain=True,
    ),
    Ugly(
        "holes as ellipses with equal axes",
        "a.dxf",
        dxf(
            edge(),
            [
                [
                    (0, "ELLIPSE"),
                    (8, "PINS"),
                    (10, x),
                    (20, y),
                    (11, 2.5),
                    (21, 0.0),
                    (40, 1.0),
                    (41, 0.0),
                    (42, 6.283185307),
                ]
                for x, y in PINS
            ],
        ),
        [BARE],
        certain=True,
    ),
    Ugly(
        "one layer for everything",
        "a.dxf",
        dxf(edge("0"), inside("0", "0", "0")),
        [PLATE],
        certain=True,
    ),
    Ugly(
        "layers whose names differ in case",
        "a.dxf",
        dxf([side(0), side(1, "edge"), side(2, "Edge"), side(3)], inside()),
        [PLATE],
        certain=True,
    ),
    Ugly(
        "a layer's name that is no text",
        "a.dxf",
        dxf(edge("ED\udc8fGE"), inside("P\udc8f")),
        [PLATE],
        certain=True,
    ),
    Ugly(
        "depths in the names of layers",
        "a.dxf",
        dxf(
            edge("OUTLINE 18MM"),
            pins("DRILL 5MM"),
            poly(WINDOW, "POCKET_7MM"),
            circle((110, 60), 25, "recess 1/4in deep"),
        ),
        [PLATE],
        certain=True,
    ),
    Ugly(
        "drawn far from the origin",
        "a.dxf",
        dxf(poly(box(200, 120, 512000, 340000)), circle((512012, 340012), 2.5)),
        [Wanted((200, 120), {5.0: 1})],
        certain=True,
    ),
    Ugly(
        "a hole that is cut off at a corner by a wrong radius",
        "a.dxf",
        dxf(edge(), poly(ring((60, 60), 2.5, 36)[:-3], "PINS", closed=False)),
        [],
        ["drawing-left-out", "drawing-open", "drawing-gap"],
    ),
]
