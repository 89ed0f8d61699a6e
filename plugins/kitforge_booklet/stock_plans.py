"""How solid wood is made ready: glued up from boards, flattened, and how much it will move with the seasons."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from kitforge.kit import CutterKind, Doing, Face, Grain, Operation, PassWish, Side
from kitforge.language import decimal, say, say_as, say_counted
from kitforge.lines import Line, Use, line
from kitforge.plan import BlockedStep, Phase, StepSettings
from kitforge.print.figures import listed, minutes, stock_title
from kitforge.print.settings import step_view
from kitforge.workshop.wood import equilibrium_moisture, movement
from kitforge_booklet.glue_picture import glue_picture

if TYPE_CHECKING:
    from collections.abc import Sequence

    from kitforge.geometry.path import Bounds
    from kitforge.kit import Cutter, Kit, Stock
    from kitforge.plan import MachinePlan, Step
    from kitforge.print.figures import Units
    from kitforge.print.pictures.svg import Picture
    from kitforge.print.settings import StepView

USUAL_BOARD = 130.0
"""Width of a board as it can be had and stays flat, mm: common practice, no source (120 to 150 mm)."""
USUAL_PLANER = 330.0
"""Widest piece that a planer of a small shop takes, mm: common practice, no source."""
_JOINTING = 3.0
"""What straightening both edges of a strip takes off its width, mm: common practice, no source."""
_OVER_WIDTH, _OVER_LENGTH, _OVER_THICKNESS = 10.0, 25.0, 4.0
"""What a glue-up is made larger than the blank, mm: common practice, no source."""
_CLAMP_EVERY = 225.0
"""Distance between clamps, mm: common practice, no source (200 to 250 mm)."""
_SKIM = 0.5
"""Depth of one flattening pass, mm: common practice, no source."""
ROOM_TEMPERATURE, DRY_ROOM, DAMP_ROOM = 21.0, 30.0, 60.0
"""A heated room in winter and the same room in summer, °C and % relative humidity: common practice, no source."""


@dataclass(frozen=True, slots=True)
class GlueUp:
    """How a wide piece is put together. strips: how many, each so wide as sawn and as jointed, so long, so thick, mm;
    clamps: how many over its length."""

    strips: int
    sawn: float
    jointed: float
    length: float
    thickness: float
    clamps: int


@dataclass(frozen=True, slots=True)
class Movement:
    """What the seasons do to a width across the grain: mm between a dry and a damp room, and their moisture in %."""

    width: float
    change: float
    dry: float
    damp: float


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


def across(stock: Stock) -> float:
    """Return the width of a piece across its grain, mm."""
    return stock.length if stock.grain is Grain.WIDTH else stock.width


def along(stock: Stock) -> float:
    """Return the length of a piece along its grain, mm."""
    return stock.width if stock.grain is Grain.WIDTH else stock.length


def glue_up(stock: Stock) -> GlueUp | None:
    """Return how a piece is glued up; None for a panel, a piece without grain, or one that a single board gives."""
    board = stock.boards or USUAL_BOARD
    if stock.material.is_panel or stock.grain is Grain.NONE or across(stock) <= board:
        return None
    whole, length = across(stock) + _OVER_WIDTH, along(stock) + _OVER_LENGTH
    count = math.ceil(whole / (board - _JOINTING) - 1e-9)
    jointed = whole / count
    clamps = max(2, math.ceil(length / _CLAMP_EVERY) + 1)
    return GlueUp(count, jointed + _JOINTING, jointed, length, stock.actual + _OVER_THICKNESS, clamps)


def needs_router(stock: Stock) -> bool:
    """Whether a solid piece is too wide for the planer, so that the router flattens it."""
    return not stock.material.is_panel and min(stock.width, stock.length) > (stock.planer or USUAL_PLANER)


def seasons(stock: Stock, width: float) -> Movement | None:
    """Return how much `width` mm across the grain changes between a dry and a damp room; None where it is not known.

    Wood Handbook, FPL-GTR-190, Eq. 4-5 (moisture from the air) and Eq. 13-2 with the tangential coefficient of
    Table 13-5: the flatsawn width, which moves most.
    """
    coefficient = stock.material.movement_tangential
    if coefficient is None or stock.material.is_panel or stock.grain is Grain.NONE:
        return None
    dry, damp = (equilibrium_moisture(ROOM_TEMPERATURE, humidity) for humidity in (DRY_ROOM, DAMP_ROOM))
    return Movement(width, movement(width, coefficient.value, dry, damp), dry, damp)


def stock_plans(kit: Kit, machines: Sequence[MachinePlan], units: Units) -> tuple[StockPlan, ...]:
    """Return how every solid wood of the kit is made ready; panels need none of it."""
    solid = [stock for stock in kit.stock.values() if not stock.material.is_panel]
    plans = _merged([_plan(stock, kit, machines, units) for stock in solid])
    woods: dict[str, list[Stock]] = {}
    for stock in solid:
        woods.setdefault(say_as(stock.material.name), []).append(stock)
    firsts = {plan.wood: plan for plan in reversed(plans)}
    return tuple(
        replace(plan, movement=_movement_words(woods[plan.wood], kit, units)) if firsts[plan.wood] is plan else plan
        for plan in plans
    )


def _merged(plans: Sequence[StockPlan]) -> tuple[StockPlan, ...]:
    """Return the plans, those that say the same once, under all their titles."""
    titles: dict[StockPlan, list[str]] = {}
    for plan in plans:
        titles.setdefault(replace(plan, title=""), []).append(plan.title)
    return tuple(replace(plan, title=listed(found)) for plan, found in titles.items())


def _plan(stock: Stock, kit: Kit, machines: Sequence[MachinePlan], units: Units) -> StockPlan:
    glue = glue_up(stock)
    router = needs_router(stock)
    cutter = flattening_cutter(kit) if router else None
    rows = _settings(stock, kit, cutter, machines, units) if cutter is not None else ()
    return StockPlan(
        title=stock_title(stock),
        wood=say_as(stock.material.name),
        glueing=_glue_words(stock, glue, units) if glue else (),
        picture=glue_picture(glue.strips, glue.jointed, glue.length, glue.clamps, units) if glue else None,
        caption=say("Left: from the end, the rings turned about from strip to strip. Right: from above, with clamps."),
        flattening=_flatten_words(stock, cutter, units) if router else (),
        cutter=say_as(cutter.name) if cutter else "",
        rows=rows,
        movement=(),
    )


def _glue_words(stock: Stock, glue: GlueUp, units: Units) -> tuple[Line, ...]:
    usual = "" if stock.boards else say(" The usual width at the timber yard.")
    return (
        line(
            say(
                "Buy boards at least {board} wide.{usual} Saw {count}, each {sawn} wide, {length} long and {thickness} "
                "thick or more.",
                board=units.length(glue.sawn, 0),
                usual=usual,
                count=say_counted("one strip", "{count} strips", glue.strips),
                sawn=units.length(glue.sawn, 0),
                length=units.length(glue.length, 0),
                thickness=units.length(glue.thickness, 0),
            ),
            "steel_rule",
            "pencil",
            "saw",
        ),
        line(
            say(
                "Plane both edges of each strip straight and square until it is {jointed} wide. Held together without "
                "pressure, two strips let no light through.",
                jointed=units.length(glue.jointed, 0),
            ),
            "plane",
            "try_square",
        ),
        line(
            say(
                "Lay the strips out with the growth rings at their ends arching up and down in turn, and the grain "
                "rising the same way in all of them, so that the planer does not tear it. Mark a triangle across all "
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
                apart=units.length(glue.length / (glue.clamps - 1), 0),
            ),
            "wood_glue",
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


def flattening_cutter(kit: Kit) -> Cutter | None:
    """Return the kit's surfacing cutter, else its widest cutter with a flat end, else None."""
    surfacing = [cutter for cutter in kit.cutters.values() if cutter.kind is CutterKind.SURFACING]
    flat = [cutter for cutter in kit.cutters.values() if cutter.kind in _FLAT]
    found = surfacing or flat
    return max(found, key=lambda cutter: (cutter.diameter, cutter.key)) if found else None


