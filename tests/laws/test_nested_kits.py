"""Every law on kits whose parts were laid out anew by shape, turned ones among them: loose wood for the whole sheet."""

from __future__ import annotations

from dataclasses import replace
from functools import cache, cached_property

import pytest
from kit_samples import Sample, plugins, sample
from planted import Law, laws

from kitforge.model.findings import Finding
from kitforge.model.kit import Kit
from kitforge.model.plan import Plan
from kitforge.planning.nesting.lay import lay_by_shape
from kitforge.stages.checking import check
from kitforge.stages.planning import plan

LAWS = laws()
NESTED = ("plant-stand",)


class NestedSample(Sample):
    """A kit as it is planned after `kitforge nest`."""

    @cached_property
    def kit(self) -> Kit:
        """The kit with its parts laid out by shape."""
        made = sample(self.name).kit
        return replace(made, layout=tuple(one for stock in lay_by_shape(made, tries=8) for one in stock.sheets))

    @cached_property
    def plan(self) -> Plan:
        """Its plan."""
        return plan(self.kit, plugins())

    @cached_property
    def findings(self) -> tuple[Finding, ...]:
        """What its check says."""
        return tuple(check(self.kit, self.plan, plugins()))


@cache
def nested(name: str) -> NestedSample:
    return NestedSample(demo=name, anew_planned=True)


@pytest.mark.law
@pytest.mark.parametrize("name", NESTED)
@pytest.mark.parametrize("law", LAWS.values(), ids=LAWS)
def test_a_nested_kit_keeps_the_law(law: Law, name: str) -> None:
    assert law.broken(nested(name)) == [], law.LAW


def test_parts_are_turned_in_what_is_tried() -> None:
    assert any(place.turn for sheet in nested("plant-stand").plan.sheets for place in sheet.placements)
