"""What only the author can state is asked for, and words of any language decide nothing."""

from __future__ import annotations

from dataclasses import replace

import pytest
from builders import HERE, freed, kit, pocket
from kit_samples import DEMOS, checked_demo

from kitforge.geometry.shapes import rectangle
from kitforge.model.facts import Hardware, Hazard, PieceUse
from kitforge.model.findings import Finding, Severity
from kitforge.model.kit import Kit
from kitforge.model.needs import End, PassageNeed, SeatNeed
from kitforge_needs.hints import suggested
from kitforge_needs.stated import check_statements

RECESS = pocket(rectangle((60, 40), centre=(100, 100)), depth=10)


def stated(*things: Hardware, uses: tuple[PieceUse, ...] = (PieceUse.INDOORS,), **more: object) -> Kit:
    """Return a kit of one part with a recess, these things and this use."""
    plain = kit(freed(RECESS))
    return replace(plain, hardware=things, info=replace(plain.info, uses=uses), **more)  # type: ignore[arg-type]


def thing(item: str, *hazards: Hazard) -> Hardware:
    return Hardware(item, "1", hazards=hazards, source=HERE)


def codes(found: Kit) -> list[str]:
    return [finding.code for finding in check_statements(found)]


def test_a_hazard_that_is_not_stated_is_asked_for_and_none_is_an_answer() -> None:
    (finding,) = check_statements(stated(Hardware("Screw", "4", source=HERE)))
    assert (finding.code, finding.severity, finding.source) == ("hazard-unknown", Severity.WARNING, HERE)
    assert "'Screw'" in str(finding.message)
    assert codes(stated(thing("Screw", Hazard.NONE))) == []


@pytest.mark.parametrize(
    ("item", "hints"),
    [
        ("Low-voltage LED light module", {Hazard.MAINS}),
        ("Leuchtenfassung E14 mit Zuleitung", {Hazard.MAINS}),
        ("Knopfzelle CR2032", {Hazard.BUTTON_CELL, Hazard.SMALL_PART}),
        ("Glass marbles", {Hazard.GLASS, Hazard.SMALL_PART}),
        ("Dübel und Haken", {Hazard.WALL_FIXING}),
        ("Wood screw 4 × 30", set()),
    ],
)
def test_words_of_two_languages_hint_in_the_advice_only(item: str, hints: set[Hazard]) -> None:
    (finding,) = check_statements(stated(Hardware(item, "1", source=HERE)))
    assert set(suggested(item)) == hints
    assert ("may mean" in str(finding.advice)) is bool(hints)
    assert codes(stated(thing(item, Hazard.NONE))) == []


def test_a_use_that_is_not_stated_is_asked_for() -> None:
    assert codes(stated(uses=())) == ["use-unknown"]


@pytest.mark.parametrize(("hazard", "use"), [(Hazard.WALL_FIXING, PieceUse.WALL), (Hazard.FOOD_CONTACT, PieceUse.FOOD)])
def test_a_use_and_a_hazard_must_agree(hazard: Hazard, use: PieceUse) -> None:
    assert codes(stated(thing("Plate", hazard))) == ["use-disagrees"]
    assert codes(stated(thing("Plate", hazard), uses=(PieceUse.INDOORS, use))) == []


def test_an_electric_piece_with_a_recess_is_asked_for_the_way_of_its_cable() -> None:
    lamp = thing("Fassung", Hazard.MAINS)
    (finding,) = check_statements(stated(lamp))
    assert (finding.code, finding.severity) == ("electric-no-passage", Severity.WARNING)
    assert "from: pocket" in str(finding.advice).replace(RECESS.name, "pocket")
    way = PassageNeed("part", RECESS.name, End.OUTSIDE, 6.0, 6.0, False, HERE)
    assert codes(stated(lamp, needs=(way,))) == []
    flat = stated(lamp)
    assert codes(replace(flat, parts=(replace(flat.parts[0], operations=flat.parts[0].operations[1:]),))) == []


def test_a_piece_on_batteries_may_have_no_cable() -> None:
    """Asked in a note, and not at all where something is stated of what the recess holds."""
    clock = thing("Uhrwerk", Hazard.BATTERY)
    (finding,) = check_statements(stated(clock))
    assert (finding.code, finding.severity) == ("electric-no-passage", Severity.NOTE)
    seat = SeatNeed("part", RECESS.name, (50.0, 30.0), False, None, 0.5, 0.0, None, HERE)
    assert codes(stated(clock, needs=(seat,))) == []


def test_a_piece_for_children_is_asked_about_what_can_be_swallowed_or_burns() -> None:
    dangerous = (Hazard.SMALL_PART, Hazard.MAGNET, Hazard.BUTTON_CELL, Hazard.HEAT)
    for hazard in dangerous:
        found = codes(stated(thing("Thing", hazard), uses=(PieceUse.CHILDREN,)))
        assert "children-danger" in found
        assert "children-danger" not in codes(stated(thing("Thing", hazard)))
    assert codes(stated(thing("Thing", Hazard.NONE), uses=(PieceUse.CHILDREN,))) == []


@pytest.mark.parametrize("name", DEMOS)
def test_the_demo_kits_state_everything(name: str) -> None:
    asked: list[Finding] = [
        one for one in check_statements(checked_demo(name).kit) if one.severity is not Severity.NOTE
    ]
    assert asked == []