_FLAT = (CutterKind.STRAIGHT, CutterKind.UP_CUT, CutterKind.DOWN_CUT, CutterKind.COMPRESSION)


def flattening_step(stock: Stock, cutter: Cutter) -> Step:
    """Return one flattening pass over the whole face of a piece, half a millimetre deep, as a step."""
    from kitforge.geometry.path import Path, Vertex
    from kitforge.kit import Part
    from kitforge.plan import Step
    from kitforge.planning.areas import area_of

    over = cutter.radius
    low, right, top = -over, stock.length + over, stock.width + over
    face = Path((Vertex(low, low), Vertex(right, low), Vertex(right, top), Vertex(low, top)))
    part = Part(f"{stock.key}-face", stock.title, stock, 1, face, (), stock.source, stock.source)
    wish = PassWish(cutter)
    operation = Operation(
        "flatten", "", Doing.FACE, part.key, (face,), (), _SKIM, False, 0.0, Face.TOP, Side.INSIDE, None, wish,
        stock.source,
    )  # fmt: skip
    stepover = 0.4 * cutter.diameter
    area = area_of(operation, cutter, stepover, 0.0, floor=True)
    return Step(
        f"{part.key}/flatten", 0, part, operation, Phase.FACING, cutter, _SKIM, 0.0, stepover, 1, Face.TOP, False,
        path_length=area.travel.length, corners=area.travel.corners, plunges=area.plunges, travel=area.travel,
        cut=area.cut, swept=area.swept,
    )  # fmt: skip


