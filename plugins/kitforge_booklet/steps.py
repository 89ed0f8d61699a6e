"""One block for each step, in cutting order."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from kitforge.kit import CutterKind, Doing, Face, OnionSkin
from kitforge.plan import Phase
from kitforge.planning.areas import width_at
from kitforge.print.figures import Units, counted, minutes
from kitforge.print.pictures.cutter import cutter_picture
from kitforge.print.pictures.part import step_picture
from kitforge.print.settings import step_views
from kitforge_booklet.records import Fact, StepBlock
from kitforge_booklet.safety import step_messages

if TYPE_CHECKING:
    from kitforge.kit import Kit
    from kitforge.plan import MachinePlan, Plan, Step

_WIDTH = 114.0
_ROOM, _PER_ROW, _PER_MESSAGE = 154.0, 14.5, 21.0
_NEAR = 25.0


def step_blocks(kit: Kit, plan: Plan, machines: Sequence[MachinePlan], units: Units) -> tuple[StepBlock, ...]:
    """Return the blocks of all steps."""
    blocks, before = [], None
    for step in plan.steps:
        blocks.append(_block(kit, plan, step, before, machines, units))
        before = step
    return tuple(blocks)


def _block(
    kit: Kit, plan: Plan, step: Step, before: Step | None, machines: Sequence[MachinePlan], units: Units
) -> StepBlock:
    earlier = [s for s in plan.steps if s.number < step.number and s.part.key == step.part.key]
    rows = step_views(step, [machine for machine in machines if machine.fits] or machines, units)
    messages = step_messages(step, kit, _near_fasteners(plan, step))
    return StepBlock(
        number=step.number,
        title=step.title,
        part=step.part.title,
        setup=_setup_words(step),
        new_setup=before is None or _setup_words(before) != _setup_words(step),
        new_cutter=before is None or before.cutter.key != step.cutter.key,
        depth="through" if step.operation.through else units.length(step.depth).main,
        time=_time(step, machines),
        picture=step_picture(
            step, earlier, _WIDTH, _picture_height(len(rows), len(messages) + bool(step.operation.note) / 2)
        ),
        cutter=step.cutter.name,
        cutter_picture=cutter_picture(
            step.cutter, 1.0 if step.cutter.overall_length <= 66 and step.cutter.diameter < 19.5 else 0.5
        ),
        facts=_facts(step, units),
        rows=rows,
        has_stepover=any(row.stepover is not None for row in rows),
        watch=watch_for(step),
        done=done_when(step, units),
        note=step.operation.note or "",
        messages=messages,
    )


def _picture_height(rows: int, messages: float) -> float:
    """Return how tall the picture may be, mm, so that a step with its table fills one page of either paper."""
    return min(112.0, max(48.0, _ROOM - rows * _PER_ROW - messages * _PER_MESSAGE))


def _time(step: Step, machines: Sequence[MachinePlan]) -> str:
    """Return the span of cutting time over the machine classes that the kit fits."""
    found = [m.settings[step.key].seconds for m in machines if m.fits and step.key in m.settings]
    return minutes((min(low for low, _ in found), max(high for _, high in found))) if found else "–"


def _setup_words(step: Step) -> str:
    return f"{step.part.stock.title}{'' if step.face is Face.TOP else ', turned over'}"


def _facts(step: Step, units: Units) -> tuple[Fact, ...]:
    depth = units.length(step.depth)
    through = step.operation.through
    facts = [Fact("Depth below the face", depth.main + (", through" if through else ""), depth.other)]
    if through and step.operation.allowance:
        extra = units.length(step.operation.allowance)
        facts.append(Fact("Of this into the spoilboard", extra.main, extra.other))
    if step.top > 0:
        top = units.length(step.top)
        facts.append(Fact("Starts at a depth of", top.main, top.other))
    if step.copies > 1:
        facts.append(Fact("Copies", str(step.copies)))
    if step.leave_walls or step.leave_floor:
        facts.append(Fact("Leave for the next pass", _leave(step, units)))
    if step.tabs:
        tab = step.tabs[0]
        facts.append(
            Fact(
                "Tabs",
                f"{len(step.tabs)}, each {units.length(tab.width).main} wide and {units.length(tab.height).main} high",
            )
        )
    if isinstance(step.operation.hold, OnionSkin) and step.frees:
        skin = units.length(step.operation.hold.thickness)
        facts.append(Fact("Skin left below", skin.main, skin.other))
    return tuple(facts)


def _leave(step: Step, units: Units) -> str:
    words = []
    if step.leave_walls:
        words.append(f"{units.length(step.leave_walls).main} on walls")
    if step.leave_floor:
        words.append(f"{units.length(step.leave_floor).main} on the floor")
    return ", ".join(words)


def watch_for(step: Step) -> str:
    """Return what to look and listen for in this step (common practice, no source)."""
    if step.frees:
        return "The sound turns lighter in the last pass. If the part shifts or hums, press stop: it is working loose."
    if step.operation.does is Doing.DRILL:
        return "Chips come up with each peck. If they pack in the flutes or smoke rises, peck in shorter bites."
    return _BY_KIND.get(step.cutter.kind, _STEADY)


_STEADY = "A steady hum and chips, not powder. A rising pitch or a rattle means too much depth or a loose collet."
_BY_KIND = {
    CutterKind.V_BIT: "Clean edges from the first pass. A line that fades on one side: the stock is not flat.",
    CutterKind.BALL_NOSE: "A soft, even hiss. Ridges that you can feel mean that the stepover is too wide.",
    CutterKind.BOWL: "Going down is the hard part: let it ramp. A thump at each turn means that the feed is too high.",
    CutterKind.SURFACING: "An even swish. Stripes that catch the light: the spindle is not square.",
    CutterKind.DOWN_CUT: "Chips are packed into the cut: vacuum while it runs. A hot smell: they pack too tight.",
}


def done_when(step: Step, units: Units) -> str:
    """Return how to tell that the step has come out right, with its own figures."""
    depth = str(units.length(step.depth))
    if step.phase is Phase.ROUGHING and step.operation.roughing is not None:
        return f"The shape stands rough and even, {_leave(step, units) or 'nothing'} left for the next pass."
    return _done_by_doing(step, units, depth)


def _done_by_doing(step: Step, units: Units, depth: str) -> str:
    does, operation = step.operation.does, step.operation
    if does is Doing.FACE:
        return "No patch of the old surface is left, and a straight edge shows no light anywhere."
    if does is Doing.DRILL:
        count = len(operation.points) or len(operation.shapes)
        return f"{counted(count, 'hole').capitalize()}, {'clean through' if operation.through else depth + ' deep'}."
    if does is Doing.GROOVE:
        width = operation.width or width_at(step.cutter, step.depth)
        return f"Every line is {units.length(width, 1)} wide at the face over its whole length."
    if does is Doing.CHAMFER:
        return "The bevel is equally wide all round."
    if step.frees:
        if operation.hold is None:
            return "The part is free and its edge is cut cleanly all the way down."
        left = "the tabs" if step.tabs else "a thin skin"
        return (
            f"Only {left} still hold{'' if step.tabs else 's'} the part, and the rest of the cut shows the spoilboard."
        )
    if operation.through:
        return "The cut shows the spoilboard all round."
    return f"The floor measures {depth} below the face in the middle and at the edge."


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
                    area.distance(Point(f.x - spot.x, f.y - spot.y)) < _NEAR for f in planned.fasteners
                ):
                    return True
    return False
