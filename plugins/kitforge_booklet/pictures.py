"""The pictures of the surface as cut, at the sizes of the booklet's pages."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from kitforge.files.artefacts import kept_with
from kitforge.language import say
from kitforge.model.kit import Face
from kitforge.pictures.drawn.shots import thumbnail
from kitforge.pictures.studio.frames import clear
from kitforge.pictures.studio.hero import hero
from kitforge.print.figures import listed, step_title
from kitforge.print.raster import DOTS_PER_MM, Raster, encoded, for_print
from kitforge_booklet.pairs import LEAST, side_by_side

if TYPE_CHECKING:
    from kitforge.model.kit import Kit, Part
    from kitforge.model.plan import Plan
    from kitforge.model.steps import Step
    from kitforge.pictures.drawn.shots import Shots, StepShot

COVER = (160.0, 124.0)
_FULL_STEPS = 24
"""So many steps have pictures as fine as paper shows; with more they are coarser, so that the file stays small."""


def cover_shot(kit: Kit, plan: Plan, shots: Shots) -> Raster:
    """Return the photograph of the finished piece, else of its parts, clear but for them and their shadows."""
    names = listed(list(dict.fromkeys(part.title for part in kit.parts)))
    alt = say("The finished parts seen from a slant, as the machine leaves them: {names}.", names=names)
    if kit.together:
        alt = say("The finished piece seen from a slant, put together from its parts: {names}.", names=names)
    dots = round(COVER[0] * DOTS_PER_MM), round(COVER[1] * DOTS_PER_MM)
    return Raster(encoded(clear(hero(kit, plan, shots), *dots), level=1), alt, *COVER)


def finished_shot(kit: Kit, plan: Plan, shots: Shots, width: float, height: float) -> Raster:
    """Return the finished piece, small."""
    dots = round(width * DOTS_PER_MM), round(height * DOTS_PER_MM)
    return for_print(clear(hero(kit, plan, shots), *dots), say("The finished piece."), width, height)


def step_shot(step: Step, shots: Shots, width: float, height: float, least: float = LEAST) -> Raster:
    """Return the stock before a step, small at the left, and after it, with what the step cut picked out.

    least: how wide the small one is at least, mm.
    """
    shot = shots.steps[step.key]
    side = say("seen from the underside, turned over") if step.face is Face.BOTTOM else say("seen from a slant")
    alt = say("{part} before step {number}, small, and after it, {side}: what “{title}” cuts is picked out.",
              part=step.part.title, number=step.number, side=side, title=step_title(step))  # fmt: skip
    if shot.larger > 1:
        alt = f"{alt} {larger_words(shot.larger)}"
    dots = DOTS_PER_MM * min(1.0, (_FULL_STEPS / len(shots.steps)) ** 0.5)
    data, size = kept_with(
        "step-pair", partial(_pair, shot, width, height, dots, least), shot.after, shot.before, shot.box,
        (width, height, dots, least),
    )  # fmt: skip
    return Raster(data, alt, *size)


def _pair(shot: StepShot, width: float, height: float, dots: float, least: float) -> tuple[bytes, tuple[float, float]]:
    """Return the picture of a step for paper, and its width and height, mm."""
    made = for_print(side_by_side(shot, width, height, dots, least), "", width, height, dots)
    return made.data, (made.width, made.height)


def larger_words(times: float) -> str:
    """Return what the inset of a step's picture shows."""
    return say("The circle shows it {times:g} times as large.", times=times)


def part_shot(part: Part, shots: Shots, width: float, height: float, face: Face = Face.TOP) -> Raster:
    """Return one finished part, small, one of its faces up."""
    alt = say("{part} as it comes off the machine.", part=part.title)
    if face is Face.BOTTOM:
        alt = say("{part} as it comes off the machine, its underside up.", part=part.title)
    return for_print(thumbnail(shots.parts[part.key], round(width * DOTS_PER_MM), face), alt, width, height)
