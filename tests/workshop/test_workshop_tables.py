"""The data files of the workshop: complete, sourced, strict, and equal to the published figures they quote."""

from __future__ import annotations

import dataclasses
import re
from pathlib import Path

import pytest

import kitforge.workshop
from kitforge.model.workshop import Fact, HoldKind, MaterialKind, Span
from kitforge.workshop.handwork import handwork
from kitforge.workshop.load import (
    TABLES,
    citation,
    citations,
    load_workshop,
    read_finish,
    read_hold_down,
    read_machine,
    read_material,
    read_table,
    weak_facts,
)
from kitforge.workshop.tables import TRUSTS, UNSOURCED, TableError, table, table_from_text

SHOP = load_workshop()
DATA = Path(kitforge.workshop.__file__).parent / "data"


def figures(record: object) -> list[Fact | Span]:
    """All facts and ranges of a record, however deep."""
    if isinstance(record, Fact | Span):
        return [record]
    if isinstance(record, dict):
        return [found for value in record.values() for found in figures(value)]
    if isinstance(record, tuple | list):
        return [found for value in record for found in figures(value)]
    if dataclasses.is_dataclass(record):
        return [found for field in dataclasses.fields(record) for found in figures(getattr(record, field.name))]
    return []


def test_every_figure_has_a_source_that_exists_and_a_known_trust() -> None:
    known = set(citations()) | set(UNSOURCED)
    found = figures(SHOP)
    assert len(found) > 350
    assert {figure.source for figure in found} <= known
    assert {figure.trust for figure in found} <= set(TRUSTS)


def test_a_figure_without_a_source_is_never_called_read() -> None:
    wrong = [figure for figure in figures(SHOP) if figure.source in UNSOURCED and figure.trust != figure.source]
    assert wrong == []


@pytest.mark.parametrize("name", TABLES)
def test_every_cited_source_is_used_in_its_file(name: str) -> None:
    text = (DATA / f"{name}.yaml").read_text(encoding="utf-8")
    unused = [key for key in table(name).sources if len(re.findall(rf"\b{key}\b", text)) < 2]
    assert unused == []


def test_texts_about_dust_and_hazards_have_sources_that_exist() -> None:
    dust = {material.dust_source for material in SHOP.materials.values()}
    hazards = {source for finish in SHOP.finishes.values() for source in finish.hazard_sources}
    assert (dust | hazards) <= set(citations())
    assert all(material.dust_class for material in SHOP.materials.values())


def test_the_tables_are_as_full_as_promised() -> None:
    """At least: a new material or finish touches no test."""
    panels = [material for material in SHOP.materials.values() if material.is_panel]
    assert len(SHOP.materials) - len(panels) >= 39
    assert len(panels) >= 6
    assert len(SHOP.machines) >= 5
    assert {hold.kind for hold in SHOP.hold_downs.values()} == set(HoldKind)
    assert len(SHOP.finishes) >= 11
    assert {material.kind for material in SHOP.materials.values()} == set(MaterialKind)


def test_keys_are_those_of_the_records() -> None:
    for entries in (SHOP.materials, SHOP.machines, SHOP.hold_downs, SHOP.finishes):
        assert list(entries) == [entry.key for entry in entries.values()]


def test_names_and_colours_tell_materials_apart() -> None:
    materials = SHOP.materials.values()
    assert len({material.name for material in materials}) == len(materials)
    assert len({material.colour for material in materials}) == len(materials)


def test_each_call_hands_out_new_dictionaries_over_the_same_records() -> None:
    """A plugin that adds an entry must not change what the next kit sees."""
    first, second = load_workshop(), load_workshop()
    first.materials.pop("teak")
    assert "teak" in second.materials
    assert first.materials["mdf"] is second.materials["mdf"]


