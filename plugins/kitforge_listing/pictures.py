"""Shop pictures of fixed sizes on white, from the surface as cut."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from kitforge.pictures.drawn.shots import PORTRAIT_DOTS, portrait_dots, shots_of
from kitforge.pictures.drawn.together import finished
from kitforge.print.raster import encoded

if TYPE_CHECKING:
    from PIL.Image import Image as Dots

    from kitforge.model.kit import Kit
    from kitforge.model.plan import Plan

COVER = 2000, 1500


def cover_picture(kit: Kit, plan: Plan) -> bytes:
    """Return the finished piece as PNG, 2000 x 1500 dots with a rim of white: put together, or else its parts."""
    if kit.together:
        return encoded(_on_white(_opaque(finished(kit, plan)), COVER))
    return encoded(_on_white(portrait_dots(shots_of(kit, plan), kit, *PORTRAIT_DOTS), COVER))


def step_pictures(kit: Kit, plan: Plan) -> Iterator[tuple[str, bytes]]:
    """Yield (name, PNG) for each step in order, 1200 x 900 dots: 'step-01', 'step-02', ..."""
    shots = shots_of(kit, plan)
    digits = max(2, len(str(len(plan.steps))))
    for step in plan.steps:
        yield f"step-{step.number:0{digits}d}", shots.steps[step.key].after


def _opaque(image: Dots) -> Dots:
    from PIL import Image

    ground = Image.new("RGBA", image.size, (255, 255, 255, 255))
    ground.alpha_composite(image)
    return ground.convert("RGB")


def _on_white(image: Dots, size: tuple[int, int]) -> Dots:
    from PIL import Image

    ground = Image.new("RGB", size, (255, 255, 255))
    ground.paste(image, ((size[0] - image.width) // 2, (size[1] - image.height) // 2))
    return ground
