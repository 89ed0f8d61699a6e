"""Everything that a sentence of a booklet has its reader use is listed, and nothing is listed that no sentence uses.

The program computes the list from a field beside each sentence; only this test reads the words.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from functools import cache
from pathlib import Path

import pytest
from demo_kits import DEMOS, demo, said

from kitforge.model.facts import FinishingStep, When
from kitforge.model.kit import Kit
from kitforge.model.lines import Line, Use, line
from kitforge.model.plan import Plan
from kitforge.model.record import every
from kitforge.pipeline import plan_kit
from kitforge.planning.fasteners import fastener_length, placed_hold_downs
from kitforge.plugins import load_plugins
from kitforge.print.figures import Units
from kitforge.workshop.bench import bench, wanted
from kitforge.workshop.load import load_workshop
from kitforge_booklet.amounts import amounts
from kitforge_booklet.fastening import fastener_uses
from kitforge_booklet.finishing import finish_page, finishing_steps
from kitforge_booklet.records import Booklet
from kitforge_booklet.shopping_list import needs

MM = Units("mm", both=False)
SHOP = load_workshop()
KITS = Path(__file__).parents[2] / "kits"

# Words of a sentence that name a thing of the bench table. A thing that other words stand for is not looked for here.
WORDS = {
    "calliper": r"\bcalliper",
    "try_square": r"\bsquare from two sides|\bsaw the blank square|square edges",
    "straight_edge": r"straight edge",
    "pencil": r"\bpencil|\bwrite F\b|\bMark a triangle|cables and pipes in the wall",
    "saw": r"\b[Ss]aw the (blank|three)|\bCut the piece to",
    "fine_saw": r"Saw or chisel|Cut the tabs",
    "chisel": r"\bchisel",
    "plane": r"\b(Plane|Surface) both|\bplane it",
    "knife": r"\bknife",
    "thin_blade": r"thin blade",
    "scraper": r"\bScrape the glue",
    "sanding_block": r"\bblock\b",
    "vacuum_cleaner": r"\b[Vv]acuum\b(?! is| alone)",
    "mallet": r"\bmallet|\b[Tt]ap the tenons",
    "bar_clamp": r"\bclamps?, no more than",
    "glue_brush": r"Brush (wood|a little waterproof) glue",
    "wood_glue": r"wood glue|Glue the (stem|ring)",
    "waterproof_glue": r"waterproof glue",
    "ladder": r"\bladder only|Work on a ladder",
    "strip": r"straight strips",
    "pliers": r"\bpliers",
    "rag_can": r"metal can|each rag away",
    "wedge": r"\bwedges\b",
    "scrap_wood": r"with scrap\b|piece of scrap|scrap under",
    "cloth": r"\bcloth\b|\b[Ww]ipe\b",
    "pad": r"\ba pad\b",
    "drying_strip": r"pins or narrow strips",
    "stirring_stick": r"\bStir\b",
    "soft_brush": r"Brush the dust out",
    "steel_rule": r"235 mm above|20 mm in from|\bCut the piece to|measure the length|each .* wide, .* long",
    "collet_spanners": r"out of the collet and tighten",
    "gloves": r"never near the spindle|Gloves",
    "extraction": r"Run extraction",
    "eye_protection": r"\b[Ee]ye protection",
    "ear_protection": r"\b[Ee]ar protection",
    "dust_mask": r"\b[Dd]ust mask",
    "spoilboard": r"\bspoilboard",
}


def sentences(document: object) -> Iterator[str]:
    """Every text of the sections that are followed in order; not the list itself, nor tables and drawings."""
    if isinstance(document, str):
        yield document
    elif isinstance(document, tuple | list):
        for one in document:
            yield from sentences(one)
    elif is_dataclass(document) and not isinstance(document, Use):
        for field in fields(document):
            if field.name not in ("needs", "amounts", "drawings", "cover", "notes", "troubles"):
                yield from sentences(getattr(document, field.name))


@cache
def named(kit_name: str) -> frozenset[str]:
    said = [text for text in sentences(demo(kit_name).booklet) if not text.startswith(("<", "data:"))]
    whole = "\n".join(said)  # no pattern reaches over the end of a line
    return frozenset(key for key, words in WORDS.items() if re.search(words, whole))


def listed(made: Booklet) -> set[str]:
    keys = {item.name: item.key for item in bench().values()}
    groups = (made.needs.hold_down, made.needs.hardware, made.needs.finishing, made.needs.tools, made.needs.protection)
    return {keys[item.name] for group in groups for item in group if item.name in keys}


@pytest.mark.parametrize("name", DEMOS)
def test_what_a_sentence_has_its_reader_use_is_listed(name: str) -> None:
    assert sorted(named(name) - listed(demo(name).booklet)) == []


@pytest.mark.parametrize("name", DEMOS)
def test_nothing_is_listed_that_no_sentence_uses(name: str) -> None:
    made = demo(name).booklet
    assert listed(made) == {use.item for use in every(Use, made)}
    assert sorted((listed(made) & WORDS.keys()) - named(name)) == []


def test_a_list_can_lack_something() -> None:
    """The two checks above can fail: a sentence without its field is missed."""
    made = demo("plant-stand").booklet
    assert "chisel" in named("plant-stand") & listed(made)
    assert made.freeing is not None
    bare = replace(made.freeing, steps=tuple(Line(one.text) for one in made.freeing.steps))
    assert "chisel" not in {use.item for use in every(Use, replace(made, freeing=bare))}


def test_counts_of_what_is_used_up_are_added_and_of_tools_the_most_counts() -> None:
    found = wanted([Use("cloth", 2), Use("bar_clamp", 3), Use("cloth", 1), Use("bar_clamp", 5), Use("mallet")])
    assert {one.item.key: one.count for one in found} == {"mallet": 0, "bar_clamp": 5, "cloth": 3}


def test_screws_come_with_count_and_length() -> None:
    """24 mm of stock and 15 mm into the spoilboard are 39 mm; sold are 40 mm, which stay in 18 mm of spoilboard."""
    made = demo("wall-clock")
    planned = made.checked.plan.setups[0]
    (hold,) = placed_hold_downs(planned.setup)
    assert (planned.thickness, hold.penetration, fastener_length(hold, planned)) == (24.0, 15.0, 40.0)
    item = next(item for item in made.booklet.needs.hold_down if "screws to hold" in item.name)
    assert (item.count, item.detail) == (f"{len(planned.fasteners)} ×", "3.5 × 40 mm (0.138 × 1.575 in).")
    assert fastener_uses(planned, MM)[0] == Use("hold_screw", len(planned.fasteners), "3.5 × 40 mm")


@pytest.mark.parametrize("name", DEMOS)
def test_a_step_that_does_not_ramp_is_not_told_to(name: str) -> None:
    """What is printed in the table of settings and what stands below it agree."""
    for step in said(name).booklet.steps:
        if "let it ramp" in step.watch:
            assert any(row.entry.startswith(("ramp", "helix")) for row in step.rows)


def _finished(kit: Kit, key: str, *steps: FinishingStep) -> Kit:
    return replace(kit, finishing=replace(kit.finishing, finish=SHOP.finishes[key], steps=steps))


def test_finishing_is_one_list_in_the_order_it_is_done(kit: Kit) -> None:
    own = [FinishingStep(Line(f"Own, {when}"), when) for when in (When.AFTER, When.BETWEEN, When.BEFORE, When.SANDING)]
    said = [str(one) for one in finishing_steps(_finished(kit, "hardwax_oil", *own).finishing)]
    order = ["Sand as the table", "Own, sanding", "Remove all dust", "Own, before", "spread a thin coat",
             "Own, between", "Between two coats", "2 in all", "put each rag away", "Own, after"]  # fmt: skip
    found = [next(index for index, text in enumerate(said) if words in text) for words in order]
    assert found == sorted(found)


@pytest.mark.parametrize("key", sorted(SHOP.finishes))
def test_every_finish_prints_and_names_what_it_takes(kit: Kit, plan: Plan, key: str) -> None:
    """Bare wood too, which has no coats, no amounts and nothing to dry."""
    made = finish_page(_finished(kit, key), MM, 5e5)
    assert made is not None
    uses = {use.item for use in every(Use, made)}
    coats = SHOP.finishes[key].coats
    assert bool(uses & {"brush", "pad", "cloth"}) == bool(coats)
    assert bool(made.coating_signs) == bool(coats)
    assert any(fact.label == "Coats" for fact in made.facts) == bool(coats)
    names = [item.name for item in needs(_finished(kit, key), plan, MM, every(Use, made), 5e5).finishing]
    assert (SHOP.finishes[key].name in names) == bool(coats)
    for bought in ("thinner", "primer"):
        assert (bench()[bought].name in names) == (bought in uses)


def test_a_thinned_varnish_has_its_thinner_and_a_stain_of_the_author_is_bought(kit: Kit, plan: Plan) -> None:
    stain = FinishingStep(line("Stain the wood and let it dry", "wood_stain", "brush"))
    stained = _finished(kit, "oil_based_varnish", stain)
    made = finish_page(stained, MM, 5e5)
    names = [item.name for item in needs(stained, plan, MM, every(Use, made), 5e5).finishing]
    assert {"Thinner", "Wood stain", "Stirring stick"} <= set(names)


def test_the_finish_is_as_much_on_every_page() -> None:
    """The list, the table of amounts and the page of the finish name one amount to buy and one to use."""
    for name in DEMOS:
        made = demo(name).booklet
        finish = made.finish.finish if made.finish else ""
        row = next((row for row in made.amounts if row.what == finish), None)
        if made.finish is None or row is None:
            continue
        item = next(item for item in made.needs.finishing if item.name == finish)
        assert item.detail.startswith(f"{row.buy} for ")
        assert next(fact.value for fact in made.finish.facts if fact.label.startswith("Amount")).startswith(row.uses)


def test_a_kit_without_coats_has_no_row_of_finish(kit: Kit, plan: Plan) -> None:
    from kitforge.pictures.drawn.shots import shots_of

    rows = amounts(_finished(kit, "none"), plan, shots_of(kit, plan), MM)
    assert "No finish" not in [row.what for row in rows]


def test_an_unknown_thing_of_the_author_is_told_with_its_line(tmp_path: Path) -> None:
    from kitforge.model.errors import UnreadableKitError

    text = (KITS / "plant-stand" / "kit.yaml").read_text().replace("uses: [mallet,", "uses: [malet,")
    (tmp_path / "kit.yaml").write_text(text)
    with pytest.raises(UnreadableKitError) as refused:
        plan_kit(tmp_path, load_plugins())
    (problem,) = refused.value.problems
    wanted_line = next(number for number, one in enumerate(text.splitlines(), 1) if "malet" in one)
    assert (problem.code, problem.source.line, "mallet" in str(problem.advice)) == ("unknown-name", wanted_line, True)
