"""How large the finished piece is: what is left of its parts, not their outlines, and no box around turned ones."""

from __future__ import annotations

import pytest
from builders import HERE, cutter, kit, operation, part

from kitforge.geometry.shapes import rectangle
from kitforge.model.kit import AssemblyPose, OperationKind, Part, Side
from kitforge.model.path import Path, Vertex
from kitforge.pack.overall import overall_size

ALONG_X, UP = (1.0, 0.0, 0.0), (0.0, 0.0, 1.0)


def trimmed() -> Part:
    """A board of 200 x 150 mm of which a cutter of 6 mm takes 2 mm off the lower edge."""
    shape = Path((Vertex(-9, -1), Vertex(209, -1)), closed=False)
    cut = operation(OperationKind.PROFILE, [shape], 18.0, cutter(6), through=True, allowance=0.5, side=Side.ON)
    return part(cut)


def test_one_part_is_as_large_as_it_measures_along_its_sides() -> None:
    assert overall_size(kit(part(outline=rectangle((60, 40), angle=30)))) == pytest.approx((60, 40, 18))


def test_what_is_cut_off_an_edge_counts_in_no_piece() -> None:
    assert overall_size(kit(trimmed())) == pytest.approx((200, 148, 18))
    upright = AssemblyPose("board", (0.0, 0.0, 0.0), ALONG_X, UP, HERE)
    assert overall_size(kit(trimmed(), together=(upright,))) == pytest.approx((200, 18, 148))
    assert overall_size(kit(part(), together=(upright,))) == pytest.approx((200, 18, 150))
