"""Advice is tried before it is named."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

from random_cuts import random_cases

from kitforge.cutting.remedies import CHANGES, UNTRIED, helping
from kitforge.cutting.settings import settings
from kitforge.cutting.worksheet.program import settings_sheet
from kitforge.cutting.worksheet.rows import ToldRow
from kitforge.model.settings import CutSettings, NoWindow, RequestedSettings
from kitforge.workshop.cutting_data import cutting_data

DATA = cutting_data()


def test_every_remedy_of_the_worksheet_can_be_tried_or_is_named_as_one_that_cannot() -> None:
    sheet = settings_sheet().sheet
    told = {help_ for entry in sheet.entries if isinstance(entry, ToldRow) for help_ in entry.helps}
    told |= {help_ for helps in sheet.helps.values() for help_ in helps}
    assert told == CHANGES.keys() | set(UNTRIED)
    assert not CHANGES.keys() & set(UNTRIED)


def test_a_cutter_with_one_flute_is_not_told_to_have_fewer() -> None:
    tried = 0
    for case in random_cases(97, 1500):
        found = settings(case.cut, case.cutter, case.material, case.machine, DATA)
        for problem in found.problems if isinstance(found, NoWindow) else ():
            offered = {remedy.template for remedy in problem.remedies}
            if case.cutter.flutes == 1 and "fewer flutes" in offered:
                tried += 1
                assert "fewer flutes" not in {one.template for one in helping(problem, found)}
    assert tried


def test_remedies_that_do_not_help_are_dropped_and_some_stay() -> None:
    """Over random cuts: each remedy that can be tried is kept now and then, and dropped now and then."""
    kept, dropped, none = Counter[str](), Counter[str](), 0
    for case in random_cases(99, 1500):
        plain = replace(case, wish=RequestedSettings())
        found = settings(plain.cut, plain.cutter, plain.material, plain.machine, DATA, plain.wish)
        for problem in found.problems if isinstance(found, NoWindow) else found.notes:
            told = helping(problem, found)
            kept.update(one.template for one in told)
            dropped.update(one.template for one in problem.remedies if one not in told)
            none += not told
    assert sum(dropped.values()) > 20 and sum(kept.values()) > 200
    assert not dropped.keys() & set(UNTRIED)
    assert none < 0.1 * sum(kept.values()), (kept, dropped, none)


def test_feeding_faster_is_told_only_where_the_range_goes_far_enough() -> None:
    """A finishing pass that still rubs at the upper end of its feed is not told to feed faster."""
    told = Counter[bool]()
    for case in random_cases(98, 1500):
        found = settings(case.cut, case.cutter, case.material, case.machine, DATA)
        if isinstance(found, CutSettings):
            for note in found.notes:
                if "feed faster, up to the end of the range" in {one.template for one in note.remedies}:
                    faster = RequestedSettings(feed=found.feed.high)
                    then = settings(case.cut, case.cutter, case.material, case.machine, DATA, faster)
                    gone = isinstance(then, CutSettings) and note.trouble not in {one.trouble for one in then.notes}
                    named = {one.template for one in helping(note, found)}
                    assert ("feed faster, up to the end of the range" in named) == gone
                    told[gone] += 1
    assert told[True] and told[False], told
