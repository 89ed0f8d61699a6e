"""One block for each step, in cutting order."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from kitforge.language import capital, later, render_text, say, say_as, say_counted
from kitforge.model.kit import AREA_WORK, CutterKind, Face, OperationKind
from kitforge.model.lines import Line, line
from kitforge.model.plan import served
from kitforge.model.settings import Manner
from kitforge.model.steps import Phase
from kitforge.pack.times import timed_machine
from kitforge.pictures.drawn.depth_section import depth_section
from kitforge.pictures.drawn.part import step_picture
from kitforge.planning.sizes import has_flat_floor, hole_width, line_width
from kitforge.print.datums import depth_label, surface_words
from kitforge.print.directions import clockwise, direction_of
from kitforge.print.figures import Measure, Units, listed, minutes, piece_title, step_subject, step_title, stock_title
from kitforge.print.loading import load_words
from kitforge.print.settings import step_views
from kitforge_booklet.changing import before_step
from kitforge_booklet.pictures import larger_words, step_shot
from kitforge_booklet.safety import step_messages
from kitforge_booklet.signs import cutting_signs
from kitforge_booklet.step_records import LabelledFact, StepBlock
from kitforge_booklet.ways import round_words, ways_down, ways_round

if TYPE_CHECKING:
    from kitforge.model.kit import Cutter, Kit, Operation
    from kitforge.model.plan import MachinePlan, Plan
    from kitforge.model.settings import DirectionReason
    from kitforge.model.steps import Step
    from kitforge.pictures.drawn.shots import Shots

_SHOT, _PLAN, _SLIM = (96.0, 48.0), (58.0, 46.0), (30.0, 26.5)
"""Room for the picture before and after a step, for the plan beside it, and for one with words beside it: width and
height, mm."""
_SECTION, _SLIM_SECTION = (18.5, 46.0), (30.0, 21.0)
"""Room for the section through the cut beside a plan, and below a slim one, mm."""
_NEAR = 25.0
_CUTTER = 11.0
"""The widest cutter beside its step on paper, mm."""


def step_blocks(
    kit: Kit, plan: Plan, machines: Sequence[MachinePlan], units: Units, shots: Shots
) -> tuple[StepBlock, ...]:
    """Return the blocks of all steps. Why the cutter runs as it does is said once."""
    blocks: list[StepBlock] = []
    before = None
    told: set[DirectionReason] = set()
    for step in plan.steps:
        blocks.append(_block(kit, plan, step, before, machines, units, shots, told))
        before = step
    return tuple(blocks)


def _block(
    kit: Kit,
    plan: Plan,
    step: Step,
    before: Step | None,
    machines: Sequence[MachinePlan],
    units: Units,
    shots: Shots,
    told: set[DirectionReason],
) -> StepBlock:
    earlier = steps_before(plan, step)
    messages = step_messages(plan, step, kit, _near_fasteners(plan, step))
    shown = fitting(machines)
    setup, rows = _setup_words(plan, step), step_views(plan, step, shown, units)
    first = before_step(plan, step, before, machines, units)
    larger = shots.steps[step.key].larger
    new_cutter = before is None or before.cutter.key != step.cutter.key
    new_setup = before is None or clamping(plan, before) != clamping(plan, step)
    slim = bool(first or messages)
    room = _SLIM if slim else _PLAN
    return StepBlock(
        number=step.number,
        load=load_words(plan, (step,), units, rows),
        title=step_title(step),
        part=step_subject(step),
        setup=setup,
        new_setup=new_setup,
        new_cutter=new_cutter,
        depth=say("through") if step.through else units.length(step.depth).main,
        time=_time(step, machines),
        picture=step_picture(step, earlier, *room, clockwise(step, direction_of(step, shown)), units),
        cutter=render_text(step.cutter.name),
        cutter_picture=depth_section(step, units, *(_SLIM_SECTION if slim else _SECTION)),
        facts=_facts(plan, step, units),
        ways=(*ways_down(rows), *round_words(ways_round(step, shown), told)),
        rows=rows,
        has_stepover=any(row.stepover is not None for row in rows),
        watch=watch_for(step, frees=plan.frees(step), ramps=_ramps(step, machines)),
        done=done_when(plan, step, units),
        note=_note(plan, step, units),
        messages=messages,
        shot=step_shot(step, shots, *_SHOT),
        larger=larger_words(larger) if larger > 1 else "",
        before=first,
        signs=cutting_signs(new_setup=new_setup, new_cutter=new_cutter),
    )


def steps_before(plan: Plan, step: Step) -> list[Step]:
    """Return the steps of the same part that come before a step."""
    return [one for one in plan.steps if one.number < step.number and one.part.key == step.part.key]


def fitting(machines: Sequence[MachinePlan]) -> Sequence[MachinePlan]:
    """Return the machine classes on which the kit can be made, all of them where it is none."""
    return served(machines) or machines


def cutter_scale(cutter: Cutter, tall: float) -> float:
    """Return the largest of the plain scales at which a cutter stands beside its plan."""
    most = min(_CUTTER / max(cutter.diameter, cutter.shank), (tall - 2.0) / cutter.overall_length)
    return next((scale for scale in (0.5, 0.4, 0.25, 0.2) if scale <= most), most)


def _note(plan: Plan, step: Step, units: Units) -> str:
    """Return the author's note, for an engraving what the bit follows, and the hole that is drilled after the step."""
    words = [_own_note(step, units)]
    if any(hole.step.number == step.number for hole in plan.turning):
        words.append(say("Then, with this cutter still in, drill the hole for the check, as “Turning it over” says."))
    return " ".join(filter(None, words))


