"""Where a step is drawn: the file is in the pack, the layer in the file, and on it lies that step's cut alone."""

from __future__ import annotations

import pytest
from kit_samples import Sample

from kitforge.planning.layers import note_of, pack_drawings, shapes_of, step_layers


@pytest.mark.law
def test_the_layer_that_a_step_names_holds_its_cut_and_nothing_else(any_kit: Sample) -> None:
    """A beginner loads the file, picks the layer, and must not cut another step's lines with this one's settings."""
    plan = any_kit.plan
    drawn = {drawing.name: drawing for drawing in pack_drawings(plan, any_kit.kit.parts)}
    owners: dict[tuple[str, str], set[tuple[str, str]]] = {}
    for step in plan.steps:
        places = step_layers(plan, step)
        assert len(places) == len(plan.pieces_of(step)) > 0
        for place, sheet in zip(places, plan.pieces_of(step), strict=True):
            drawing = drawn[place.drawing]
            each = 1 if step.operation.whole else len(shapes_of(step.operation))
            assert len(drawing.layers[place.layer]) == each * len(sheet.runs(step))
            assert drawing.notes[place.layer] == note_of(step.operation)
            owner = ("", step.operation.name) if step.operation.whole else (step.part.key, step.operation.name)
            owners.setdefault((place.drawing, place.layer), set()).add(owner)
    assert [place for place, found in owners.items() if len(found) > 1] == []
