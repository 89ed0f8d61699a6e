"""Kits with nearly everything wrong with them, for the report to show. Invented data."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

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
)

from kitforge.geometry.shapes import rectangle
from kitforge.model.findings import Finding, Severity, Source, sort_findings
from kitforge.model.kit import Kit, Operation, Part
from kitforge.model.path import Path, Vertex
from kitforge.pipeline import CheckedKit
from kitforge.plugins import load_plugins
from kitforge.stages.checking import check

WRITTEN = b"kit:\n" + b"".join(b"  line_%d: of the kit\n" % number for number in range(2, 80))
HOSTILE = (
    "</script></style></title>\"'><img src=http://127.0.0.1:9/x onerror=alert(1)>&amp;"
    "\u202e\x1b[31m\x00]]>{{7*7}}\U0001f600"
)


def broken_kit() -> Kit:
    """Return a game board, a tray and a foot on two sheets, in which much is wrong."""
    setups = [setup(hold_downs=("screws",), fasteners=((215.0, 135.0), (610.0, 20.0), (215.0, 135.0)),
                    source=Source("kit.yaml", 70, 5))]  # fmt: skip
    return kit(_board(), _tray(), _foot(), setups=setups, files={"kit.yaml": WRITTEN}, source=HERE)


def _board() -> Part:
    return _with_lines(
        freed(
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
        ),
        10,
    )


def _tray() -> Part:
    corners = (Vertex(0, 0), Vertex(100, 0), Vertex(100, 80), Vertex(0.3, 80), Vertex(0, 0.4))
    tray = part(
        pocket(rectangle((80, 60), at=(10, 10)), depth=16.8),
        outside(plate(100, 80)),
        outline=Path(corners, closed=False),
        key="tray",
        title="Tray",
        places=((10.0, 250.0),),
    )
    return _with_lines(tray, 30)


def _foot() -> Part:
    foot = freed(
        drilled((4, 4), diameter=4.0, depth=8.0),
        outline=plate(60, 40),
        key="foot",
        count=2,
        title="Foot",
        places=((300.0, 300.0), (330.0, 385.0)),
    )
    return _with_lines(foot, 50)


def _with_lines(of: Part, first: int) -> Part:
    """Return a part whose operations stand on lines of their own."""
    own: Sequence[Operation] = [
        replace(item, source=Source("kit.yaml", first + number, 7)) for number, item in enumerate(of.operations, 2)
    ]
    return replace(
        of, operations=tuple(own), source=Source("kit.yaml", first, 3), outline_source=Source("kit.yaml", first + 1, 5)
    )


def checked(of: Kit) -> CheckedKit:
    """Return a kit planned and checked as the command does, with the same force for every step."""
    plan = planned(of)
    return CheckedKit(of, plan, tuple(check(of, plan, load_plugins())))


def broken() -> CheckedKit:
    """Return the broken kit, checked."""
    return checked(broken_kit())


def with_findings(of: Kit, findings: Sequence[Finding]) -> CheckedKit:
    """Return a kit with given findings instead of those of the checks."""
    return CheckedKit(of, planned(of), tuple(sort_findings(findings)))


def finding(number: int = 1, at: tuple[float, float] | None = None, **more: object) -> Finding:
    """Return a made-up warning about the board."""
    message, source = f"Made-up trouble {number}.", Source("kit.yaml", 3, 5)
    plain = Finding("made-up", Severity.WARNING, message, f"Mend {number}.", source, "board", None, at)
    return replace(plain, **more)  # type: ignore[arg-type]


def hostile() -> CheckedKit:
    """Return a kit in which every text that somebody can write tries to be more than text."""
    board = replace(freed(pocket(rounded(20, 20, 60, 40, 4.0))), title=HOSTILE)
    plain = kit(board, files={"kit.yaml": f"kit: {HOSTILE}\n".encode()})
    info = replace(plain.info, title=HOSTILE, version=HOSTILE, author=HOSTILE, released=HOSTILE)
    stock = {key: replace(piece, title=HOSTILE) for key, piece in plain.stock.items()}
    setups = tuple(replace(one, note=HOSTILE) for one in plain.setups)
    evil = replace(plain, info=info, stock=stock, setups=setups)
    found = finding(
        code=HOSTILE, message=HOSTILE, advice=HOSTILE, operation=HOSTILE, at=(5.0, 5.0), source=Source("kit.yaml", 1, 1)
    )
    return with_findings(evil, [found, replace(found, part=HOSTILE, source=Source(HOSTILE, 1, 1))])