def _own_note(step: Step, units: Units) -> str:
    own = step.operation.note or ""
    if step.operation.does is not OperationKind.ENGRAVE:
        return own
    depth = units.length(step.depth).main
    follows = say(
        "The drawing shows the outlines. The bit does not follow them: let your program lead it along the middle of "
        "the strokes, everywhere just as deep as it touches both sides, and nowhere deeper than {depth}.",
        depth=depth,
    )
    return f"{own} {follows}".strip()


def _time(step: Step, machines: Sequence[MachinePlan]) -> str:
    """Return the time of a step on the machine class whose times are stated."""
    one = timed_machine(machines)
    settings = one.settings.get(step.key) if one else None
    return minutes(settings.seconds) if settings else "–"


def clamping(plan: Plan, step: Step) -> tuple[object, ...]:
    """Return what differs where another piece is laid on or a piece is turned over, whatever their titles say."""
    return step.face, step.part.stock.key, *(sheet.number for sheet in plan.pieces_of(step))


def _setup_words(plan: Plan, step: Step) -> str:
    """Return the piece or pieces of stock that a step is cut on, and which face is up."""
    sheets = plan.pieces_of(step)
    stock = piece_title(sheets, plan) if sheets else stock_title(step.part.stock)
    return stock if step.face is Face.TOP else say("{stock}, underside up", stock=stock)


def _facts(plan: Plan, step: Step, units: Units) -> tuple[LabelledFact, ...]:
    depth = units.length(step.depth)
    goes = say("{depth}, through", depth=depth.main) if step.through else depth.main
    facts = [LabelledFact(depth_label(plan, step), goes, depth.other)]
    if step.through and step.into_spoilboard:
        extra = units.length(step.into_spoilboard)
        facts.append(LabelledFact(say("Of this into the spoilboard"), extra.main, extra.other))
    if step.top > 0:
        top = units.length(step.top)
        facts.append(LabelledFact(say("Starts at a depth of"), top.main, top.other))
    if step.copies > 1:
        facts.append(LabelledFact(say("Copies"), str(step.copies), _copies_by_piece(plan, step)))
    if step.leave_walls or step.leave_floor:
        facts.append(LabelledFact(say("Leave for the next pass"), _leave(step, units)))
    if step.tabs:
        facts.append(LabelledFact(say("Tabs"), _tab_words(step, units)))
    if step.operation.skin and step.phase is not Phase.ROUGHING:
        skin = units.length(step.operation.skin)
        facts.append(LabelledFact(say("Skin left below"), skin.main, skin.other))
    return tuple(facts)


