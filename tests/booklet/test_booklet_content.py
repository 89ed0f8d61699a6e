"""What the booklet says follows from the kit: sections come and go with what the kit does."""

from __future__ import annotations

import math
from dataclasses import replace

import morris
import pytest

import kitforge_booklet.steps
from kitforge.model.findings import Severity
from kitforge.model.kit import Finishing, Hardware, Kit, OnionSkin
from kitforge.model.messages import msg
from kitforge.model.pack import BuildOptions
from kitforge.model.path import circle
from kitforge.model.plan import Plan
from kitforge.model.record import every
from kitforge.model.settings import DirectionReason, NoWindow, Problem, TroubleCode
from kitforge.model.steps import BlockedStep, SettingsProblem
from kitforge.print.figures import Units, step_title
from kitforge.print.render import Imprint, document_pdf
from kitforge.print.safety import SafetyMessage, SignalWord
from kitforge.print.themes import load_theme
from kitforge.workshop.cutting_data import cutting_data
from kitforge_booklet import safety
from kitforge_booklet.build import booklet
from kitforge_booklet.closing import freeing
from kitforge_booklet.drawings import drawings
from kitforge_booklet.finishing import finish_page
from kitforge_booklet.opening import fits
from kitforge_booklet.records import Booklet
from kitforge_booklet.setting_up import proving
from kitforge_booklet.shopping_list import needs
from kitforge_booklet.steps import done_when
from kitforge_booklet.ways import TurningWay, round_words

MM = Units("mm", both=False)


@pytest.fixture(scope="module")
def made(kit: Kit, plan: Plan) -> Booklet:
    return booklet(kit, plan, BuildOptions())


def titles(kit: Kit, plan: Plan) -> set[str]:
    return {message.title for message in safety.general_messages(kit, plan, MM)}


def only_board(kit: Kit, plan: Plan) -> tuple[Kit, Plan]:
    """The kit without its plywood parts: no screws, no drilling, no loose small parts."""
    small = replace(kit, parts=(morris.BOARD,), stock={"board": morris.BOARD_STOCK}, setups=kit.setups[:1], assembly=())
    return small, replace(plan, steps=plan.steps[:5], setups=plan.setups[:1], sheets=plan.sheets[:1])


def test_every_message_has_its_three_parts_and_none_says_danger(made: Booklet) -> None:
    found = list(every(SafetyMessage, made))
    assert len(found) > 8
    assert all(m.hazard and m.consequence and m.avoidance for m in found)
    assert SignalWord.DANGER not in {m.word for m in found}


def test_steel_in_the_stock_is_warned_of_only_with_brads_or_screws(kit: Kit, plan: Plan) -> None:
    assert "Steel in the stock" in titles(kit, plan)
    assert "Steel in the stock" not in titles(*only_board(kit, plan))


def test_oily_rags_are_warned_of_only_when_the_finish_heats_itself(kit: Kit, plan: Plan) -> None:
    """Drying oils self-heat, water-based finishes do not: NFPA tip sheet "Safety with Oily Rags", 2017."""
    water = replace(morris.OIL, name="Water varnish", self_heating=False)
    other = replace(kit, finishing=replace(kit.finishing, finish=water))
    assert "Oily rags" in titles(kit, plan)
    assert "Oily rags" not in titles(other, plan)
    assert not list(every(SafetyMessage, finish_page(other, MM, 0.1)))
    assert list(every(SafetyMessage, finish_page(kit, MM, 0.1)))


def test_instant_glue_is_cautioned_of_only_when_it_is_the_first_choice(kit: Kit, plan: Plan) -> None:
    glued = replace(kit, setups=(replace(kit.setups[0], hold_downs=(morris.GLUE_TAPE,)), kit.setups[1]))
    assert "Instant glue" not in titles(kit, plan)
    assert "Instant glue" in titles(glued, plan)


def test_small_parts_that_nothing_holds_are_warned_of(kit: Kit, plan: Plan) -> None:
    assert safety.loose_small_parts(kit, plan) == (morris.LID, morris.TOKEN)
    assert "Small loose parts" not in titles(*only_board(kit, plan))


def test_what_a_small_part_is_stands_in_one_place(kit: Kit, plan: Plan) -> None:
    """The area under which tape counts less is the one under which a loose part is warned of."""
    area, bare = abs(morris.TOKEN.outline.area), replace(morris.TOKEN, outline=circle(0, 0, 56.0))
    assert area < cutting_data().small_part_area.value
    assert abs(bare.outline.area) < cutting_data().small_part_area.value < math.pi * 57**2
    assert safety.loose_small_parts(replace(kit, parts=(bare,)), plan) == (bare,)
    assert safety.loose_small_parts(replace(kit, parts=(replace(bare, outline=circle(0, 0, 57.0)),)), plan) == ()


