"""Resolving a kit: lengths in mm, names looked up, defaults put in, and every problem found at once."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sample_kits import SAMPLE, NoPlugins, changed, place, refusals, resolved

from kitforge.definition.kinds import KINDS
from kitforge.definition.positions import Positions
from kitforge.definition.quantity import DimensionedValue
from kitforge.model.findings import Finding, Severity
from kitforge.model.kit import Face, OnionSkin, OperationKind, Side, Tabs
from kitforge.model.units import format_mm
from kitforge.model.workshop import Workshop
from kitforge.resolve.values import ResolveContext, ValueRange
from kitforge.workshop.load import load_workshop


def where(finding: Finding) -> tuple[str, int, int]:
    """Code, line and column."""
    return finding.code, finding.source.line, finding.source.column


def test_the_sample_is_short_and_resolves(tmp_path: Path) -> None:
    kit = resolved(tmp_path)
    assert SAMPLE.count("\n") < 60
    (front,) = kit.parts
    assert (front.title, front.count, kit.info.licence, kit.problems) == ("Front", 2, "CC-BY-4.0", ())
    assert front.outline.bounds == pytest.approx((0, 0, 150, 225))
    drill, drip, entrance, outline = front.operations
    assert (drill.title, drill.points) == ("Nail holes", ((10, 10), (140, 10), (10, 215), (140, 215)))
    assert (drip.does, drip.side, drip.width) == (OperationKind.GROOVE, Side.ON, 4.0)
    assert (entrance.side, entrance.frees, entrance.hold) == (Side.INSIDE, False, None)
    assert entrance.shapes[0].area == pytest.approx(math.pi * 16**2)
    assert (outline.side, outline.frees, outline.hold) == (Side.OUTSIDE, True, Tabs(None, 8.0, 3.0, (), True))
    assert (outline.depth, outline.through, outline.allowance) == (17.6, True, 0.5)
    assert (outline.finishing.cutter.key, outline.roughing) == ("end-mill", None)


def test_titles_and_names_come_from_keys_and_measures(tmp_path: Path) -> None:
    kit = resolved(tmp_path)
    assert [str(cutter.name) for cutter in kit.cutters.values()] == [
        "6 mm up-cut, 2 flutes",
        "12.7 mm V-bit, 2 flutes",
        "4 mm drill, 2 flutes",
    ]
    assert str(kit.stock["board"].title) == "Eastern white pine, 18 mm (0.709 in)"
    inch = resolved(tmp_path, changed(("kit:\n", "units: in\nkit:\n"), ("diameter: 6 mm", "diameter: 1/4 in")))
    assert str(inch.cutters["end-mill"].name) == "0.25 in up-cut, 2 flutes"


def test_bare_numbers_are_in_the_units_of_the_kit(tmp_path: Path) -> None:
    pairs = [("width: 300 mm", "width: 8"), ("length: 900 mm", "length: 36"), ("[[10, 10]]", "[[1, 1]]")]
    pairs += [("[= width - 20, = height - 20]", "[1, 1]"), ("[[10, 30], [= width - 10, 30]]", "[[1, 1], [2, 1]]")]
    pairs += [("= height - 60", "2.5"), ("kit:\n", "units: in\nkit:\n")]
    kit = resolved(tmp_path, changed(*pairs))
    board = kit.stock["board"]
    assert (board.width, board.length, board.actual) == pytest.approx((203.2, 914.4, 17.6))
    assert kit.parts[0].operations[0].points[0] == (25.4, 25.4)
    assert kit.info.units == "in"


@pytest.mark.parametrize(("angle", "tip", "width"), [(90, 0, 4.0), (60, 0, 4.0), (60, 0.5, 4.0), (120, 0.2, 6.0)])
def test_a_v_grooves_width_gives_its_depth(tmp_path: Path, angle: float, tip: float, width: float) -> None:
    """At the depth found, a cone of that angle and tip is as wide as asked: w = t + 2 d tan(A/2), plane geometry."""
    text = changed(("angle: 90", f"angle: {angle}, tip: {tip} mm"), ("width: 4 mm", f"width: {width} mm"))
    depth = resolved(tmp_path, text).parts[0].operations[1].depth
    assert tip + 2 * depth * math.tan(math.radians(angle / 2)) == pytest.approx(width)


MISTAKES = [
    # (what is replaced, by what, code, where the finding points to, words of message and advice)
    (
        "eastern_white_pine",
        "eastern_white_pin",
        "unknown-name",
        "eastern_white_pin",
        "Did you mean 'eastern_white_pine'?",
    ),
    ("cutter: vee", "cutter: wee", "unknown-name", "wee", "Did you mean 'vee'?"),
    ("stock: board", "stock: bord", "unknown-name", "bord", "Did you mean 'board'?"),
    ("diameter: hole", "diameter: whole", "bad-expression", "whole", "did you mean 'hole'?"),
    ("actual: 17.6 mm", "actual: 5 m", "bad-number", "5 m", "is not between 0.3 mm"),
    ("actual: 17.6 mm", "actual: -17.6 mm", "bad-number", "-17.6 mm", "is not above zero"),
    ("diameter: 6 mm", "diameter: 400 mm", "bad-number", "400 mm", "is not between 0.1 mm"),
    ("shank: 6 mm", "shank: 0", "bad-number", "0", "is not above zero"),
    ("cutting_length: 22 mm", "cutting_length: 60 mm", "bad-number", "60 mm", "not less than the overall length"),
    ("angle: 90", "angle: 200", "bad-number", "200", "200 degrees is not between 10 degrees and 170 degrees"),
    (", angle: 90", "", "missing-key", "vee:", "a V-bit has an included angle"),
    ("angle: 90", "angle: 90, tip: 5 mm", "cutter-unfit", "4 mm\n        shapes", "Use a V-bit with a smaller tip"),
    ("cutter: vee", "cutter: end-mill", "cutter-unfit", "end-mill\n        width", "a width needs a V-bit"),
    ("licence: CC-BY-4.0", "licence: My own", "bad-licence", "My own", "LicenseRef-"),
    ("2025-03-31", "2025-02-30", "bad-date", "2025-02-30", "not in the calendar"),
    ("columns: 2", "columns: 0", "bad-number", "0, rows", "0 is not between 1 and 1000"),
    ("columns: 2", "columns: = 5 / 2", "bad-number", "= 5 / 2", "2.5 is not a whole number"),
    ("corner_radius: 5 mm", "corner_radius: 90 mm", "bad-shape", "{size: [width", "must lie between 0 and half"),
    ("name: drip", "name: outline", "duplicate-name", "outline\n        cutter: end-mill\n", "name of the one in line"),
    ("count: 2", "count: 2\n    place: [[10, 10]]", "place-count", "[[10, 10]]\n", "1 places for 2 copies"),
    ("shapes: [{circle", "shapes: [{points: [[1, 2]]}, {circle", "shape-unfit", "[{points: [[1, 2]]}", "1 points"),
    (
        "polyline: {points: [[10, 30]",
        "points: [[10, 30]], polyline: {points: [[10, 30]",
        "wrong-value",
        "{points: [[10, 30]], poly",
        "found polyline and points",
    ),
    (
        "{points: [[10, 10]]}",
        "{circle: {centre: [10, 10], diameter: 8 mm}}",
        "cutter-unfit",
        "[{array",
        "as wide as the cutter",
    ),
    ("hole: 32 mm", "hole: = width * width", "bad-expression", "hole}}]", "this is an area"),
    ("hole: 32 mm", "hole: = height\n  other: = 1 / 0", "bad-expression", "= 1 / 0", "divides by zero"),
    ("width: 150 mm", "width: = height - 1 mm", "bad-expression", "= height - 1 mm", "width -> height -> width"),
    (
        "columns: 2, rows: 2",
        "columns: 1000, rows: 1000",
        "too-much",
        "{of: {points: [[10, 10]]}, columns: 1000",
        "more than 4000 shapes",
    ),
    (
        "parameters:",
        "hold_down: [double_sided_tap]\nparameters:",
        "unknown-name",
        "double_sided_tap",
        "'double_sided_tape'",
    ),
    (
        "parameters:",
        "machines: [belt_trim_ruter]\nparameters:",
        "unknown-name",
        "belt_trim_ruter",
        "'light_router'",
    ),
    ("parameters:", "finishing: {finish: shelac}\nparameters:", "unknown-name", "shelac", "'shellac'"),
    ("parameters:", "assembly: [{text: Nail it., parts: [frnt]}]\nparameters:", "unknown-name", "frnt", "'front'"),
    ("parameters:", "setups: {bord: {}}\nparameters:", "unknown-name", "{}", "'board'"),
    (
        "parameters:",
        "own_machines: {mine: {like: medium_router, rpm: [9000, 1000]}}\nparameters:",
        "wrong-value",
        "[9000, 1000]",
        "lower number first",
    ),
]


@pytest.mark.parametrize(("old", "new", "code", "at", "said"), MISTAKES)
def test_a_mistake_has_its_code_place_and_advice(
    tmp_path: Path, old: str, new: str, code: str, at: str, said: str
) -> None:
    text = changed((old, new))
    found = [one for one in refusals(tmp_path, text) if one.severity is Severity.ERROR]
    assert [where(one) for one in found] == [(code, *place(text, at, after=new if at in new else ""))]
    assert said in f"{found[0].message!s} {found[0].advice!s}"


def test_a_bad_parameter_is_reported_once_where_it_is_written(tmp_path: Path) -> None:
    text = changed(("width: 150 mm", "width: = 150 mm / 0"))
    found = refusals(tmp_path, text)
    assert [where(one) for one in found] == [("bad-expression", *place(text, "= 150 mm / 0"))]


def test_many_mistakes_are_reported_together(tmp_path: Path) -> None:
    text = changed(
        ("eastern_white_pine", "pinewood"),
        ("diameter: 6 mm", "diameter: -6 mm"),
        ("diameter: hole", "diameter: whole"),
        ("angle: 90", "angle: 90, tip: 5 mm"),
        ("licence: CC-BY-4.0", "licence: mine"),
    )
    codes = [one.code for one in refusals(tmp_path, text)]
    assert sorted(codes) == ["bad-expression", "bad-licence", "bad-number", "cutter-unfit", "unknown-name"]


def test_what_only_looks_odd_goes_along_with_the_kit(tmp_path: Path) -> None:
    text = changed(
        ("actual: 17.6 mm", "actual: 11 mm"),
        (
            "cutters:",
            "cutters:\n  spare: {kind: straight, diameter: 8 mm, cutting_length: 9, shank: 8, overall_length: 60}",
        ),
    )
    kit = resolved(tmp_path, text)
    assert [where(one) for one in kit.problems] == [
        ("thickness-odd", *place(text, "11 mm")),
        ("entry-unused", *place(text, "spare")),
    ]


def test_holding_and_passes_as_written(tmp_path: Path) -> None:
    tail = "        name: outline\n        cutter: end-mill\n"
    more = """\
        hold: {tabs: {count: 3, width: 10, height: 3 mm}}
        roughing: {stepover: 40 %, depth_per_pass: 5 mm}
        finishing: {cutter: end-mill, depth_per_pass: 18 mm}
        settings:
          - {machines: [heavy_router], feed: 60 in/min, speed: 18000}
          - {stepover: 2 mm, plunge: 500}
