"""The check itself: every part is cut on a coarse map, step by step, and each state is looked at once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from kitforge.model.findings import Finding
from kitforge.model.kit import Kit, Part
from kitforge.model.messages import area_mm2, mm, msg
from kitforge.model.plan import Plan
from kitforge.model.steps import Step
from kitforge.surface.checks import broken_through, cuts_nothing, ridges_left, undone, web_left
from kitforge.surface.heightmap import SurfaceState, simulate
from kitforge_surface.kinds import CUT_AWAY_LATER, CUTS_NOTHING, FACES_MEET, RIDGES_LEFT, WEB_THIN
from kitforge_surface.messages import found
from kitforge_surface.room import CutterHeld, check_nut, check_shank, held_in
from kitforge_surface.underside import check_underside

# Coarse enough to be quick, fine enough for a V-line 1 mm wide.
_CELL, _CEILING = 0.4, 1_000_000
# Wood left between two faces, mm: common practice, no source.
_LEAST_WEB = 2.0


def findings_of(kit: Kit, plan: Plan) -> Iterator[Finding]:
    """Yield what the cut surface of every part gives away."""
    held = held_in(plan)
    for part in kit.parts:
        yield from _of_part(part, plan.steps_of(part.key), held)


def _of_part(part: Part, steps: Sequence[Step], held: Mapping[str, CutterHeld]) -> Iterator[Finding]:
    findings: list[Finding] = []
    watched = _watched(part, steps, findings, held)
    for item in undone(watched):
        text = msg(
            "{title}: what this step cuts is cut away later, most of it by '{title_2}'.",
            title=item.step.title,
            title_2=item.by.title,
        )
        advice = msg("Cut the deeper or wider one first, or leave the step out.")
        findings.append(found(CUT_AWAY_LATER, item.step, text, advice))
    yield from findings


def _watched(
    part: Part, steps: Sequence[Step], findings: list[Finding], held: Mapping[str, CutterHeld]
) -> Iterator[SurfaceState]:
    """Pass the states on and note what each of them shows; only one state is held at a time."""
    state = None
    for state in simulate(part, steps, cell=_CELL, ceiling=_CEILING):
        findings += _of_state(state, part, held.get(state.step.key))
        findings += (item for item in list(check_shank(state)) if not _told(item, findings))
        yield state
    if state is not None:
        findings += _of_web(state, part)


def _told(finding: Finding, before: Sequence[Finding]) -> bool:
    """Return whether a pass of the same operation has been found before for the same reason."""
    return any((other.code, other.operation) == (finding.code, finding.operation) for other in before)


def _of_state(state: SurfaceState, part: Part, held: CutterHeld | None) -> Iterator[Finding]:
    step = state.step
    if cuts_nothing(state):
        text = msg(
            "{title}: the cutter meets no wood; everything in its way has been cut, or it runs beside the part.",
            title=step.title,
        )
        yield found(CUTS_NOTHING, step, text, msg("Check its place and depth, or leave the step out."))
        return
    if (ridge := ridges_left(state)) is not None:
        text = msg(
            "{title}: strips up to {amount} high stay standing between the passes, {area} in all.",
            title=step.title,
            amount=mm(ridge.amount),
            area=area_mm2(ridge.area, 0),
        )
        yield found(RIDGES_LEFT, step, text, msg("Choose a smaller stepover or a wider cutter."), ridge)
    if (hole := broken_through(state, part)) is not None:
        text = msg(
            "{title}: the cut comes out in a cut made before and leaves a hole of {area}.",
            title=step.title,
            area=area_mm2(hole.area, 0),
        )
        yield found(FACES_MEET, step, text, msg("Make one of the two less deep, or take thicker stock."), hole)
    yield from check_nut(state, held)
    yield from check_underside(state)


def _of_web(state: SurfaceState, part: Part) -> Iterator[Finding]:
    web = web_left(state.after, part)
    if web is not None and web.amount < _LEAST_WEB:
        text = msg(
            "Only {amount} of wood stay between the cuts from the top and from the bottom.", amount=mm(web.amount)
        )
        advice = msg(
            "Leave at least {least_web}: make one of the cuts less deep, or take thicker stock.",
            least_web=mm(_LEAST_WEB),
        )
        yield WEB_THIN.new(text, advice, source=part.source, part=part.key, at=web.at)
