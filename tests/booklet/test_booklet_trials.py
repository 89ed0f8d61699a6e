"""Trial pieces take stock as the parts do: it is in the list of what to buy, and in the amounts."""

from __future__ import annotations

from demo_kits import said

from kitforge.language import use_language
from kitforge.planning.trial_stock import coupons_of
from kitforge.print.figures import Units
from kitforge_booklet.trials import fit_coupons, settings_proofs


def test_the_stock_of_trial_pieces_is_in_the_list_of_what_to_buy() -> None:
    made = said("plant-stand")
    bought = [f"{item.count} {item.name}: {item.detail}" for item in made.booklet.needs.trials]
    assert [text for text in bought if "fit coupon" in text and "290 × 290 mm" in text]
    assert [text for text in bought if "proof strip" in text]


def test_the_amount_of_wood_counts_the_coupon() -> None:
    made = said("plant-stand")
    kit, plan = made.checked.kit, made.checked.plan
    assert [(one.length, one.width) for one in coupons_of(kit, plan, "sheet")] == [(290.0, 290.0)]
    wood = made.booklet.amounts[0]
    assert wood.uses.startswith("0.52 m²")  # 0.60 x 0.72 + 0.29 x 0.29 = 0.516
    assert "fit coupon" in wood.how


def test_a_kit_without_trial_pieces_buys_for_its_parts_alone() -> None:
    made = said("puzzle-tray")
    assert made.booklet.needs.trials == ()
    assert not any("coupon" in row.how for row in made.booklet.amounts)


def test_a_cutter_has_its_name_in_the_language_of_print() -> None:
    made = said("plant-stand")
    kit, plan = made.checked.kit, made.checked.plan
    with use_language("de"):
        coupons = fit_coupons(kit, plan, plan.machines, Units("mm", both=False))
        proofs = settings_proofs(plan, plan.machines, Units("mm", both=False))
    assert [step.cutter.startswith("Spiralfräser") for coupon in coupons for step in coupon.steps] == [True]
    assert [any("Spiralfräser" in way for way in proof.ways) for proof in proofs] == [True]
