"""Every law on every kit, and every planted fault seen by its law."""

from __future__ import annotations

import pytest
from kit_samples import Sample
from planted import Fault, Law, broken, laws, seen

LAWS = laws()
PLANTED = [pytest.param(law, fault, id=f"{name}: {fault.what}") for name, law in LAWS.items() for fault in law.FAULTS]


@pytest.mark.law
@pytest.mark.parametrize("law", LAWS.values(), ids=LAWS)
def test_a_kit_keeps_the_law(law: Law, any_kit: Sample) -> None:
    """expected == actual: nothing is broken."""
    assert broken(law, any_kit.name) == [], law.LAW


@pytest.mark.parametrize(("law", "fault"), PLANTED)
def test_a_planted_fault_is_seen(law: Law, fault: Fault) -> None:
    """A property that sees no fault that is there proves nothing."""
    assert seen(law, fault), f"No kit shows the fault '{fault.what}' to the law: {law.LAW}"


def test_every_law_has_planted_faults() -> None:
    assert {name: len(law.FAULTS) for name, law in LAWS.items() if len(law.FAULTS) < 2} == {}


def test_a_law_says_what_it_promises_in_one_line() -> None:
    assert all(law.LAW and "\n" not in law.LAW for law in LAWS.values())
