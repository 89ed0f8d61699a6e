"""The pictures of a kit: the cover, one after each step, the view from above, a detail."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kitforge.model.kit import Face, Part
from kitforge.model.steps import Step
from kitforge.pictures.shaded.palette import Style
from kitforge.pictures.shaded.png import png, round_png, smoothed
from kitforge.pictures.shaded.pointing import pointed_out
from kitforge.pictures.shaded.render import Each, LitScene, Painting, dots, painted, scene_of
from kitforge.pictures.shaded.view import ABOVE, SLANT, Box, PictureView, PixelCanvas, box_of, canvas_for
from kitforge.pictures.shaded.wood import Look, look_of
from kitforge.surface.heightmap import Surface, SurfaceState, finished

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray
    from PIL.Image import Image as Picture

_FINER = 2


@dataclass(frozen=True, slots=True)
class PictureSize:
    """width, height: dots, without a height as high as the part needs; clear: no white behind the part."""

    width: int = 900
    height: int | None = None
    clear: bool = False
    finer: int = _FINER


def picture(
    surface: Surface,
    look: Look,
    view: PictureView = SLANT,
    paper: PictureSize = PictureSize(),
    marked: NDArray[np.bool_] | None = None,
    box: Box | None = None,
) -> bytes:
    """Return a PNG of a surface. marked: cells to pick out in colour and hatching; box: show only this, mm."""
    return png(_dots(surface, look, view, paper, marked, box), paper.finer, clear=paper.clear)


def _dots(
    surface: Surface,
    look: Look,
    view: PictureView,
    paper: PictureSize,
    marked: NDArray[np.bool_] | None,
    box: Box | None,
    each: Each = map,
) -> NDArray[np.uint8]:
    canvas = canvas_for(view, box or box_of(surface.grid), surface.thickness, paper.width, paper.height)
    style = Style(clear=paper.clear, hatch=10 * paper.finer)
    return dots(scene_of(surface, look, view, marked), view, canvas.finer(paper.finer), style, each)


def cover(surface: Surface, part: Part, paper: PictureSize = PictureSize(1400), view: PictureView = SLANT) -> bytes:
    """Return the finished part alone, seen from a slant, with its shadow on the paper."""
    return picture(surface.freed(part), look_of(part.stock), view, paper, box=_outline_box(part))


def free_picture(free: Surface, part: Part, paper: PictureSize, each: Each = map, face: Face = Face.TOP) -> Picture:
    """Return the picture of `cover` or `underside`, not yet as PNG, of a freed surface. each: as for `dots`."""
    (left, bottom, right, top), over = _outline_box(part), face is Face.BOTTOM
    seen, box = (free.turned_over(), (-right, bottom, -left, top)) if over else (free, (left, bottom, right, top))
    found = _dots(seen, look_of(part.stock, over=over), SLANT, paper, None, box, each)
    return smoothed(found, paper.finer, clear=paper.clear)


def from_above(surface: Surface, part: Part, paper: PictureSize = PictureSize()) -> bytes:
    """Return the finished part alone, seen from straight above."""
    return picture(surface.freed(part), look_of(part.stock), ABOVE, paper, box=_outline_box(part))


def after(state: SurfaceState, paper: PictureSize = PictureSize(), view: PictureView = SLANT) -> bytes:
    """Return the stock after a step with what this step cut picked out; turned over for a step from below."""
    return png(_dots_after(state, paper, view, LastPainting())[0], paper.finer, clear=paper.clear)


class LastPainting:
    """The paper of a step that was painted last, for each face of a part: another step changes little of it.

    It saves time alone: whichever step was painted last, the next one's paper is the same.
    """

    def __init__(self) -> None:
        self._last: dict[tuple[Face, PixelCanvas], Painting] = {}

    def scene(self, face: Face, view: PictureView, canvas: PixelCanvas) -> LitScene | None:
        """Return the scene that was painted last on a paper of a face, None if that was seen from elsewhere."""
        found = self._last.get((face, canvas))
        return None if found is None or found.view != view else found.scene

    def painted(
        self, face: Face, scene: LitScene, view: PictureView, canvas: PixelCanvas, style: Style
    ) -> NDArray[np.uint8]:
        """Return the paper of a scene as `dots` does, and keep it."""
        found = painted(scene, view, canvas, style, like=self._last.get((face, canvas)))
        self._last[face, canvas] = found
        return found.dots


def picture_after(
    state: SurfaceState,
    paper: PictureSize = PictureSize(),
    view: PictureView = SLANT,
    last: LastPainting | None = None,
) -> tuple[Picture, float]:
    """Return the picture of `after`, not yet as PNG, and how much larger its inset shows the cut, 1 without one.

    last: of the other steps of the part.
    """
    found, larger = _dots_after(state, paper, view, last or LastPainting())
    return smoothed(found, paper.finer, clear=paper.clear), larger


def picture_before(
    state: SurfaceState,
    paper: PictureSize = PictureSize(),
    view: PictureView = SLANT,
    last: LastPainting | None = None,
) -> Picture:
    """Return the stock before a step, seen as `after` shows it, nothing picked out; not yet as PNG. last: as there."""
    over = state.step.face is Face.BOTTOM
    surface = state.before.coarser(round(max(state.before.grid.size) / paper.width / state.before.grid.cell))
    surface = surface.turned_over() if over else surface
    found = _dots_before(surface, look_of(state.step.part.stock, over=over), view, paper, state.step.face, last)
    return smoothed(found, paper.finer, clear=paper.clear)


def _dots_before(
    surface: Surface, look: Look, view: PictureView, paper: PictureSize, face: Face, last: LastPainting | None
) -> NDArray[np.uint8]:
    if last is None:
        return _dots(surface, look, view, paper, None, None)
    canvas = _canvas_for(surface, view, paper)
    return last.painted(
        face,
        scene_of(surface, look, view, like=last.scene(face, view, canvas)),
        view,
        canvas,
        Style(clear=paper.clear, hatch=0),
    )


def _canvas_for(surface: Surface, view: PictureView, paper: PictureSize) -> PixelCanvas:
    return canvas_for(view, box_of(surface.grid), surface.thickness, paper.width, paper.height).finer(paper.finer)


def _dots_after(
    state: SurfaceState, paper: PictureSize, view: PictureView, last: LastPainting
) -> tuple[NDArray[np.uint8], float]:
    over = state.step.face is Face.BOTTOM
    surface, changed = state.after, state.changed()
    if over:
        surface, changed = surface.turned_over(), changed[:, ::-1]
    canvas = _canvas_for(surface, view, paper)
    style = Style(clear=paper.clear, hatch=0)
    face = state.step.face
    scene = scene_of(surface, look_of(state.step.part.stock, over=over), view, changed, last.scene(face, view, canvas))
    found = last.painted(face, scene, view, canvas, style)
    return pointed_out(found, scene, view, canvas, style, lambda other, own: dots(scene, view, other, own))


def underside(surface: Surface, part: Part, paper: PictureSize = PictureSize(), view: PictureView = SLANT) -> bytes:
    """Return the finished part alone, turned over about its y direction."""
    free = surface.freed(part).turned_over()
    left, bottom, right, top = _outline_box(part)
    return picture(free, look_of(part.stock, over=True), view, paper, box=(-right, bottom, -left, top))


def detail(part: Part, steps: Sequence[Step], at: tuple[float, float], across: float, width: int = 420) -> bytes:
    """Return a round picture, `width` dots wide, of what lies within `across` / 2 mm of a point of the finished part.

    Only that piece of the part is cut, on cells as fine as the picture.
    """
    x, y = at
    room = across / 2 + 2.2 * part.stock.actual
    surface = finished(part, steps, cell=across / width / 1.2, box=(x - room, y - room, x + room, y + room))
    canvas = PixelCanvas(width, width, 0.0, 0.0, width / across).centred(SLANT, at)
    style = Style(clear=False, hatch=7 * _FINER)
    scene = scene_of(surface.freed(part), look_of(part.stock), SLANT)
    return round_png(dots(scene, SLANT, canvas.finer(_FINER), style), _FINER)


def _outline_box(part: Part) -> Box:
    box = part.outline.bounds
    return box.left, box.bottom, box.right, box.top
