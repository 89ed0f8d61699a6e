"""Putting the kit together, step by step, with a picture of the work where the kit says how its parts stand."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kitforge.language import say
from kitforge.model.lines import Line
from kitforge.pictures.drawn.together import after_steps, ends_with_a_part
from kitforge.print.figures import listed, sentence
from kitforge.print.raster import Raster, for_print
from kitforge_booklet.pictures import finished_shot, part_shot
from kitforge_booklet.records import AssemblyBlock

if TYPE_CHECKING:
    from PIL.Image import Image as Dots

    from kitforge.model.kit import AssemblyStep, Kit
    from kitforge.model.plan import Plan
    from kitforge.pictures.drawn.shots import Shots

STAGE = 62.0, 46.0
"""Room for the picture of a step, mm."""
_PART = 24.0, 24.0
_MOST_PARTS = 3


def assembly(kit: Kit, plan: Plan, shots: Shots) -> tuple[AssemblyBlock, ...]:
    """Return the assembly steps with pictures: of the work after each, else of the parts they need."""
    stages = after_steps(kit, plan)
    numbered = enumerate(zip(kit.assembly, stages, strict=True), 1)
    blocks = [_block(number, step, stage, kit, shots) for number, (step, stage) in numbered]
    if blocks and ends_with_a_part(kit):
        blocks.append(_end(kit, plan, shots))
    return tuple(blocks)


def _block(number: int, step: AssemblyStep, stage: Dots | None, kit: Kit, shots: Shots) -> AssemblyBlock:
    parts = [kit.part(key) for key in step.parts]
    names = listed([part.title for part in parts])
    if stage is not None:
        pictures: tuple[Raster, ...] = (_staged(number, stage, names),)
    else:
        small = parts[:_MOST_PARTS] if not kit.together else []
        pictures = tuple(part_shot(part, shots, *_PART, step.face) for part in small)
    return AssemblyBlock(
        Line(sentence(step.text), step.uses), names, pictures, step.caution or "", str(number), stage is not None
    )


def _staged(number: int, stage: Dots, names: str) -> Raster:
    alt = say("The work after step {number} of putting it together.", number=number)
    if names:
        alt += " " + say("This step is about: {names}.", names=names)
    return for_print(stage, alt, *STAGE)


def _end(kit: Kit, plan: Plan, shots: Shots) -> AssemblyBlock:
    picture = finished_shot(kit, plan, shots, *STAGE)
    return AssemblyBlock(Line(say("Done when it stands like this.")), "", (picture,), "", "", staged=True)
