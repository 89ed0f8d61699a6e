"""Pictures of the piece put together: after each assembly step, and pulled apart."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from kitforge.model.identity import IdentityKey
from kitforge.model.kit import Face
from kitforge.model.plan import Plan
from kitforge.pictures.same_cuts import SameCuts
from kitforge.print.parallel import hands

if TYPE_CHECKING:
    from PIL.Image import Image as Dots

    from kitforge.model.kit import Kit
    from kitforge.model.pictures import PictureStandIn
    from kitforge.pictures.shaded.assembly import Shot
    from kitforge.pictures.shaded.exploded import Stood

STEP_DOTS = 860, 860
PULLED_DOTS = 1350, 1650
"""Dots drawn with hard edges: paper gets them made smaller, which smooths them."""
_STILL = (0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class ExplodedView:
    """The piece pulled apart, and for each part's key where copies of it are seen, dots from the upper left."""

    image: Dots
    spots: dict[str, tuple[tuple[float, float], ...]]


def ends_with_a_part(kit: Kit) -> bool:
    """Return whether the last assembly step brings a part, so that its picture does not show the finished piece."""
    return any(one.step == len(kit.assembly) - 1 for one in kit.together)


def after_steps(kit: Kit, plan: Plan) -> tuple[Dots | None, ...]:
    """Return for each assembly step a picture on white with hard edges, within 860 x 860 dots.

    The parts that it brings are picked out and pulled off the others; the last step shows the finished piece. None for
    steps that name no parts, and for all where the kit does not say where its parts stand.
    """
    return _after_steps(IdentityKey(kit), SameCuts(plan, kit.parts))


def exploded_view(kit: Kit, plan: Plan) -> ExplodedView:
    """Return the piece with every part pulled off. The kit must say where its parts stand."""
    return _exploded_view(IdentityKey(kit), SameCuts(plan, kit.parts))


@lru_cache(maxsize=1)
def _stood(kit: IdentityKey[Kit], same: SameCuts) -> tuple[Stood, ...]:
    from kitforge.pictures.shaded.exploded import stood

    return stood(kit.one, same.plan)


@lru_cache(maxsize=1)
def _after_steps(kit: IdentityKey[Kit], same: SameCuts) -> tuple[Dots | None, ...]:
    if not kit.one.together:
        return (None,) * len(kit.one.assembly)
    _stood(kit, same)
    with hands() as helping:
        shots = [helping.give(_after, kit, same, index) for index in range(len(kit.one.assembly))]
        return tuple(shot.result() for shot in shots)


def _after(kit: IdentityKey[Kit], same: SameCuts, index: int) -> Dots | None:
    everyone, step = _stood(kit, same), kit.one.assembly[index]
    last = index == len(kit.one.assembly) - 1
    if step.dry:
        coming, there = [one for one in everyone if one.standing.part in step.parts], []
    else:
        there = [one for one in everyone if one.standing.step is not None and one.standing.step < index]
        coming = [one for one in everyone if one.standing.step == index]
    things = [] if step.dry else [one for one in kit.one.pictures.beside if one.step is not None and one.step <= index]
    if not coming and last:
        return _shot(everyone, (), things, face=step.face).image
    if not coming:
        named = [one for one in there if one.standing.part in step.parts]
        rest = [one for one in there if one.standing.part not in step.parts]
        return _shot(rest, named, things, apart=False, face=step.face).image if named else None
    return _shot(there, coming, things, face=step.face).image


def _shot(
    there: Sequence[Stood],
    coming: Sequence[Stood],
    things: Sequence[PictureStandIn],
    *,
    apart: bool = True,
    face: Face = Face.TOP,
) -> Shot:
    """Return a picture of parts that are there with others picked out, pulled off them or in their places.

    things: bought ones that are there by then; face: which side the step is about; the underside is seen from below.
    """
    from kitforge.pictures.shaded.assembly import FROM_BELOW, ROUND_VIEW, assembly_shot
    from kitforge.pictures.shaded.exploded import drawn, leads_to, pulled_off
    from kitforge.pictures.shaded.make import PictureSize

    by = pulled_off(coming, there, whole=False) if apart else [_STILL] * len(coming)
    pairs = list(zip(coming, by, strict=True))
    leads = leads_to(pairs, there, things)
    parts = [drawn(one) for one in there]
    parts += [drawn(one, far, picked=not apart or bool(there) or any(far)) for one, far in pairs]
    view = FROM_BELOW if face is Face.BOTTOM else ROUND_VIEW
    return assembly_shot(parts, PictureSize(*STEP_DOTS, finer=1), leads, view, table=False, things=things)


def _there_for_the_last(kit: Kit) -> list[PictureStandIn]:
    """Return the bought things that are there when the last part comes: parts may go onto them."""
    last = max((one.step for one in kit.together if one.step is not None), default=-1)
    return [one for one in kit.pictures.beside if one.step is not None and one.step < last]


@lru_cache(maxsize=1)
def _exploded_view(kit: IdentityKey[Kit], same: SameCuts) -> ExplodedView:
    from kitforge.pictures.shaded.assembly import assembly_shot
    from kitforge.pictures.shaded.exploded import drawn, leads_apart, pulled_off
    from kitforge.pictures.shaded.make import PictureSize

    everyone = _stood(kit, same)
    by = pulled_off(everyone, ())
    pairs = list(zip(everyone, by, strict=True))
    things = _there_for_the_last(kit.one)
    parts = [drawn(one, far) for one, far in pairs]
    paper = PictureSize(*PULLED_DOTS, clear=True, finer=1)
    shot = assembly_shot(parts, paper, leads_apart(pairs, things), table=False, things=things)
    left, top, right, low = shot.image.getchannel("A").getbbox() or (0, 0, *shot.image.size)
    found: dict[str, list[tuple[float, float]]] = {}
    for one, spot in zip(everyone, shot.spots, strict=True):
        if spot is not None:
            found.setdefault(one.standing.part, []).append((spot[0] - left, spot[1] - top))
    return ExplodedView(shot.image.crop((left, top, right, low)), {key: tuple(spots) for key, spots in found.items()})