# Wood Handbook, FPL-GTR-190 (2010): Table 5-3a (specific gravity, side hardness N, shear MPa, modulus of rupture MPa
# at 12 % moisture) and Table 13-5 (tangential and radial movement); softwood movement by the rule in the sources block.
HANDBOOK = [
    ("black_walnut", 0.55, 4500, 9.4, 101.0, 0.00274, 0.00190),
    ("sugar_maple", 0.63, 6400, 16.1, 109.0, 0.00353, 0.00165),
    ("black_cherry", 0.50, 4200, 11.7, 85.0, 0.00248, 0.00126),
    ("white_oak", 0.68, 6000, 13.8, 105.0, 0.00365, 0.00180),
    ("northern_red_oak", 0.63, 5700, 12.3, 99.0, 0.00369, 0.00158),
    ("white_ash", 0.60, 5900, 13.2, 103.0, 0.00274, 0.00169),
    ("yellow_birch", 0.62, 5600, 13.0, 114.0, 0.00338, 0.00256),
    ("american_beech", 0.64, 5800, 13.9, 103.0, 0.00431, 0.00190),
    ("yellow_poplar", 0.42, 2400, 8.2, 70.0, 0.00289, 0.00158),
    ("american_basswood", 0.37, 1800, 6.8, 60.0, 0.00330, 0.00230),
    ("red_alder", 0.41, 2600, 7.4, 68.0, 0.00256, 0.00151),
    ("eastern_white_pine", 0.35, 1700, 6.2, 59.0, 0.00212, 0.00071),
    ("douglas_fir_coast", 0.48, 3200, 7.8, 85.0, 0.00267, 0.00165),
    ("western_redcedar", 0.32, 1600, 6.8, 51.7, 0.00234, 0.00111),
    ("shagbark_hickory", 0.72, 8400, 16.8, 139.0, 0.00411, 0.00259),
]


@pytest.mark.parametrize("row", HANDBOOK, ids=lambda row: row[0])
def test_woods_equal_the_handbook(row: tuple[str, float, float, float, float, float, float]) -> None:
    wood = SHOP.materials[row[0]]
    strength = (wood.specific_gravity, wood.hardness, wood.shear_parallel, wood.modulus_of_rupture)
    facts = (*strength, wood.movement_tangential, wood.movement_radial)
    assert tuple(fact.value for fact in facts if fact) == row[1:]


# Second copies in inch-pound units: Oregon State University table for Douglas-fir 12 400 psi and 710 lbf; handbook
# copies for hard maple 15 800 psi, white ash 15 000 psi, northern red oak 14 300 psi, white oak 15 200 psi.
@pytest.mark.parametrize(
    ("key", "psi"),
    [
        ("douglas_fir_coast", 12400),
        ("sugar_maple", 15800),
        ("white_ash", 15000),
        ("northern_red_oak", 14300),
        ("white_oak", 15200),
    ],
)
def test_modulus_of_rupture_agrees_with_the_inch_pound_tables(key: str, psi: float) -> None:
    rupture = SHOP.materials[key].modulus_of_rupture
    assert rupture is not None
    assert rupture.value == pytest.approx(psi * 0.00689476, rel=0.01)


def test_density_follows_from_specific_gravity() -> None:
    """Wood Handbook FPL-GTR-282 Eq. 4-14: 1000 G 1.12, printed to whole kg/m3."""
    for wood in SHOP.materials.values():
        if wood.specific_gravity is not None:
            assert wood.density.value == pytest.approx(1120 * wood.specific_gravity.value, abs=0.51)
            assert wood.density.trust == "derived"


def test_tangential_movement_exceeds_radial() -> None:
    """Wood Handbook chapter 4: tangential shrinkage is about twice the radial."""
    for wood in SHOP.materials.values():
        if wood.movement_tangential and wood.movement_radial:
            assert 1.1 < wood.movement_tangential.value / wood.movement_radial.value < 3.2


def test_birch_plywood_18_mm_band_is_the_data_sheets() -> None:
    """Supplier's birch plywood data sheet: 13 plies, 17.1 to 18.1 mm, mean 17.7 mm."""
    sheet = next(size for size in SHOP.materials["birch_plywood"].sheet_sizes if size.nominal == 18)
    assert (sheet.lower, sheet.mean, sheet.upper) == (17.1, 17.7, 18.1)


