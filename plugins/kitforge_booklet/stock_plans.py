"""How solid wood is made ready: glued up from boards, flattened, and how much it will move with the seasons."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from kitforge.language import render_text, say, say_as, say_counted
from kitforge.model.kit import Face
from kitforge.model.lines import Line, Use, line
from kitforge.model.plan import served
from kitforge.model.steps import BlockedStep, StepSettings
from kitforge.pack.glues import FOR_BOARDS
from kitforge.print.figures import listed, minutes, stock_title
from kitforge.print.settings import step_view
from kitforge.workshop.handwork import handwork
from kitforge_booklet.glue_picture import glue_picture
from kitforge_booklet.moisture import movement_words
from kitforge_booklet.seasons import resting_words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from kitforge.model.kit import Kit, Stock
    from kitforge.model.plan import Flattening, GlueUp, MachinePlan, Plan, Prepared
    from kitforge.print.figures import Units
    from kitforge.print.settings import StepView
    from kitforge.print.svg import Picture


@dataclass(frozen=True, slots=True)
class StockPlan:
    """How one stock is made ready, in words: glueing with its picture, flattening with its settings.

    movement: what the seasons do to all parts of its wood, with the first stock of that wood only.
    """

    title: str
    wood: str
    glueing: tuple[Line, ...]
    picture: Picture | None
    caption: str
    flattening: tuple[Line, ...]
    cutter: str
    rows: tuple[StepView, ...]
    movement: tuple[str, ...]


def stock_plans(kit: Kit, plan: Plan, machines: Sequence[MachinePlan], units: Units) -> tuple[StockPlan, ...]:
    """Return how every solid wood of the kit is made ready; panels need none of it."""
    solid = [ready for ready in plan.prepared if not ready.stock.material.is_panel]
    plans = _merged([_plan(ready, kit, plan, machines, units) for ready in solid])
    woods: dict[str, list[Stock]] = {}
    for ready in solid:
        woods.setdefault(say_as(ready.stock.material.name), []).append(ready.stock)
    firsts = {one.wood: one for one in reversed(plans)}
    return tuple(
        replace(one, movement=movement_words(woods[one.wood], kit, plan, units)) if firsts[one.wood] is one else one
        for one in plans
    )


def _merged(plans: Sequence[StockPlan]) -> tuple[StockPlan, ...]:
    """Return the plans, those that say the same once, under all their titles."""
    titles: dict[StockPlan, list[str]] = {}
    for plan in plans:
        titles.setdefault(replace(plan, title=""), []).append(plan.title)
    return tuple(replace(plan, title=listed(found)) for plan, found in titles.items())


def _plan(ready: Prepared, kit: Kit, plan: Plan, machines: Sequence[MachinePlan], units: Units) -> StockPlan:
    stock, glue, flattening = ready.stock, ready.glue, ready.flattening
    return StockPlan(
        title=stock_title(stock),
        wood=say_as(stock.material.name),
        glueing=_glue_words(ready, glue, kit, units) if glue else (),
        picture=glue_picture(glue.strips, glue.jointed, glue.length, glue.clamps, units) if glue else None,
        caption=say("Left: from the end, the rings turned about from strip to strip. Right: from above, with clamps."),
        flattening=(
            *(() if glue else (line(resting_words(kit)),)),
            *_flatten_words(stock, flattening, plan, units),
            *_blocked_words(stock, machines),
        )
        if flattening
        else (),
        cutter=render_text(flattening.step.cutter.name) if flattening else "",
        rows=_settings(plan, stock, machines, units) if flattening else (),
        movement=(),
    )


def _glue_words(ready: Prepared, glue: GlueUp, kit: Kit, units: Units) -> tuple[Line, ...]:
    return (
        line(
            say(
                "Buy {quarters} boards at least {board} wide. Saw {count}, each {sawn} wide, {length} long and "
                "{thickness} thick or more.",
                quarters=ready.quarters,
                board=units.length(glue.sawn, 1),
                count=say_counted("one strip", "{count} strips", glue.strips),
                sawn=units.length(glue.sawn, 1),
                length=units.length(glue.length, 0),
                thickness=units.length(glue.thickness, 0),
            ),
            "steel_rule",
            "pencil",
            "saw",
        ),
        line(resting_words(kit)),
        line(
            say(
                "Plane both edges of each strip straight and square until it is {jointed} wide. Held together without "
                "pressure, two strips let no light through.",
                jointed=units.length(glue.jointed, 1),
            ),
            "plane",
            "try_square",
        ),
        line(
            say(
                "Lay the strips out with the growth rings at their ends arching up and down in turn, and the grain "
                "rising the same way in all of them, so that planing does not tear it. Mark a triangle across all "
                "strips."
            ),
            "pencil",
        ),
        line(
            say(
                "Brush wood glue thinly on one edge of each joint and clamp within its open time: {count}, no more "
                "than {apart} apart, above and below in turn, with scrap under the jaws. Tighten until a thin line of "
                "glue comes out all along.",
                count=say_counted("one clamp", "{count} clamps", glue.clamps),
                apart=units.length(math.floor(glue.length / (glue.clamps - 1)), 0),
            ),
            FOR_BOARDS,
            "glue_brush",
            Use("bar_clamp", glue.clamps),
            "scrap_wood",
        ),
        line(
            say(
                "Scrape the glue off when it is rubbery. Leave the clamps on as long as the glue's label says, and the "
                "panel a day longer: the joints are damp from the glue and sink if they are planed too soon."
            ),
            "scraper",
        ),
    )


def _settings(plan: Plan, stock: Stock, machines: Sequence[MachinePlan], units: Units) -> tuple[StepView, ...]:
    """Return the settings of a flattening pass on the classes that the kit fits."""
    found = [(machine, machine.flattening.get(stock.key)) for machine in served(machines)]
    return tuple(
        replace(step_view(plan, machine, settings, units), time=minutes(settings.seconds))
        for machine, settings in found
        if isinstance(settings, StepSettings)
    )


def _blocked_words(stock: Stock, machines: Sequence[MachinePlan]) -> tuple[Line, ...]:
    """Name the classes that the kit fits and that cannot flatten the piece with this cutter."""
    without = [one for one in served(machines) if isinstance(one.flattening.get(stock.key), BlockedStep)]
    if not without:
        return ()
    classes = listed([say_as(one.machine.name) for one in without])
    return (
        line(
            say("Not on these classes: {classes}. There, have the piece planed by somebody who can.", classes=classes)
        ),
    )


def _flatten_words(stock: Stock, flattening: Flattening, plan: Plan, units: Units) -> tuple[Line, ...]:
    skim = units.length(flattening.step.depth)
    planer = units.length(stock.planer or handwork().flattening["planer"].value, 0)
    return (
        line(
            say(
                "At {width} this piece is too wide for a planer of {planer}: flatten it with the router.",
                width=units.length(min(stock.width, stock.length), 0),
                planer=planer,
            )
        ),
        line(
            say(
                "Lay it on the spoilboard hollow side down and push wedges under the corners until nothing rocks. "
                "Screw or wedge it at the sides, below the face."
            ),
            "spoilboard",
            "wedge",
        ),
        line(
            say(
                "Fit {cutter}, set Z0 on the highest spot, and clear the whole face {skim} deep, along the grain. Go "
                "down by {skim} and repeat until no patch of the old surface is left.",
                cutter=render_text(flattening.step.cutter.name),
                skim=skim,
            ),
            "collet_spanners",
        ),
        line(_last_face_words(stock, flattening, plan, units), "calliper"),
        line(say("Count on {count} passes in all.", count=flattening.passes)),
    )


def _last_face_words(stock: Stock, flattening: Flattening, plan: Plan, units: Units) -> str:
    thickness = units.length(stock.actual)
    if len(flattening.faces) == len(Face):
        return say(
            "Turn it over, flat face down and without wedges, and do the same until it measures {thickness}. Take "
            "about the same off both faces, or it will cup.",
            thickness=thickness,
        )
    own = [step for step in plan.steps if step.operation.whole and step.part.stock.key == stock.key]
    return say(
        "Go on until the piece measures {thickness}, and no further: the other face is cut flat in step {number}, "
        "which needs the rest.",
        number=own[0].number if own else 1,
        thickness=thickness,
    )
