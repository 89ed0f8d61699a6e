"""The shop's own tables, and cutters for scenarios of our own (a game board, a clock, a plant stand)."""

from __future__ import annotations

import pytest

from kitforge.model.settings import CutterGeometry, CutterKind, Substrate
from kitforge.model.workshop import Workshop
from kitforge.workshop.cutting_data import CuttingData, cutting_data
from kitforge.workshop.load import load_workshop


@pytest.fixture(scope="session")
def shop() -> Workshop:
    return load_workshop()


@pytest.fixture(scope="session")
def data() -> CuttingData:
    return cutting_data()


@pytest.fixture(scope="session")
def cutters() -> dict[str, CutterGeometry]:
    shape, tipped = CutterKind, Substrate.TIPPED
    return {
        "quarter": CutterGeometry(shape.UP_CUT, 6.35, 19.05, 6.35, 50.8, 2),
        "eighth": CutterGeometry(shape.UP_CUT, 3.175, 12.7, 6.35, 45, 2),
        "slim": CutterGeometry(shape.UP_CUT, 3.175, 12.7, 3.175, 38.1, 2),
        "bowl": CutterGeometry(
            shape.BOWL, 19.05, 15.9, 6.35, 55, 2, corner_radius=6.35, centre_cutting=False, substrate=tipped
        ),
        "vee": CutterGeometry(shape.V_BIT, 12.7, 11, 6.35, 45, 2, angle=60, substrate=tipped),
        "ball": CutterGeometry(shape.BALL_NOSE, 6, 20, 6, 50, 2),
        "surfacing": CutterGeometry(shape.SURFACING, 22, 12, 6.35, 50, 3, centre_cutting=False, substrate=tipped),
        "tiny": CutterGeometry(shape.UP_CUT, 1.5, 5, 3.175, 38, 2),
        "drill": CutterGeometry(shape.DRILL, 6, 50, 6, 90, 2, angle=118, substrate=Substrate.HSS),
    }
