"""What settings say of a cutter is told once, not with every step that it cuts."""

from __future__ import annotations

from builders import cutter, groove, kit, part, setup

from kitforge.geometry.shapes import polyline
from kitforge.model.findings import Finding
from kitforge.model.kit import Face
from kitforge.plugins import load_plugins
from kitforge.stages.planning import plan
from kitforge_settings.findings import findings_of


def risks(depths: tuple[float, float], diameters: tuple[float, float]) -> list[Finding]:
    """The risks of two grooves with cutters that are six times as long as they are thick, or longer."""
    tools = [
        cutter(diameter, cutting_length=6 * diameter, shank=3.175, overall_length=60.0, key=f"thin {number}")
        for number, diameter in enumerate(diameters)
    ]
    lines = [polyline([(20.0, y), (180.0, y)]) for y in (40.0, 80.0)]
    tools = tools if diameters[0] != diameters[1] else [tools[0], tools[0]]
    cuts = [groove(line, depth=deep, tool=tool) for line, deep, tool in zip(lines, depths, tools, strict=True)]
    found = kit(part(*cuts), setups=(setup(Face.TOP, ("screws",)),))
    return [one for one in findings_of(found, plan(found, load_plugins())) if one.code == "settings-risk"]


def test_a_risk_of_one_cutter_in_two_steps_is_told_once() -> None:
    assert len(risks((9.0, 9.0), (2.0, 2.0))) == 1


def test_risks_of_two_cutters_are_told_of_each() -> None:
    assert len(risks((9.0, 9.0), (2.0, 1.5))) == 2