def test_the_spoilboard_notice_needs_a_through_cut(kit: Kit, plan: Plan) -> None:
    shallow = replace(plan, steps=plan.steps[:4])
    assert "Spoilboard" in titles(kit, plan)
    assert "Spoilboard" not in titles(kit, shallow)


def test_the_dust_message_names_the_woods_and_their_sources(kit: Kit, plan: Plan) -> None:
    dust = next(m for m in safety.general_messages(kit, plan, MM) if m.title == "Wood dust")
    assert "birch plywood and black walnut" in dust.hazard
    assert "irritates eyes and skin" in dust.consequence
    assert "invented source" in dust.source


def test_a_section_with_nothing_to_say_is_absent(kit: Kit, plan: Plan) -> None:
    small, short = only_board(kit, plan)
    bare = replace(small, finishing=Finishing((), None, None, ()), hardware=(), notes=())
    made = booklet(bare, replace(short, steps=short.steps[:4]), BuildOptions())
    assert (made.finish, made.freeing, made.assembly, made.notes) == (None, None, (), ())
    assert [item.name for item in made.needs.hardware] == ["Wood glue"]  # for the wide board
    assert made.needs.finishing == ()


def test_the_booklet_of_a_bare_kit_still_prints(kit: Kit, plan: Plan) -> None:
    small, short = only_board(kit, plan)
    bare = replace(small, finishing=Finishing((), None, None, ()), info=replace(kit.info, changes=(), contact=None))
    data = booklet(bare, replace(short, steps=short.steps[:1]), BuildOptions(units="in", machines=("medium_router",)))
    pdf = document_pdf(load_theme(), "booklet.html", data, "letter", Imprint("t", "a", "s"))
    assert b"%PDF" in pdf[:8]


def test_a_class_that_the_kit_does_not_fit_says_why(made: Booklet) -> None:
    first = made.fits[0]
    assert (first.machine, first.fits, first.verdict) == ("Extra-light router", False, "No")
    assert first.reasons == ("The board's stock is 340 × 320 mm and the area 300 × 180 mm.",)
    assert "Light router" in made.fit_words


def test_a_shank_that_no_collet_takes_is_told_once(plan: Plan) -> None:
    """It keeps the kit off the class, and it leaves the steps of the cutter without settings."""
    shank = Problem(TroubleCode.SHANK, msg("Its shank of 12.7 mm fits no collet of the class."), (), blocking=True)
    said = SettingsProblem("settings-none", Severity.ERROR, shank.message, msg(""))
    blocked = {plan.steps[0].key: BlockedStep((said,), NoWindow((shank,)))}
    one = replace(plan.machines[0], misfits=(msg("the cutter has a 12.7 mm shank"),), blocked=blocked, settings={})
    (found,) = fits(plan, [one], Units("mm", both=False))
    assert found.reasons == ("The cutter has a 12.7 mm shank.",)


def test_the_air_pass_clears_the_deepest_cut(plan: Plan) -> None:
    deepest = max(step.depth for step in plan.steps)
    assert proving(plan, MM)[0].startswith("Set Z0 30 mm above the stock")
    assert deepest + 10 <= 30
    assert proving(plan, Units("in", both=False))[0].startswith("Set Z0 1.25 in above the stock")


def test_every_step_has_its_picture_settings_and_an_end(made: Booklet, plan: Plan) -> None:
    assert [block.number for block in made.steps] == [step.number for step in plan.steps]
    assert all(block.rows and block.watch and block.done for block in made.steps)


def test_a_v_groove_is_as_wide_as_depth_and_angle_make_it(plan: Plan) -> None:
    """Width = tip + 2 d tan(A/2): 60 degrees and 1.6 mm deep give 1.848 mm."""
    step = plan.steps[2]
    plain = replace(step, operation=replace(step.operation, width=None))
    assert str(done_when(plan, plain, MM)) == "Every line is 1.85 mm wide at the face over its whole length."


def test_a_dimple_is_as_wide_in_the_drawing_as_its_chord(kit: Kit, plan: Plan) -> None:
    """Chord of a circle of diameter D at depth d: 2 sqrt(d (D - d)); 6 mm and 1.8 mm give 5.499 mm."""
    rows = drawings(replace(kit, parts=(morris.BOARD,)), MM).usual[0].rows
    assert rows[1].size == "Ø 5.5 mm"
    assert rows[0].size == "70 × 70 mm; 140 × 140 mm; 210 × 210 mm from middle to middle, 1.85 mm wide"


