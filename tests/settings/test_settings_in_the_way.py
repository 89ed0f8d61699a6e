"""What stands in the way of the cutter, or holds nothing, forbids a release."""

from __future__ import annotations

from dataclasses import replace

import pytest
from builders import freed, kit, planned, setup

from kitforge.model.findings import Finding, Severity
from kitforge.model.kit import Face, Setup
from kitforge_holding import kitforge_check


def errors(of: Setup, *, hold: bool = True) -> list[Finding]:
    part = freed(places=((100.0, 100.0),))
    if not hold:
        part = replace(part, operations=tuple(replace(one, hold=None) for one in part.operations))
    made = kit(part, setups=(of,))
    return [found for found in kitforge_check(made, planned(made)) if found.severity is Severity.ERROR]


@pytest.mark.parametrize(
    ("hold", "places"), [("brads", {"fasteners": ((98.0, 150.0),)}), ("step_clamps", {"clamps": ((98.0, 150.0),)})]
)
def test_a_brad_or_a_clamp_in_the_path_is_an_error(hold: str, places: dict[str, object]) -> None:
    """The outline of 6 mm runs from 94 to 100 mm there."""
    assert "fastener-in-cut" in [found.code for found in errors(setup(Face.TOP, (hold,), **places))]


@pytest.mark.parametrize("hold", ["brads", "step_clamps"])
def test_the_same_far_from_the_path_is_none(hold: str) -> None:
    key = "clamps" if hold == "step_clamps" else "fasteners"
    places = {key: ((15.0, 15.0), (585.0, 15.0), (15.0, 385.0), (585.0, 385.0))}
    assert errors(setup(Face.TOP, (hold,), **places)) == []


def test_a_freed_part_that_nothing_holds_is_an_error() -> None:
    """Screws hold the waste only; tape under the part, or tabs, would do."""
    assert [found.code for found in errors(setup(Face.TOP, ("screws",)), hold=False)] == ["part-loose"]
    assert errors(setup(Face.TOP, ("masking_tape_glue",)), hold=False) == []
    assert errors(setup(Face.TOP, ("screws",))) == []