def test_weak_facts_lists_recalled_figures_and_nothing_read() -> None:
    """Mahogany's handbook figures were not read, so four of its figures are weak; walnut's were all read."""
    labels = [label for label, _ in weak_facts(SHOP.materials["mahogany"])]
    assert labels == [
        "density",
        "shear strength parallel to the grain",
        "tangential movement",
        "radial movement",
    ]
    assert weak_facts(SHOP.materials["black_walnut"]) == ()


def test_dust_of_oak_and_beech_is_a_confirmed_carcinogen() -> None:
    """OSHA chemical sampling record for wood dust: ACGIH A1 for oak and beech; IARC Group 1 for all wood dust."""
    for key in ("white_oak", "northern_red_oak", "american_beech"):
        assert "A1, confirmed" in str(SHOP.materials[key].dust_class)
    assert all("IARC Group 1" in str(material.dust_class) for material in SHOP.materials.values())


@pytest.mark.parametrize(
    ("key", "diameter", "fits"),
    [
        ("extra_light_router", 3.175, True),
        ("extra_light_router", 8, False),
        ("light_router", 6.35, True),
        ("light_router", 6, False),
        ("medium_router", 8, True),
        ("medium_router", 12.7, False),
        ("heavy_router", 12.7, True),
        ("extra_heavy_router", 20, True),
    ],
)
def test_shanks_that_the_classes_hold(key: str, diameter: float, fits: bool) -> None:
    """Common practice, no source; ER clamping ranges of ISO 15488 from memory."""
    assert SHOP.machines[key].takes_shank(diameter) == fits


def test_every_hold_down_warns_and_stays_short() -> None:
    for hold in SHOP.hold_downs.values():
        assert 2 <= len(hold.cautions) <= 4
        assert all(len(text) <= 140 and text.endswith((".", "!")) for text in hold.cautions)
    assert any("skin" in text for text in SHOP.hold_downs["masking_tape_glue"].cautions)
    assert "breaks" in SHOP.hold_downs["brads"].cautions[0]


def test_vacuum_safety_factors_are_the_published_ones() -> None:
    """Design calculation of a vacuum-component maker: 1.5 smooth and dense, 2.0 porous or critical."""
    assert SHOP.hold_downs["vacuum_pods"].safety == Fact(1.5, "suction_calculation", "read")
    assert SHOP.hold_downs["vacuum_board"].safety.value == 2.0


def test_drying_oils_are_marked_self_heating_and_water_based_finishes_are_not() -> None:
    """NFPA tip sheet 'Safety with Oily Rags' (2017): drying oils heat by themselves, water-based finishes do not."""
    heating = {key for key, finish in SHOP.finishes.items() if finish.self_heating}
    assert heating == {
        "hardwax_oil",
        "boiled_linseed_oil",
        "tung_oil",
        "oil_based_varnish",
        "exterior_oil",
    }
    for key in heating:
        finish = SHOP.finishes[key]
        assert "nfpa_rags" in finish.hazard_sources


def test_no_finish_promises_to_be_food_safe() -> None:
    for finish in SHOP.finishes.values():
        assert "food safe" not in finish.food_contact.lower()
        assert "food-safe" not in finish.food_contact.lower()


def test_every_finish_but_bare_wood_has_coats_steps_and_coverage() -> None:
    for key, finish in SHOP.finishes.items():
        assert bool(finish.coat) == (finish.coats > 0)
        assert (finish.coats > 0 and finish.coverage.low > 0) == (key != "none")
        assert finish.dry_hours.low <= finish.dry_hours.high


def test_citation_gives_the_full_text_or_the_authors_own_words() -> None:
    assert citation("wh190_t5_3a").startswith("Wood Handbook, FPL-GTR-190 (2010), Table 5-3a")
    assert citation("measured on the bench") == "measured on the bench"


