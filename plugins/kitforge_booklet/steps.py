"""One block for each step, in cutting order."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from kitforge.language import SOURCE_LANGUAGE, capital, current_language, later, render_text, say, say_as, say_counted
from kitforge.model.kit import CutterKind, Face, OperationKind
from kitforge.model.lines import Line, line
from kitforge.model.plan import Phase
from kitforge.model.settings import Manner
from kitforge.pack.times import timed_machine
from kitforge.pictures.drawn.cutter import cutter_picture
from kitforge.pictures.drawn.part import step_picture
from kitforge.planning.sizes import has_flat_floor, hole_width, line_width
from kitforge.print.datums import depth_label, surface_words
from kitforge.print.directions import clockwise, direction_of, reason_of
from kitforge.print.figures import Measure, Units, listed, minutes, piece_title, step_subject, step_title, stock_title
from kitforge.print.loading import load_words
from kitforge.print.settings import step_views
from kitforge_booklet.changing import before_step
from kitforge_booklet.pictures import larger_words, step_shot
from kitforge_booklet.records import LabelledFact, StepBlock
from kitforge_booklet.safety import step_messages
from kitforge_booklet.signs import cutting_signs

if TYPE_CHECKING:
    from kitforge.model.kit import Cutter, Kit, Operation
    from kitforge.model.plan import MachinePlan, Plan, Step
    from kitforge.model.settings import CutDirection
    from kitforge.pictures.drawn.shots import Shots
    from kitforge.print.svg import Picture

_WIDTH, _NARROW = 114.0, 54.0
_ROOM, _PER_ROW, _PER_MESSAGE, _PER_LINE, _PER_FACT = 158.0, 14.5, 21.5, 7.5, 11.5
_NEAR, _NOTE_LINE = 25.0, 120
_LOWEST = 42.0
_LOAD_LINE = 96  # letters of a line of the sentence that says what to load
_WAY_LINE = 5.0  # height of a line that tells the direction of cut, mm
_TITLE_LINE, _WHERE_LINE = (7.4, 26), (5.0, 40)  # height mm and letters of a line of a step's head
_CUTTER = 9.5  # the widest cutter beside its step on paper, mm
_CAPTION = 5.0  # the words above the pictures
_LONGER = 9.0  # room for lines that break in a language longer than English


def step_blocks(
    kit: Kit, plan: Plan, machines: Sequence[MachinePlan], units: Units, shots: Shots
) -> tuple[StepBlock, ...]:
    """Return the blocks of all steps."""
    blocks, before = [], None
    for step in plan.steps:
        blocks.append(_block(kit, plan, step, before, machines, units, shots))
        before = step
    return tuple(blocks)


def _block(
    kit: Kit, plan: Plan, step: Step, before: Step | None, machines: Sequence[MachinePlan], units: Units, shots: Shots
) -> StepBlock:
    earlier = [s for s in plan.steps if s.number < step.number and s.part.key == step.part.key]
    messages = step_messages(plan, step, kit, _near_fasteners(plan, step))
    shown = [machine for machine in machines if machine.fits] or machines
    facts, setup = _facts(plan, step, units), _setup_words(plan, step)
    ways = _directions(step, shown)
    rows = step_views(step, shown, units)
    shape = cutter_picture(step.cutter, _cutter_scale(step.cutter))
    first = before_step(plan, step, before, machines, units)
    note = _note(step, units)
    larger = shots.steps[step.key].larger
    new_cutter = before is None or before.cutter.key != step.cutter.key
    below = _note_height(note) + len(ways) * _WAY_LINE
    tall = _picture_height(len(rows), len(messages) + below / _PER_MESSAGE, len(first))
    load = load_words(plan, step, units, rows)
    tall = max(_LOWEST, tall - _long_head(step, setup, new_cutter=new_cutter) - _load_height(load))
    return StepBlock(
        number=step.number,
        load=load,
        title=step_title(step),
        part=step_subject(step),
        setup=setup,
        new_setup=before is None or _setup_words(plan, before) != setup,
        new_cutter=new_cutter,
        depth=say("through") if step.through else units.length(step.depth).main,
        time=_time(step, machines),
        picture=step_picture(
            step, earlier, _NARROW, _plan_height(tall, len(facts), shape), clockwise(step, direction_of(step, shown))
        ),
        cutter=render_text(step.cutter.name),
        cutter_picture=shape,
        facts=facts,
        ways=ways,
        rows=rows,
        has_stepover=any(row.stepover is not None for row in rows),
        watch=watch_for(step, frees=plan.frees(step), ramps=_ramps(step, machines)),
        done=done_when(plan, step, units),
        note=note,
        messages=messages,
        shot=step_shot(step, shots, _WIDTH, tall - _CAPTION),
        larger=larger_words(larger) if larger > 1 else "",
        before=first,
        signs=cutting_signs(step, new_cutter=new_cutter),
    )


def _cutter_scale(cutter: Cutter) -> float:
    """Return the scale at which a cutter is drawn beside its step: half size, smaller where it is long or wide."""
    scale = 0.5 if cutter.overall_length <= 80 else 0.25
    return min(scale, _CUTTER / max(cutter.diameter, cutter.shank))


def _note(step: Step, units: Units) -> str:
    """Return the author's note, and for an engraving what the bit follows, which the drawing cannot show."""
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


def _picture_height(rows: int, messages: float, before: int) -> float:
    """Return how tall the picture may be, mm, so that a step with its table fills one page of either paper."""
    opening = before * _PER_LINE + 4.0 if before else 0.0
    opening += 0.0 if current_language().code == SOURCE_LANGUAGE else _LONGER
    return min(90.0, max(_LOWEST, _ROOM - rows * _PER_ROW - messages * _PER_MESSAGE - opening))