def _settings(
    stock: Stock, kit: Kit, cutter: Cutter, machines: Sequence[MachinePlan], units: Units
) -> tuple[StepView, ...]:
    """Return the settings of a flattening pass on the classes that the stock fits, by whatever plugin computes them."""
    from kitforge.plugins import load_plugins

    plugins, step = load_plugins(), flattening_step(stock, cutter)
    found: list[StepView] = []
    for machine in (planned for planned in machines if planned.fits):
        settings = plugins.step_settings(kit, step, machine.machine)
        if isinstance(settings, StepSettings):
            found.append(replace(step_view(machine, settings, units), time=minutes(settings.seconds)))
        else:
            assert settings is None or isinstance(settings, BlockedStep)
    return tuple(found)


def _flatten_words(stock: Stock, cutter: Cutter | None, units: Units) -> tuple[Line, ...]:
    with_what = say_as(cutter.name) if cutter else say("a surfacing cutter")
    planer = units.length(stock.planer or USUAL_PLANER, 0)
    return (
        line(
            say(
                "At {width} this piece is wider than a planer of {planer} takes: let the router flatten it.",
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
                cutter=with_what,
                skim=units.length(_SKIM),
            ),
            "collet_spanners",
        ),
        line(
            say(
                "Turn it over, flat face down and without wedges, and do the same until it measures {thickness}. Take "
                "about the same off both faces, or it will cup.",
                thickness=units.length(stock.actual),
            ),
            "calliper",
        ),
    )


def _movement_words(alike: Sequence[Stock], kit: Kit, units: Units) -> tuple[str, ...]:
    """Return what the seasons do to the widest part that is cut from any of some pieces of one wood."""
    from kitforge_booklet.play import play_words

    keys = {stock.key for stock in alike if stock.grain is not Grain.NONE}
    widths = [_part_across(part.outline.bounds, part.stock) for part in kit.parts if part.stock.key in keys]
    graded = next((stock for stock in alike if stock.key in keys), alike[0])
    found = seasons(graded, max(widths)) if widths else None
    if found is None:
        return ()
    return (
        say(
            "Buy wood at {low}–{high} % moisture. In a room of {warm:.0f} °C it settles at {dry} % in dry winter air "
            "({dry_air:.0f} % humidity) and at {damp} % in damp summer air ({damp_air:.0f} %).",
            low=6, high=8, warm=ROOM_TEMPERATURE, dry_air=DRY_ROOM, damp_air=DAMP_ROOM,
            dry=decimal(f"{found.dry:.1f}"), damp=decimal(f"{found.damp:.1f}"),
        ),
        say(
            "Between the two, the widest part, {width} across the grain, changes by up to {change}. Along the grain it "
            "hardly moves. Quartersawn strips move about half as much.",
            width=units.length(found.width, 0),
            change=units.length(found.change, 1),
        ),
        *dict.fromkeys(line for stock in alike for line in play_words(stock, kit, units)),
        say("Computed after the Wood Handbook, FPL-GTR-190, equations 4-5 and 13-2; it holds from 6 to 14 % moisture."),
    )  # fmt: skip


def _part_across(box: Bounds, stock: Stock) -> float:
    return box.width if stock.grain is Grain.WIDTH else box.height
