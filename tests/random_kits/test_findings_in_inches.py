"""An author in inches reads findings in inches: what no check may tell in millimetres any more."""

from __future__ import annotations

import re

import pytest
from kit_samples import Sample

import kitforge_holding.kinds
import kitforge_needs.kinds
from kitforge.model.findings import Finding, FindingType, in_words
from kitforge.model.kit import CutterKind, Kit
from kitforge.model.messages import Wording

# Whose words are not yet templates with values; the list may only become shorter.
ROOMS_IN_PROSE = (kitforge_holding.kinds, kitforge_needs.kinds)
IN_PROSE = frozenset(
    [kind.code for room in ROOMS_IN_PROSE for kind in vars(room).values() if isinstance(kind, FindingType)]
    + ["settings-none", "settings-override", "settings-risk", "class-unfit"]
)


@pytest.mark.law
def test_nothing_is_told_in_millimetres_to_an_author_in_inches(any_kit: Sample) -> None:
    told = in_words(any_kit.findings, Wording(units="in"))
    assert [one.code for one in told if one.code not in IN_PROSE and _in_mm(one, any_kit.kit)] == []


def test_the_same_findings_are_found_in_either_unit() -> None:
    """Words decide nothing: the order and the codes are those of the check."""
    from kit_samples import sample

    found = sample("random-5").findings
    assert [one.code for one in in_words(found, Wording(units="in"))] == [one.code for one in found]


def _in_mm(finding: Finding, kit: Kit) -> bool:
    """Whether a length in mm is left when the names that the kit gives to things are taken away."""
    names = [str(cutter.name) for cutter in kit.cutters.values()]
    names += [str(machine.collet_text) for machine in kit.machines]
    names += [str(text) for part in kit.parts for text in (part.title, *(op.title for op in part.operations))]
    names += [str(stock.title) for stock in kit.stock.values()]
    words = f"{finding.message!s} {finding.advice!s}"
    for name in sorted(names, key=len, reverse=True):
        words = words.replace(name, "")
    named = "|".join(kind.value for kind in CutterKind)  # a cutter to buy is called '25 mm surfacing'
    return re.search(rf"\d\s*mm(?! (?:{named}))", words) is not None