def _long_head(step: Step, setup: str, *, new_cutter: bool) -> float:
    """Return how much higher than usual, mm, the head of a step is, with a long title or long names."""
    title, where = _TITLE_LINE, _WHERE_LINE
    titles = math.ceil(len(f"{step_title(step)} {step_subject(step)}") / title[1])
    cutter = len(render_text(step.cutter.name)) + (len(say("change the cutter")) + 2 if new_cutter else 0)
    lines = math.ceil(len(setup) / where[1]) + math.ceil(cutter / where[1])
    return max(0, titles - 2) * title[0] + max(0, lines - 2) * where[0]


def _plan_height(tall: float, facts: int, cutter: Picture) -> float:
    """Return how tall the plan beside the picture may be, mm, with cutter and facts below it."""
    return min(_NARROW, max(18.0, tall - max(facts * _PER_FACT, cutter.height) - 4.0))


def _load_height(load: str) -> float:
    """Return the height, mm, of the lines of the sentence below the head, with what is left around them."""
    return math.ceil(len(load) / _LOAD_LINE) * 5.4 + 2.5


def _note_height(note: str) -> float:
    return math.ceil(len(note) / _NOTE_LINE) * 4.3 + 2.0 if note else 0.0


def _time(step: Step, machines: Sequence[MachinePlan]) -> str:
    """Return the time of a step on the machine class whose times are stated."""
    one = timed_machine(machines)
    settings = one.settings.get(step.key) if one else None
    return minutes(settings.seconds) if settings else "–"


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


def _directions(step: Step, machines: Sequence[MachinePlan]) -> tuple[str, ...]:
    """Return the direction of cut of most classes with its reason, and that of the others with theirs."""
    most = direction_of(step, machines)
    if most is None:
        return ()
    others = [one for one in machines if step.key in one.settings and one.settings[step.key].direction is not most]
    lines = [_direction_line(say("Direction of cut"), step, machines, most)]
    for direction in dict.fromkeys(one.settings[step.key].direction for one in others):
        if direction is not None:
            names = [say_as(one.machine.name) for one in others if one.settings[step.key].direction is direction]
            lines.append(_direction_line(listed(names), step, others, direction))
    return tuple(lines)


def _direction_line(who: str, step: Step, machines: Sequence[MachinePlan], direction: CutDirection) -> str:
    turn, way = clockwise(step, direction), say_as(direction)
    if turn is not None:
        way = say("{way}, clockwise", way=way) if turn else say("{way}, counter-clockwise", way=way)
    reason = reason_of(step, machines, direction)
    return say("{who}: {way}; {reason}.", who=who, way=way, reason=say_as(reason)) if reason else f"{who}: {way}."


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
        words.append(say("{amount} on walls", amount=units.length(step.leave_walls).main))
    if step.leave_floor:
        words.append(say("{amount} on the floor", amount=units.length(step.leave_floor).main))
    return ", ".join(words)


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
            "The sound turns lighter in the last pass. If the part shifts or hums, press stop: it is working loose."
        )
    if step.operation.does is OperationKind.DRILL:
        return say("Chips come up with each peck. If they pack in the flutes or smoke rises, peck in shorter bites.")
    if step.cutter.kind is CutterKind.BOWL and not ramps:
        return say("A thump at each turn means that the feed is too high.")
    return say_as(_BY_KIND.get(step.cutter.kind, _STEADY))


_STEADY = later(
    "A steady hum and chips, not powder. A rising pitch or a rattle means too much depth or a loose collet."
)
_BY_KIND = {
    CutterKind.V_BIT: later("Clean edges from the first pass. A line that fades on one side: the stock is not flat."),
    CutterKind.BALL_NOSE: later("A soft, even hiss. Ridges that you can feel mean that the stepover is too wide."),
    CutterKind.BOWL: later(
        "Going down is the hard part: let it ramp. A thump at each turn means that the feed is too high."
    ),
    CutterKind.SURFACING: later("An even swish. Stripes that catch the light: the spindle is not square."),
    CutterKind.DOWN_CUT: later(
        "Chips are packed into the cut. A hot smell: they pack too tight; stop the spindle before you clear them."
    ),
}


def done_when(plan: Plan, step: Step, units: Units) -> Line:
    """Return how to tell that the step has come out right, with its own figures."""
    if step.phase is Phase.ROUGHING and step.operation.roughing is not None:
        left = _leave(step, units) or say("nothing")
        return line(say("The shape stands rough and even, {left} left for the next pass.", left=left))
    return _measured(step, _done_by_doing(plan, step, units))


def _measured(step: Step, words: str) -> Line:
    """Return how a step is found right, with what it is looked at or measured with."""
    if step.operation.does is OperationKind.FACE:
        return line(words, "straight_edge")
    return line(words, "calliper")


def _done_by_doing(plan: Plan, step: Step, units: Units) -> str:
    does, operation = step.operation.does, step.operation
    if does is OperationKind.FACE:
        return say("No patch of the old surface is left, and a straight edge shows no light anywhere.")
    if does is OperationKind.DRILL:
        return _holes_done(step, units)
    if does is OperationKind.GROOVE:
        width = units.length(line_width(operation))
        return say("Every line is {width} wide at the face over its whole length.", width=width)
    if does is OperationKind.CHAMFER:
        return _bevel_done(operation, units)
    if does is OperationKind.ENGRAVE:
        return say("Every stroke meets its outline with a clean edge and runs out into sharp corners.")
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
                    area.distance(Point(f.x - spot.x, f.y - spot.y)) < _NEAR for f in planned.places
                ):
                    return True
    return False
