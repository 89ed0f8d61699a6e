"""Put the booklet together, section by section in the order it is read."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from kitforge.language import say, say_as
from kitforge.model.lines import Use
from kitforge.model.record import every
from kitforge.pack.times import timed_machine
from kitforge.pictures.drawn.marks import alert_triangle, scale_bar
from kitforge.pictures.drawn.part import legend_picture
from kitforge.pictures.drawn.shots import shots_of
from kitforge.print.figures import sentence, units_for
from kitforge.print.safety import SafetyMessage, worst_first
from kitforge.print.settings import shown_machines
from kitforge.print.themes import load_theme
from kitforge.print.trouble import STARTING_POINTS, troubles
from kitforge.print.trust import tried, uncertainty
from kitforge_booklet import closing, opening, putting_together, safety, setting_up
from kitforge_booklet.amounts import amounts, surface_of
from kitforge_booklet.drawings import drawings
from kitforge_booklet.exploded_view import exploded_page
from kitforge_booklet.finishing import finish_page
from kitforge_booklet.hazards import use_messages
from kitforge_booklet.measuring import checks, measuring_words
from kitforge_booklet.records import Booklet
from kitforge_booklet.resuming import resuming
from kitforge_booklet.sanding import schedule
from kitforge_booklet.shopping_list import NOTHING_YET, needs
from kitforge_booklet.step_pages import step_pages
from kitforge_booklet.steps import step_blocks
from kitforge_booklet.stock_plans import stock_plans
from kitforge_booklet.trials import fit_coupons, settings_proofs
from kitforge_booklet.turning import turnings

if TYPE_CHECKING:
    from collections.abc import Sequence

    from kitforge.model.kit import Kit
    from kitforge.model.pack import BuildOptions
    from kitforge.model.plan import MachinePlan, Plan

_WIDTH = 174.0
"""Width of the text on both papers, mm."""


def _timed_on(machines: Sequence[MachinePlan]) -> str:
    one = timed_machine(machines)
    return say_as(one.machine.name) if one else ""


def booklet(kit: Kit, plan: Plan, options: BuildOptions) -> Booklet:
    """Return everything that the booklet says and shows."""
    units = units_for(options.units, kit.info.units)
    machines = shown_machines(plan, options.machines)
    shots = shots_of(kit, plan)
    coated = surface_of(kit, shots).total
    in_use = use_messages(kit)
    steps = step_blocks(kit, plan, machines, units, shots)
    grow = load_theme(options.theme).zoom
    drawn = drawings(kit, units, grow, plan)
    made = Booklet(
        units=units.first,
        unit_note=_unit_note(units.first, units.both),
        starting_points=say_as(STARTING_POINTS),
        timed_on=_timed_on(machines),
        cover=opening.cover(kit, plan, machines, units, shots),
        pack=opening.pack_facts(kit),
        use=opening.how_to_use(plan),
        fits=opening.fits(plan, machines, units),
        fit_words=opening.fit_words(plan, kit, units),
        tried=tried(kit),
        uncertainty=uncertainty(),
        messages=worst_first([*safety.general_messages(kit, plan, units), *in_use]),
        deferring=safety.deferring(kit),
        triangle=alert_triangle(),
        needs=NOTHING_YET,
        preparations=setting_up.preparations(kit, plan, units),
        setups=setting_up.setting_up(kit, plan, machines, units),
        proving=setting_up.proving(plan, units),
        legend=legend_picture(_WIDTH / grow),
        steps=steps,
        step_pages=step_pages(plan, machines, shots, units, steps),
        freeing=closing.freeing(kit, plan, units),
        finish=finish_page(kit, units, coated),
        assembly=putting_together.assembly(kit, plan, shots),
        apart=exploded_page(kit, plan, units),
        drawings=drawn.usual,
        drawing_choices=drawn.choices,
        scale_bar=scale_bar(units),
        troubles=troubles(kit, plan),
        resuming=resuming(plan, units),
        notes=tuple(sentence(note) for note in kit.notes),
        licence_text=_paragraphs(kit.info.licence_text),
        contact=kit.info.contact or "",
        changes=closing.changes(kit),
        amounts=amounts(kit, plan, shots, units),
        stock_plans=stock_plans(kit, plan, machines, units),
        turnings=turnings(kit, plan, units),
        checks=checks(kit, plan, shots, units),
        measuring=measuring_words(),
        schedule=schedule(kit, shots, units),
        coupons=fit_coupons(kit, plan, machines, units),
        proofs=settings_proofs(plan, machines, units),
        ladder=bool(plan.rungs),
        in_use=in_use,
    )
    ready = replace(made, needs=needs(kit, plan, units, every(Use, made), coated, grow))
    sources = (message.source for message in every(SafetyMessage, ready, once=True) if message.source)
    return replace(ready, sources=tuple(dict.fromkeys(sources)))


def _unit_note(first: str, both: bool) -> str:
    if first == "in":
        return say("Inches first, millimetres beside them.") if both else say("All lengths in inches.")
    return say("Millimetres first, inches beside them.") if both else say("All lengths in millimetres.")


def _paragraphs(text: str | None) -> tuple[str, ...]:
    return tuple(" ".join(block.split()) for block in (text or "").split("\n\n") if block.strip())
