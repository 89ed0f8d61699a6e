"""Fences beside the stock: a step that runs over its edge tells how low they must be, or that they cannot be."""

from __future__ import annotations

import pytest
from builders import codes, cutter, kit, operation, outside, part, planned, pocket, rounded, setup

from kitforge.model.findings import Severity
from kitforge.model.kit import Face, Operation, OperationKind
from kitforge_holding import kitforge_check


def face(depth: float) -> Operation:
    """Return a facing of the whole stock."""
    return operation(OperationKind.FACE, (), depth, cutter(12.0))


@pytest.mark.parametrize(
    ("depth", "expected", "severity"),
    [(1.0, ["fence-low"], Severity.NOTE), (16.0, ["fence-in-cut"], Severity.ERROR)],
)
def test_a_facing_runs_over_the_edge(depth: float, expected: list[str], severity: Severity) -> None:
    """18 mm of stock: 1 mm is faced and 17 mm of the edge are left; or 2 mm are left, too little to press on."""
    own = kit(part(face(depth)), setups=[setup(Face.TOP, ("edge_fences",))])
    found = [one for one in kitforge_check(own, planned(own)) if one.code.startswith("fence")]
    assert [one.code for one in found] == expected
    assert found[0].severity is severity


def test_a_cut_within_the_stock_needs_no_low_fences() -> None:
    own = kit(part(pocket(rounded(20, 20, 60, 40), tool=cutter(6.0))), setups=[setup(Face.TOP, ("edge_fences",))])
    assert [code for code in codes(kitforge_check(own, planned(own))) if code.startswith("fence-")] == []


def test_clamps_above_a_faced_stock_have_no_place() -> None:
    own = kit(part(face(1.0), outside(rounded(0, 0, 200, 150))), setups=[setup(Face.TOP, ("step_clamps",))])
    assert "no-fastener-room" in codes(kitforge_check(own, planned(own)))
