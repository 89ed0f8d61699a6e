"""From a planned step to a cut for the physics, and from its answer to the settings of the plan."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from kitforge.cutting.remedies import helping
from kitforge.cutting.settings import settings
from kitforge.model.findings import Severity
from kitforge.model.kit import Cutter, Kit, OperationKind, Side
from kitforge.model.messages import Advices, msg
from kitforge.model.passes import INCH, MM, passes_of
from kitforge.model.settings import (
    Cut,
    CutDirection,
    CutSettings,
    CutterGeometry,
    DirectionReason,
    NoWindow,
    Problem,
    Substrate,
    TroubleCode,
    Work,
)
from kitforge.model.step_geometry import StepGeometry
from kitforge.model.steps import BlockedStep, Phase, SettingsProblem, Step, StepSettings
from kitforge.model.workshop import MachineClass
from kitforge.planning.overrides import requested_settings
from kitforge.planning.step_geometry import step_geometry_of
from kitforge.workshop.cutting_data import cutting_data
from kitforge_settings.timing import step_seconds

SUBSTRATES = {"solid carbide": Substrate.CARBIDE, "carbide tipped": Substrate.TIPPED, "hss": Substrate.HSS}
HARD = ("past a limit",)
SOFT = ("outside the window",)
NONE_HELPS = (msg("another cutter, another class, or another way to make this"),)


def settings_of(kit: Kit, step: Step, machine: MachineClass) -> StepSettings | BlockedStep:
    """Return the settings of one step on one machine class, or why there are none."""
    material = step.part.stock.material
    wish = requested_settings(step.operation, machine.key)
    geometry = planned_geometry(kit, step)
    cut, cutter = cut_of(step, geometry), geometry_of(step.cutter)
    found = settings(cut, cutter, material, machine, cutting_data(), wish, kit.cutting_rows)
    if isinstance(found, NoWindow):
        return BlockedStep(tuple(problem_of(problem, found) for problem in found.problems), found)
    seconds = step_seconds(step, geometry.visits, machine, found)
    return _planned(step, found, seconds, wish.depth_per_pass if wish else None)


def planned_geometry(kit: Kit, step: Step) -> StepGeometry:
    """Return the geometry that was planned with a step, or work it out for a step that comes from elsewhere."""
    return step.geometry or step_geometry_of(kit, step)


def cut_of(step: Step, geometry: StepGeometry) -> Cut:
    """Return a step with its geometry as the physics sees it."""
    operation, rough = step.operation, step.operation.roughing
    finishing = rough is not None and step.phase is not Phase.ROUGHING
    wish = operation.finishing if finishing or rough is None else rough
    height, room = step.depth - step.top, geometry.room
    return Cut(
        work=_work(operation.does),
        depth=max(height, 0.01),
        finishing=finishing,
        reach=step.depth,
        side_stock=step.side_stock,
        width=room.width,
        length=room.length,
        stepover=wish.stepover,
        cusp=wish.cusp,
        open_entry=operation.does is OperationKind.FACE or step.phase is Phase.WALLS,  # beside a wall all is cleared
        inside_corners=room.inside_corners,
        keeping=geometry.retention,
    )


def _work(does: OperationKind) -> Work:
    """Return the work; an engraving is a groove that is as deep as its deepest point."""
    return Work.GROOVE if does is OperationKind.ENGRAVE else Work(does.value)


@lru_cache(maxsize=256)
def geometry_of(cutter: Cutter) -> CutterGeometry:
    """Return a kit's cutter as the physics sees it."""
    return CutterGeometry(
        shape=cutter.kind,
        diameter=cutter.diameter,
        cutting_length=cutter.cutting_length,
        shank=cutter.shank,
        overall_length=cutter.overall_length,
        flutes=cutter.flutes,
        angle=cutter.angle,
        corner_radius=cutter.corner_radius,
        tip=cutter.tip,
        centre_cutting=cutter.centre_cutting,
        substrate=SUBSTRATES[cutter.substrate],
        max_speed=cutter.max_speed,
    )


def problem_of(problem: Problem, found: CutSettings | NoWindow) -> SettingsProblem:
    """Return a problem of the physics as one of the plan, with the remedies that help when they are tried."""
    blocking = isinstance(found, NoWindow)
    severity = Severity.ERROR if blocking or problem.trouble in HARD else Severity.WARNING
    if problem.trouble is TroubleCode.CHATTER:
        severity = Severity.NOTE
    code = "settings-none" if blocking else "settings-override" if problem.trouble in HARD + SOFT else "settings-risk"
    return SettingsProblem(
        code, severity, problem.message, msg("{advice}", advice=Advices(helping(problem, found) or NONE_HELPS))
    )


def _planned(step: Step, found: CutSettings, seconds: tuple[float, float], asked: float | None) -> StepSettings:
    most = found.depth_per_pass.high
    in_mm, in_inches = (passes_of(step.top, step.depth, found.passes, most, unit, asked) for unit in (MM, INCH))
    entry = replace(found.entry, peck=in_mm.each) if found.entry.peck else found.entry
    direction, reason = _direction(step, found)
    return StepSettings(
        speed=found.speed,
        feed=found.feed,
        plunge=found.plunge,
        depth_per_pass=replace(found.depth_per_pass, start=in_mm.each),
        stepover=found.stepover if found.stepover and step.stepover else None,
        passes=in_mm.total,
        entry=entry,
        stick_out=found.stick_out,
        chip=found.chip.mean,
        force=found.loads.side_force,
        lift=max(found.loads.lift, 0.0),
        power=found.loads.power,
        deflection=found.loads.deflection,
        cusp=found.cusp,
        seconds=seconds,
        dial=found.dial,
        problems=tuple(problem_of(note, found) for note in found.notes),
        direction=direction,
        direction_reason=reason,
        in_mm=in_mm,
        in_inches=in_inches,
        most_force=found.loads.most_side_force,
        most_lift=max(found.loads.most_lift, 0.0),
        detail=found,
    )


def _direction(step: Step, found: CutSettings) -> tuple[CutDirection | None, DirectionReason | None]:
    """Return the direction of cut and why: none where the cutter is only plunged; a line has wood on both sides."""
    if step.travel is not None and not len(step.travel.lengths):
        return None, None
    if found.direction is not None and step.operation.does is OperationKind.PROFILE and step.operation.side is Side.ON:
        return CutDirection.EITHER, DirectionReason.BOTH_SIDES
    return found.direction, found.direction_reason