def _copies_by_piece(plan: Plan, step: Step) -> str:
    """Return how many copies are cut of each piece of stock; nothing to say where there is only one."""
    sheets = plan.pieces_of(step)
    if len(sheets) < 2:
        return ""
    return ", ".join(
        say("{copies} of piece {number}", copies=sheet.copies(step.part.key), number=sheet.number) for sheet in sheets
    )


def _tab_words(step: Step, units: Units) -> str:
    width, height = units.length(step.tabs[0].width).main, units.length(step.tabs[0].height).main
    return say("{count}, each {width} wide and {height} high", count=len(step.tabs), width=width, height=height)


def _leave(step: Step, units: Units) -> str:
    words = []
    if step.leave_walls:
        words.append(say("{amount} on the walls", amount=units.length(step.leave_walls).main))
    if step.leave_floor:
        words.append(say("{amount} on the floor", amount=units.length(step.leave_floor).main))
    return listed(words)


def _ramps(step: Step, machines: Sequence[MachinePlan]) -> bool:
    """Whether the cutter ramps into the wood on some machine class."""
    found = (machine.settings[step.key].detail for machine in machines if step.key in machine.settings)
    return any(detail is None or detail.entry.manner in (Manner.RAMP, Manner.HELIX) for detail in found)


def watch_for(step: Step, *, frees: bool = False, ramps: bool = True) -> str:
    """Return what to look and listen for in this step (common practice, no source).

    frees: whether it cuts a part loose; ramps: whether the cutter ramps into the wood, else nothing is said of its way
    down.
    """
    if frees:
        return say(
            "The cut sounds lighter in the last pass. If the part shifts or hums, press stop: it is coming loose."
        )
    if step.operation.does is OperationKind.DRILL:
        return say("Chips come up with each peck. If they pack in the flutes or smoke rises, peck in shorter bites.")
    if step.cutter.kind is CutterKind.BALL_NOSE and step.stepover is None:
        return say("Listen for a soft, even hiss.")
    if step.cutter.kind is CutterKind.BOWL and not ramps:
        return say("A thump at each turn means the feed is too high.")
    return say_as(_BY_KIND.get(step.cutter.kind, _STEADY))


_STEADY = later(
    "Listen for a steady hum; look for chips, not dust. A rising pitch or a rattle means too much depth "
    "or a loose collet."
)
_BY_KIND = {
    CutterKind.V_BIT: later(
        "The edges should be clean from the first pass. If a line fades out on one side, the stock is not flat."
    ),
    CutterKind.BALL_NOSE: later("Listen for a soft, even hiss. If you can feel ridges, the stepover is too wide."),
    CutterKind.BOWL: later(
        "This cutter does not like to plunge: let it ramp in. A thump at each turn means the feed is too high."
    ),
    CutterKind.SURFACING: later(
        "Listen for an even swish. Stripes that catch the light mean the spindle is not square to the table."
    ),
    CutterKind.DOWN_CUT: later(
        "Chips stay packed in the cut. If it smells hot, they are packed too tight: stop the spindle before "
        "you clear them."
    ),
}


def done_when(plan: Plan, step: Step, units: Units) -> Line:
    """Return how to tell that the step has come out right, with its own figures."""
    if step.phase is Phase.ROUGHING and step.operation.roughing is not None:
        left = _leave(step, units) or say("nothing")
        return line(say("The shape is roughed out evenly, with {left} left for the next pass.", left=left))
    return _measured(step, _done_by_doing(plan, step, units))


def _measured(step: Step, words: str) -> Line:
    """Return how a step is found right, with what it is looked at or measured with."""
    if step.operation.does is OperationKind.FACE:
        return line(words, "straight_edge")
    return line(words, "calliper")