def test_done_when_carries_the_figures_of_the_step(plan: Plan) -> None:
    assert str(done_when(plan, plan.steps[5], MM)) == "Three holes, clean through."
    assert "10 mm below the face" in str(done_when(plan, plan.steps[1], MM))
    assert "0.5 mm on the walls" in str(done_when(plan, plan.steps[0], MM))
    assert "tabs" in str(done_when(plan, plan.steps[4], MM))


def test_freeing_tells_tabs_skins_and_loose_parts_apart(kit: Kit, plan: Plan) -> None:
    skin = replace(plan.steps[6], operation=replace(plan.steps[6].operation, hold=OnionSkin(0.3)))
    found = freeing(kit, replace(plan, steps=(plan.steps[4], skin, plan.steps[7])), MM)
    assert found is not None
    text = " ".join(map(str, found.steps))
    assert "Board by four tabs" in text
    assert "Lid: a skin of 0.3 mm" in text
    assert "Free when the cut ends: Token" in text


def test_freeing_tells_of_the_waste_inside_the_parts_and_what_still_holds_it(kit: Kit, plan: Plan) -> None:
    """A cut inside a part that leaves tabs or a skin is not done when the part is free."""
    tabbed, last = plan.steps[4], plan.steps[7]
    skinned = replace(tabbed, key="skinned", operation=replace(tabbed.operation, hold=OnionSkin(0.3)), tabs=())
    plan = replace(plan, steps=(tabbed, skinned, last), freed={last.key: plan.freed[last.key]})
    found = freeing(kit, plan, MM)
    assert found is not None
    text = " ".join(map(str, found.steps))
    assert f"“{step_title(tabbed)}” of Board by four tabs" in text
    assert "a skin of 0.3 mm still holds the waste" in text
    assert "Only the tabs still hold the waste" in str(done_when(plan, tabbed, MM))


def test_only_the_classes_asked_for_are_printed(kit: Kit, plan: Plan) -> None:
    small, short = only_board(kit, plan)
    made = booklet(small, replace(short, steps=short.steps[:1]), BuildOptions(machines=("medium_router",)))
    assert [row.machine for row in made.steps[0].rows] == ["Medium router"]
    assert len(made.fits) == 1


def test_a_stock_thickness_is_given_as_measured_and_as_sold(kit: Kit, plan: Plan) -> None:
    walnut = needs(kit, plan, MM, (), 1e6).stock[0]
    assert walnut.detail == "340 × 320 mm, 18.4 mm thick as measured (sold as 19.05 mm)."


def test_inches_alone_leave_no_millimetres_in_settings_and_sizes(kit: Kit, plan: Plan) -> None:
    made = booklet(kit, plan, BuildOptions(units="in"))
    texts = [fact.value + fact.other for block in made.steps for fact in block.facts]
    assert not any(" mm" in text for text in texts)
    assert made.unit_note == "All lengths in inches."


def test_the_depth_into_the_spoilboard_is_a_number_one_can_read(kit: Kit, plan: Plan) -> None:
    """A drill point of 1.70172 mm is told as 1.7 mm, as its step says it."""
    drilled = next(step for step in plan.steps if step.operation.through)
    deeper = replace(drilled, depth=drilled.wood + 1.70172)
    found = safety.general_messages(kit, replace(plan, steps=(*plan.steps, deeper)), MM)
    assert "1.7 mm below" in next(m.hazard for m in found if m.title == "Spoilboard")


def test_what_a_thing_is_for_and_its_note_are_two_sentences(kit: Kit, plan: Plan) -> None:
    noted = replace(kit, hardware=(Hardware("Movement", "1", "the works", "measure yours before you cut"),))
    item = needs(noted, plan, MM, (), 1e6).hardware[0]
    assert (item.detail, item.note) == ("The works.", "Measure yours before you cut.")


def test_only_a_reason_that_was_given_before_is_left_out(kit: Kit, plan: Plan, monkeypatch: pytest.MonkeyPatch) -> None:
    """How the cutter goes down may hold several facts with a semicolon between them: each step keeps them all."""
    entry = ("Entry on class 1: ramp; 2: straight.",)
    monkeypatch.setattr(kitforge_booklet.steps, "ways_down", lambda _rows: entry)
    blocks = booklet(*only_board(kit, plan), BuildOptions()).steps
    assert [block.ways[0] for block in blocks] == [*entry] * len(blocks)


def test_a_reason_is_told_once() -> None:
    climb = TurningWay("Direction of cut: climb; light", DirectionReason.CLEAN)
    told: set[DirectionReason] = set()
    first, again = round_words([climb], told), round_words([climb], told)
    assert first == (f"{climb.words}; {DirectionReason.CLEAN}.",)
    assert again == (f"{climb.words}.",)