GOOD_WOOD = """
sources: {book: "A book (invented for this test)"}
materials:
  pear:
    name: Pear
    kind: hardwood
    density: [700, book]
    dust_source: book
    colour: "#aabbcc"
"""


def test_a_table_of_ones_own_reads_the_same_way() -> None:
    pear = read_table(table_from_text(GOOD_WOOD, "mine.yaml"), "materials", read_material)["pear"]
    assert pear.density == Fact(700.0, "book", "read")
    assert pear.specific_gravity is None


@pytest.mark.parametrize(
    ("old", "new", "problem"),
    [
        ("[700, book]", "[700, shelf]", "'shelf' is no key of the sources block"),
        ("[700, book]", "[700]", "expected \\[value, source\\]"),
        ("[700, book]", "[.nan, book]", "nan is not a finite number"),
        ("[700, book]", "[true, book]", "True is not a finite number"),
        ("[700, book]", "[-1, book]", "is not above zero"),
        ("[700, book]", "[700, book, sure]", "trust 'sure' does not fit"),
        ("[700, book]", "[700, memory, read]", "trust 'read' does not fit"),
        ("    kind: hardwood\n", "", "kind: expected a text"),
        ("hardwood", "metal", "'metal' is none of"),
        ("    name: Pear\n", "    name: Pear\n    weight: 3\n", "weight: unknown field"),
        ("    name: Pear\n", "    name: Pear\n    name: Plum\n", "given twice: name"),
        ("#aabbcc", "blue", "is not written #rrggbb"),
        ("  pear:", "  Pear Tree:", "keys are lower case"),
        ("materials:", "woods:", "expected a mapping"),
        ("sources: {book", "sources: {memory", "cannot be used"),
        ("kind: hardwood", "kind: [", "mine.yaml"),
    ],
)
def test_a_broken_table_is_refused_with_its_place(old: str, new: str, problem: str) -> None:
    broken = GOOD_WOOD.replace(old, new)
    assert broken != GOOD_WOOD
    with pytest.raises(TableError, match=problem):
        read_table(table_from_text(broken, "mine.yaml"), "materials", read_material)


def test_a_hold_down_needs_exactly_the_figures_of_its_kind() -> None:
    text = """
h:
  odd: {name: Odd, kind: vacuum, about: Odd, safety: [2, memory], keep_out: [0, memory], shear: [1, 2, memory]}
"""
    with pytest.raises(TableError, match=r"'vacuum' needs exactly \['friction', 'pressure'\], got \['shear'\]"):
        read_table(table_from_text(text, "mine.yaml"), "h", read_hold_down)


def test_a_class_with_a_dial_is_refused() -> None:
    """Its positions belong to one make of router."""
    text = (DATA / "machines.yaml").read_text(encoding="utf-8").replace("    rank: 1", "    dial: [9000]\n    rank: 1")
    with pytest.raises(TableError, match="dial: unknown field"):
        read_table(table_from_text(text, "machines.yaml"), "machines", read_machine)


def test_a_finish_without_a_flag_is_refused() -> None:
    text = (DATA / "finishes.yaml").read_text(encoding="utf-8").replace("self_heating: true", "self_heating: maybe")
    with pytest.raises(TableError, match="self_heating: expected true or false"):
        read_table(table_from_text(text, "finishes.yaml"), "finishes", read_finish)


def test_boards_get_thicker_by_quarters_and_lose_some_to_the_planer() -> None:
    """Rough 4/4 is an inch; each surfaced board is 3.5 to 7 mm thinner than it was rough."""
    quarters = handwork().quarters
    assert [one.name for one in quarters][:4] == ["4/4", "5/4", "6/4", "8/4"]
    assert quarters[0].rough == 25.4
    assert all(3.5 <= one.rough - one.surfaced.value <= 7.0 for one in quarters)
    assert [one.rough for one in quarters] == sorted(one.rough for one in quarters)
    assert handwork().surfacing_cutter.diameter >= handwork().flattening["narrowest"].value
