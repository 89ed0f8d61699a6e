"""A small kit made by hand: a nest box of two boards (invented)."""

from __future__ import annotations

import pytest

from kitforge.model.findings import Source
from kitforge.model.info import KitInfo
from kitforge.model.kit import Cutter, CutterKind, Finishing, Grain, Hardware, Kit, Part, Stock
from kitforge.model.path import Path, Vertex
from kitforge.model.plan import MachinePlan, Placement, Plan, Sheet
from kitforge.workshop.load import load_workshop

HERE = Source("kit.yaml", 1, 1)


@pytest.fixture(scope="session")
def info() -> KitInfo:
    return KitInfo(
        title="Nest box für Meisen",
        slug="nest-box",
        version="1.2.0",
        author="A. Maker",
        licence="CC-BY-4.0 OR LicenseRef-Nest-Box",
        summary="A box of two boards. " * 8,
        skill="beginner",
        units="mm",
        released="2024-05-01",
        contact="maker@example.org",
    )


@pytest.fixture(scope="session")
def kit(info: KitInfo) -> Kit:
    workshop = load_workshop()
    pine = Stock(
        "board", "Pine board", workshop.materials["eastern_white_pine"], 18, 17.6, 200, 900, Grain.LENGTH, HERE
    )
    cutter = Cutter("six", "6 mm up-cut", CutterKind.UP_CUT, 6, 22, 6, 60, 2, HERE)
    square = Path(tuple(Vertex(x, y) for x, y in ((0, 0), (90, 0), (90, 90), (0, 90))), closed=True)
    return Kit(
        info=info,
        stock={"board": pine},
        cutters={"six": cutter},
        parts=(Part("side", "Side", pine, 2, square, (), HERE, HERE),),
        machines=tuple(workshop.machines[key] for key in ("light_router", "medium_router")),
        setups=(),
        finishing=Finishing((120,), workshop.finishes["exterior_oil"], None, ()),
        hardware=(Hardware("brass hinge, 40 mm", "2", "for the lid"),),
        assembly=(),
        notes=(),
        order_as_written=False,
        source=HERE,
        files={"kit.yaml": b"kitforge: 1\n", "side.svg": b"<svg/>"},
    )


@pytest.fixture(scope="session")
def plan(kit: Kit) -> Plan:
    sheet = Sheet(kit.stock["board"], 1, (Placement("side", 1, 10, 10), Placement("side", 2, 110, 10)))
    machines = tuple(MachinePlan(machine, (), {}) for machine in kit.machines)
    return Plan(steps=(), setups=(), sheets=(sheet,), machines=machines)