def _done_by_doing(plan: Plan, step: Step, units: Units) -> str:
    does, operation = step.operation.does, step.operation
    if does is OperationKind.FACE:
        return say("None of the old surface is left, and no light shows under a straight edge.")
    if does is OperationKind.DRILL:
        return _holes_done(step, units)
    if does is OperationKind.GROOVE:
        width = units.length(line_width(operation))
        return say("Every line is {width} wide at the face over its whole length.", width=width)
    if does is OperationKind.CHAMFER:
        return _bevel_done(operation, units)
    if does is OperationKind.ENGRAVE:
        return say("Every stroke reaches its outline with a clean edge and ends in sharp corners.")
    return _through_done(plan, step, units) if operation.through else _hollows_done(plan, step, units)


def _through_done(plan: Plan, step: Step, units: Units) -> str:
    operation = step.operation
    if operation.skin:
        skin = str(units.length(operation.skin))
        return say("A skin of {skin} is left all along the cut, and the spoilboard does not show.", skin=skin)
    if plan.frees(step) and operation.hold is None and step.final:
        return say("The part is free and its edge is cut cleanly all the way down.")
    if plan.frees(step) and step.tabs:
        return say("Only the tabs still hold the part, and the rest of the cut shows the spoilboard.")
    if step.tabs:
        return say("Only the tabs still hold the waste, and the rest of the cut shows the spoilboard.")
    if operation.does in AREA_WORK:
        return say("The opening shows the spoilboard all over.")
    return say("The cut shows the spoilboard all round.")


def _bevel_done(operation: Operation, units: Units) -> str:
    if operation.width is None:
        return say("The bevel is equally wide all round.")
    return say("The bevel is {width} wide all round.", width=units.length(operation.width))


def _hollows_done(plan: Plan, step: Step, units: Units) -> str:
    """Return what can be measured where wood was cleared: a round hollow has a deepest point, a flat one a floor."""
    operation, depth = step.operation, units.length(step.depth)
    if operation.does is OperationKind.PROFILE:
        return say("The cut measures {depth} deep all along.", depth=depth)
    if step.phase is Phase.WALLS:
        return say("The walls are smooth from the rim down to the floor, without steps.")
    words = []
    if operation.points:
        words.append(
            say_counted(
                "The hollow is {depth} deep in its middle, and its rim measures Ø {rim}.",
                "Each of the {count} hollows is {depth} deep in its middle, and its rim measures Ø {rim}.",
                len(operation.points),
                depth=depth,
                rim=units.length(hole_width(operation)),
            )
        )
    if operation.shapes:
        words.append(_floor_words(operation, depth, surface_words(plan, step)))
    return " ".join(words)


def _floor_words(operation: Operation, depth: Measure, surface: str) -> str:
    if not has_flat_floor(operation):
        return say("It measures {depth} below {surface} where it is deepest.", depth=depth, surface=surface)
    if operation.cutter.corner_radius:
        return say("The flat of the floor measures {depth} below {surface} everywhere.", depth=depth, surface=surface)
    return say(
        "The floor measures {depth} below {surface} in the middle and at the edge.", depth=depth, surface=surface
    )


def _holes_done(step: Step, units: Units) -> str:
    operation, depth = step.operation, str(units.length(step.depth))
    count = len(operation.points) or len(operation.shapes)
    if step.through:
        words = say_counted("one hole, clean through.", "{count} holes, clean through.", count)
    else:
        words = say_counted("one hole, {depth} deep.", "{count} holes, {depth} deep.", count, depth=depth)
    return capital(words)


def _near_fasteners(plan: Plan, step: Step) -> bool:
    """Whether a fastener or clamp stands within 25 mm of where this step's cutter runs, on any sheet."""
    from shapely import Point

    area = step.swept if step.swept is not None else step.cut
    if area is None or area.is_empty:
        return False
    for planned in plan.setups:
        if step.key not in planned.steps:
            continue
        for sheet in planned.sheets:
            for spot in sheet.placements:
                if spot.part == step.part.key and any(
                    area.distance(Point(spot.back(f.x, f.y))) < _NEAR for f in planned.places
                ):
                    return True
    return False