"""
    kit = resolved(tmp_path, changed((tail, tail + more)))
    outline = kit.parts[0].operations[-1]
    assert outline.hold == Tabs(3, 10.0, 3.0)
    assert outline.roughing is not None
    assert outline.roughing.stepover == pytest.approx(2.4)
    assert (outline.roughing.leave_walls, outline.roughing.leave_floor) == (0.5, 0.0)
    assert (outline.finishing.depth_per_pass, outline.finishing.leave_walls) == (18.0, 0.0)
    assert [(one.machines, one.feed, one.speed) for one in outline.overrides] == [
        (("heavy_router",), 1524.0, 18000.0),
        ((), None, None),
    ]
    assert (outline.overrides[1].stepover, outline.overrides[1].plunge) == (2.0, 500.0)
    onion = resolved(tmp_path, changed((tail, tail + "        hold: {onion_skin: 0.5 mm}\n")))
    assert onion.parts[0].operations[-1].hold == OnionSkin(0.5)


def test_thin_stock_gets_lower_tabs(tmp_path: Path) -> None:
    text = changed(("{nominal: 18 mm, actual: 17.6 mm}", "3 mm"), ("width: 4 mm", "width: 2 mm"))
    assert resolved(tmp_path, text).parts[0].operations[-1].hold == Tabs(None, 8.0, 1.5, (), True)


def test_a_width_that_is_not_given_is_left_to_the_plan(tmp_path: Path) -> None:
    tail = "        name: outline\n        cutter: end-mill\n"
    found = []
    for written in ("{}", "{width: 8 mm}", "{height: 2 mm}"):
        text = changed((tail, tail + f"        hold: {{tabs: {written}}}\n"))
        found.append(resolved(tmp_path, text).parts[0].operations[-1].hold)
    assert found == [Tabs(None, 8.0, 3.0, (), True), Tabs(None, 8.0, 3.0), Tabs(None, 8.0, 2.0, (), True)]


@pytest.mark.parametrize("written", ["17.6 mm", "through", "17.595 mm"])
def test_a_depth_of_the_whole_thickness_goes_through(tmp_path: Path, written: str) -> None:
    drill = resolved(tmp_path, changed(("depth: through", f"depth: {written}"))).parts[0].operations[0]
    assert (drill.depth, drill.through) == (17.6, True)


def test_a_drill_goes_through_with_its_point_and_a_bit(tmp_path: Path) -> None:
    """Point length D / (2 tan(sigma / 2)) and 0.5 mm, so that the hole has its full diameter below."""
    drill = resolved(tmp_path, changed()).parts[0].operations[0]
    angle = math.radians(drill.cutter.angle or 118.0)
    assert drill.allowance == pytest.approx(0.5 + drill.cutter.diameter / (2 * math.tan(angle / 2)))


def test_a_profile_that_traces_the_outline_frees_the_part(tmp_path: Path) -> None:
    shape = "        shapes: [{rectangle: {size: [= 150 mm, 225], at: [0, 0], corner_radius: 5}}]\n"
    tail = "        name: outline\n        cutter: end-mill\n"
    outline = resolved(tmp_path, changed((tail, tail + shape))).parts[0].operations[-1]
    assert (outline.side, outline.frees) == (Side.OUTSIDE, True)
    smaller = resolved(tmp_path, changed((tail, tail + shape.replace("225", "220")))).parts[0].operations[-1]
    assert (smaller.side, smaller.frees) == (Side.INSIDE, False)


def test_setups_exist_for_each_face_that_is_cut(tmp_path: Path) -> None:
    text = changed(
        ("name: drip\n", "name: drip\n        face: bottom\n"),
        ("parameters:", "setups: {board: {bottom: {hold_down: [screws], fasteners: [[20, 20]]}}}\nparameters:"),
    )
    kit = resolved(tmp_path, text)
    top, bottom = kit.setup("board", Face.TOP), kit.setup("board", Face.BOTTOM)
    assert [hold.key for hold in top.hold_downs] == ["double_sided_tape"]
    assert ([hold.key for hold in bottom.hold_downs], bottom.fasteners) == (["screws"], ((20.0, 20.0),))
    assert len(resolved(tmp_path).setups) == 1


def test_machines_are_all_classes_or_those_named_weakest_first(tmp_path: Path) -> None:
    everything = resolved(tmp_path)
    assert [one.key for one in everything.machines] == sorted(
        load_workshop().machines, key=lambda key: load_workshop().machines[key].rank
    )
    text = changed(
        (
            "parameters:",
            "machines: [extra_heavy_router, mine]\n"
            "own_machines: {mine: {like: medium_router, area: [24 in, 500]}}\nparameters:",
        )
    )
    kit = resolved(tmp_path, text)
    assert [one.key for one in kit.machines] == ["mine", "extra_heavy_router"]
    assert kit.machines[0].table == pytest.approx((609.6, 500.0))
    assert kit.machines[0].lowest_speed == load_workshop().machines["medium_router"].lowest_speed
    assert (kit.machines_named, everything.machines_named) == (True, False)


OLD_AND_NEW = {
    "desktop_micro": "extra_light_router",
    "belt_trim_router": "light_router",
    "screw_hobby": "medium_router",
    "semi_pro": "heavy_router",
    "industrial": "extra_heavy_router",
}


@pytest.mark.parametrize(("old", "new"), OLD_AND_NEW.items())
def test_a_class_named_as_in_older_kits_is_read_with_a_note(tmp_path: Path, old: str, new: str) -> None:
    """Kits say `kitforge: 1` as before: the old key means the same class wherever a key may stand."""
    own = f"own_machines: {{mine: {{like: {old}, force_class: {old}}}}}"
    kit = resolved(tmp_path, changed(("parameters:", f"machines: [{old}, mine]\n{own}\nparameters:")))
    assert {machine.key for machine in kit.machines} == {new, "mine"}
    assert {machine.rank for machine in kit.machines} == {load_workshop().machines[new].rank}
    notes = [problem for problem in kit.problems if problem.code == "former-name"]
    assert [problem.severity for problem in notes] == [Severity.NOTE] * 3
    assert all(f"'{new}'" in str(problem.message) for problem in notes)


def test_todays_names_make_no_note(tmp_path: Path) -> None:
    for new in OLD_AND_NEW.values():
        kit = resolved(tmp_path, changed(("parameters:", f"machines: [{new}]\nparameters:")))
        assert [problem.code for problem in kit.problems if problem.code == "former-name"] == []


def test_settings_for_a_class_by_its_old_key_apply_to_the_class(tmp_path: Path) -> None:
    tail = "        name: outline\n        cutter: end-mill\n"
    kit = resolved(tmp_path, changed((tail, tail + "        settings: {machines: [semi_pro], speed: 17000}\n")))
    assert [one.machines for one in kit.parts[0].operations[-1].overrides] == [("heavy_router",)]


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.floats(0.05, 20_000, allow_nan=False))
def test_a_printed_length_reads_back_as_itself(value: float) -> None:
    """What is printed with three decimals is read back to half of the last one."""
    sheet = ResolveContext("mm", Positions("kit.yaml"))
    assert sheet.length(format_mm(value, 3), "x", within=ValueRange(0.0, 20_001.0)) == pytest.approx(value, abs=0.00051)
    assert sheet.problems == []


@given(st.floats(-500, 500, allow_nan=False).map(lambda x: round(x, 4)), st.sampled_from(["mm", "in"]))
def test_a_bare_number_a_written_length_and_an_expression_agree(value: float, unit: str) -> None:
    sheet = ResolveContext(unit, Positions("kit.yaml"), {"p": DimensionedValue(value)})
    bare = sheet.length(value, "x", within=ValueRange(-1e5, 1e5))
    named = sheet.length("p", "x", within=ValueRange(-1e5, 1e5))
    worked = sheet.length(f"= {value:.4f} {unit}", "x", within=ValueRange(-1e5, 1e5))
    assert named == bare
    assert worked == pytest.approx(bare, abs=1e-9)
    assert sheet.problems == []


def test_codes_are_unique_and_kebab_case() -> None:
    codes = [kind.code for kind in KINDS]
    assert len(codes) == len(set(codes))
    assert all(code == code.lower() and " " not in code for code in codes)


def test_plugins_are_asked_for_their_tables(tmp_path: Path) -> None:
    class More(NoPlugins):
        def cutting_rows(self) -> tuple[()]:
            return ()

        def workshop(self) -> Workshop:
            tables = Workshop()
            pine = load_workshop().materials["eastern_white_pine"]
            tables.materials["stone_pine"] = pine
            return tables

    kit = resolved(tmp_path, changed(("eastern_white_pine", "stone_pine")), More())
    assert kit.stock["board"].material.name == "Eastern white pine"


def test_the_spoilboard_is_18_mm_thick_unless_the_kit_says_so(tmp_path: Path) -> None:
    first = SAMPLE.partition("\n")[0] + "\n"
    found = [resolved(tmp_path, SAMPLE), resolved(tmp_path, changed((first, first + "spoilboard: 12 mm\n")))]
    assert [{setup.spoilboard for setup in kit.setups} for kit in found] == [{18.0}, {12.0}]
