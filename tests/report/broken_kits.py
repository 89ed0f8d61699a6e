"""A kit with nearly everything wrong with it, for the report to show. Invented data."""

from __future__ import annotations

from builders import (
    HERE,
    cutter,
    drilled,
    freed,
    groove,
    hole,
    kit,
    outside,
    part,
    planned,
    plate,
    pocket,
    rounded,
    setup,
    stock,
)

from kitforge.findings import Source
from kitforge.geometry.path import Path, Vertex
from kitforge.geometry.shapes import rectangle
from kitforge.kit import Kit
from kitforge.pipeline import Checked
from kitforge.plugins import load_plugins
from kitforge.stages.checking import check

WRITTEN = b"# a line of the kit\n" + b"".join(b"  line %d: of the kit\n" % n for n in range(2, 60))


def broken_kit() -> Kit:
    """Return a game board, a tray and a foot in which much is wrong."""
    board = freed(
        pocket(rounded(20, 20, 60, 40, 1.0), tool=cutter(8.0), depth=6.0),
        pocket(rounded(20, 60.6, 60, 40, 4.0), depth=14.0),
        pocket(rounded(120, 20, 3.5, 30, 0.5), tool=cutter(6.0), depth=8.0),
        drilled((150, 60), (150, 60), (153, 62), (198.5, 75), diameter=5.0, depth=9.0),
        drilled((170, 20), diameter=6.0, depth=17.5),
        groove(Path((Vertex(110, 120), Vertex(205, 120)), closed=False), depth=3.0),
        hole(100, 95, 4.0, tool=cutter(6.0)),
        pocket(rounded(140, 90, 30, 30, 4.0), depth=18.0),
        key="board",
        title="Game board",
        source=Source("kit.yaml", 12, 3),
    )
    tray = part(
        pocket(rectangle((80, 60), at=(10, 10)), depth=16.8),
        outside(plate(100, 80)),
        outline=Path((Vertex(0, 0), Vertex(100, 0), Vertex(100, 80), Vertex(0.3, 80), Vertex(0, 0.4)), closed=False),
        key="tray",
        title="Tray",
        places=((10.0, 250.0),),
        source=Source("kit.yaml", 30, 3),
    )
    foot = freed(drilled((4, 4), diameter=4.0, depth=8.0), outline=plate(60, 40), key="foot", count=2,
                 title="Foot", places=((300.0, 300.0), (330.0, 385.0)), source=Source("kit.yaml", 40, 3))  # fmt: skip
    setups = [
        setup(hold_downs=("screws_spoilboard",) if "screws_spoilboard" in _holds() else _holds()[:1],
              fasteners=((215.0, 135.0), (610.0, 20.0), (215.0, 135.0)), source=Source("kit.yaml", 50, 5)),
    ]  # fmt: skip
    return kit(board, tray, foot, setups=setups, files={"kit.yaml": WRITTEN}, source=HERE)


def _holds() -> tuple[str, ...]:
    from builders import WORKSHOP

    return tuple(sorted(key for key, hold in WORKSHOP.hold_downs.items() if "screw" in key)) or tuple(
        WORKSHOP.hold_downs
    )


def checked(of: Kit) -> Checked:
    """Return a kit planned and checked as the command does, with the same force for every step."""
    plan = planned(of)
    return Checked(of, plan, tuple(check(of, plan, load_plugins())))


__all__ = ["broken_kit", "checked", "stock"]
