"""What an author wrote in several languages comes out in each; what is missing in a language that is built is told."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import jsonschema
import pytest
from sample_kits import SAMPLE, NoPlugins, changed, definition_findings, place, resolved

from kitforge.definition.json_schema import json_schema
from kitforge.definition.yaml_reader import read_yaml
from kitforge.language import use_language
from kitforge.model.kit import Kit
from kitforge.model.messages import msg
from kitforge.model.own_words import OwnText, in_language
from kitforge.model.pack import BuildOptions
from kitforge.model.plan import Plan
from kitforge.model.record import every
from kitforge.pictures.same_cuts import SameCuts
from kitforge.plugins import load_plugins
from kitforge.stages.own_languages import untranslated
from kitforge.stages.planning import plan
from kitforge_booklet.build import booklet
from kitforge_listing.text import listing

MORE = """\
    title: FRONT BOARD
    note: NOTE OF PART
hardware: [{item: BRASS HOOKS, count: ABOUT FOUR, use: FOR HANGING, note: NOTE OF HOOKS, hazard: none}]
assembly: [{text: HANG IT UP, caution: MIND THE LADDER, uses: [{item: drill_bit, detail: OF TWO MM}]}]
finishing: {finish: tung_oil, surfaces: ALL BUT THE BACK, steps: [OIL THE EDGES, {text: WIPE IT, when: after}]}
setups: {board: {top: {note: MIND THE KNOTS}}}
tried: [{machine: light_router, wood: black_cherry, date: 2025-03-31, seen: CLEAN EDGES}]
notes: [ONE MORE NOTE]
"""
KIT = changed(("angle: 90}", "angle: 90, note: SHARP AS NEW}"), text=SAMPLE) + MORE
LOUD = re.compile(r"(?<![A-Z])[A-Z]{2,}(?: [A-Z]+)+")


def in_both(text: str) -> str:
    """Return a kit.yaml in which each text in capitals is given in two languages."""
    return LOUD.sub(lambda found: f"{{en: {found[0]}, de: ÜBER {found[0][::-1]}}}", text)


@pytest.fixture(scope="module")
def both(tmp_path_factory: pytest.TempPathFactory) -> tuple[Kit, Plan]:
    plugins = load_plugins()
    kit = resolved(tmp_path_factory.mktemp("kit"), in_both(KIT), plugins)
    return kit, plan(kit, plugins)


def test_every_text_comes_out_in_the_language_of_its_reader(both: tuple[Kit, Plan]) -> None:
    """All that an author wrote is printed somewhere: nothing is lost without a word."""
    texts = LOUD.findall(KIT)
    assert len(texts) == 16
    for code, other in (("en", "de"), ("de", "en")):
        kit, planned = in_language(both, code)
        with use_language(code):
            found = "\n".join(
                [*every(str, booklet(kit, planned, BuildOptions())), listing(kit, planned, BuildOptions())]
            )
        said = {"en": set(texts), "de": {f"ÜBER {text[::-1]}" for text in texts}}
        missing = {text for text in said[code] if text.lower() not in found.lower()}
        assert missing == set(), code
        assert not {text for text in said[other] if text in found}, code


def test_a_kit_in_one_language_is_not_copied(tmp_path: Path) -> None:
    kit = resolved(tmp_path)
    assert in_language(kit, "de") is kit


def test_what_stands_in_two_places_is_one_object_in_the_other_language(both: tuple[Kit, Plan]) -> None:
    kit, planned = in_language(both, "de")
    assert kit.parts[0] is not both[0].parts[0]
    assert {id(step.part) for step in planned.steps} == {id(kit.parts[0])}


def test_a_kit_is_cut_and_drawn_once_for_all_languages(both: tuple[Kit, Plan]) -> None:
    """What its steps cut stays the same object in every language; the same kit planned anew is another one."""
    kit, planned = both
    first = SameCuts(planned, kit.parts)
    for code in ("en", "de"):
        said, read = in_language(both, code)
        assert read is not planned
        found = SameCuts(read, said.parts)
        assert (found, hash(found)) == (first, hash(first))
    again = plan(kit, load_plugins())
    assert SameCuts(again, kit.parts) != first
    deeper = replace(planned, steps=tuple(replace(step, depth=step.depth + 0.1) for step in planned.steps))
    assert SameCuts(deeper, kit.parts) != first


def test_a_finding_names_things_in_the_language_of_its_reader() -> None:
    told = msg("{part} is too small.", part=OwnText("Lid", {"en": "Lid", "de": "Deckel"}))
    with use_language("de") as german:
        assert german.wording().write(told).startswith("Deckel")
    assert str(told) == "Lid is too small."


def test_what_is_missing_in_a_language_that_is_built_is_told_once(tmp_path: Path) -> None:
    text = changed(("title: Nest box front", "title: {en: Nest box front, de: Front des Nistkastens}"))
    kit = resolved(tmp_path, text, NoPlugins())
    assert list(untranslated(kit, ["en"])) == []
    (found,) = untranslated(kit, ["en", "de"])
    assert (found.code, (found.source.line, found.source.column)) == ("text-untranslated", place(text, "The front of"))
    # the summary, the part and its four operations
    assert str(found.message).startswith("6 texts of the kit are not given in 'de'")
    (french,) = untranslated(kit, ["fr"])
    assert str(french.message).startswith("7 texts")


@pytest.mark.parametrize(
    ("entry", "said"),
    [
        ("{en: '', de: Front}", "in 'en', a text is wanted, not an empty one"),
        ("{en: 7, de: Front}", "in 'en', a text is wanted, not the number 7"),
        ("{english: Front}", "one in several languages is written {en: ..., de: ...}"),
        ("{}", "a text is wanted, not a group of keys"),
        (f"{{de: {'x' * 121}}}", "in 'de', the text has 121 characters; 120 is the limit"),
    ],
)
def test_a_text_by_language_that_makes_no_sense_is_told(entry: str, said: str) -> None:
    (found,) = definition_findings(changed(("title: Nest box front", f"title: {entry}")))
    assert said in str(found.message)


def test_characters_are_tried_in_every_language(tmp_path: Path) -> None:
    kit = resolved(tmp_path, changed(("title: Nest box front", "title: {en: Front, de: 'Fr中nt'}")))
    assert [found.code for found in kit.problems] == ["character-missing"]


def test_editors_are_told_of_texts_by_language() -> None:
    jsonschema.validate(read_yaml(in_both(KIT).encode(), "kit.yaml")[0], json_schema())
