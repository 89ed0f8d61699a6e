"""One cut with everything that is known about it, and how much of the cutter it engages."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import acos, cos, pi, radians, sqrt, tan

from kitforge.cutting.bending import grip_length
from kitforge.cutting.chips import inner_arc_angle
from kitforge.cutting.force import ForceModel
from kitforge.cutting.practice import COLLET_CLEARANCE, CORNER_PATH_RADIUS, FLUTE_RUN_OUT
from kitforge.cutting.records import Cut, CutterGeometry, CutterKind, Given, Substrate, Work
from kitforge.cutting.shape import bowl_flat, effective_diameter_ball, effective_diameter_bowl, v_width
from kitforge.cutting.sources import cited, given
from kitforge.workshop.cutting_data import CuttingData, KcModel, ToolMaterial
from kitforge.workshop.records import Fact, MachineClass, Material, MaterialKind, Span

_TOOL_MATERIAL = {Substrate.CARBIDE: "carbide", Substrate.TIPPED: "tipped", Substrate.HSS: "hss"}
_ROUND = (CutterKind.BALL_NOSE, CutterKind.BOWL)


@dataclass(frozen=True, slots=True)
class Job:
    """A cut, its cutter, the wood, the machine class and the tables."""

    cut: Cut
    cutter: CutterGeometry
    material: Material
    machine: MachineClass
    data: CuttingData

    def cite(self, known: Fact | Span) -> str:
        """Return the source of a figure in words, with its trust where it was not read."""
        return cited(known)

    def given(self, name: str, symbol: str, known: Fact, unit: str, worked_from: str = "") -> Given:
        """Return a figure of the tables as an input of a formula."""
        return given(name, symbol, known, unit, worked_from)

    @property
    def model(self) -> ForceModel:
        """The force model of the tables."""
        return force_model(self.data.cutting_force)

    @property
    def unfavourable(self) -> float:
        """Used edge times the upper end of the band: what every safety decision multiplies kc with."""
        return self.data.wear_factors.used.value * self.data.cutting_force.band.high

    @property
    def mean_grain(self) -> Fact:
        """Grain factor on the average round the arc of the cut, for power."""
        factors = self.data.grain_factors
        if self.material.kind is MaterialKind.PLYWOOD:
            return factors.plywood
        return factors.isotropic if self.material.is_panel else factors.any_direction

    @property
    def worst_grain(self) -> Fact:
        """Grain factor in the worst direction, for the peak force of a tooth."""
        return self.mean_grain if self.material.is_panel else self.data.grain_factors.across

    @property
    def tool_material(self) -> ToolMaterial:
        """Stiffness and strength of the cutter's body."""
        return self.data.tool_materials[_TOOL_MATERIAL[self.cutter.substrate]]

    @property
    def bends_to(self) -> Fact:
        """How far the tip may bend, mm."""
        limits = self.data.deflection_limits
        return limits.finish if self.cut.finishing else limits.rough

    @property
    def reach(self) -> float:
        """How far the tip goes below the face of the stock, mm."""
        return self.cut.depth if self.cut.reach is None else self.cut.reach

    @property
    def is_drilling(self) -> bool:
        """True when the cutter only goes down."""
        return self.cut.work is Work.DRILL

    @property
    def steps_over(self) -> bool:
        """True when an area is cut in lanes beside each other."""
        return self.cut.work in (Work.FACE, Work.SURFACING, Work.POCKET, Work.DISH) and not self.along_wall

    @property
    def along_wall(self) -> bool:
        """True when only the stock that a roughing pass left on a wall is cut."""
        if not (self.cut.finishing and self.cut.side_stock > 0):
            return False
        return self.cut.work is Work.PROFILE or (self.cut.work is Work.POCKET and not self._floor_only)

    @property
    def _floor_only(self) -> bool:
        return self.reach > self.cut.depth + 1e-6

    def wall_beside(self) -> Job | None:
        """Return the cut along the wall that a finishing pass over the floor makes at the same time, if there is one.

        Where a roughing pass left stock on floor and walls, the cutter meets the wall's over its whole height at once.
        """
        cut = self.cut
        if not (cut.finishing and cut.side_stock > 0 and cut.work in (Work.POCKET, Work.DISH) and self._floor_only):
            return None
        return replace(self, cut=replace(cut, work=Work.POCKET, depth=self.reach))


_MODELS: dict[int, tuple[KcModel, ForceModel]] = {}


def force_model(constants: KcModel) -> ForceModel:
    """Return the force model with the constants of the tables; the last one is kept, for hashing them is slow."""
    known = _MODELS.get(id(constants))
    if known is None:
        _MODELS.clear()
        known = _MODELS[id(constants)] = (constants, _made_model(constants))
    return known[1]


def _made_model(constants: KcModel) -> ForceModel:
    return ForceModel(
        reference=constants.kc_ref.value,
        chip=constants.h_ref.value,
        density=constants.density_ref.value,
        chip_exponent=constants.m.value,
        density_exponent=constants.n.value,
        thinnest=constants.h_clamp.low,
        thickest=constants.h_clamp.high,
        low=constants.band.low,
        high=constants.band.high,
        source="constants chosen within published and recalled readings; band stated",
    )


def stick_out(job: Job) -> float:
    """Return what shows under the collet, mm: the flutes with their run-out, or the depth of the cut and a clearance.

    A cutter is pushed in as far as the run-out of its flutes allows. Three quarters of the shank, or two shank
    diameters, stay in the collet unless the cut is deeper than that leaves room for. All common practice, no source.
    """
    cutter = job.cutter
    if cutter.stick_out is not None:
        return cutter.stick_out
    grip = job.data.plunge
    shank_length = max(0.0, cutter.overall_length - cutter.cutting_length)
    held = grip_length(shank_length, cutter.shank, grip.shank_grip.low, grip.shank_grip_part.value)
    needed = max(cutter.cutting_length + FLUTE_RUN_OUT, job.reach + COLLET_CLEARANCE)
    return max(min(needed, cutter.overall_length - held), min(job.reach, cutter.overall_length))


def effective_diameter(cutter: CutterGeometry, depth: float) -> float:
    """Return the diameter at which the cutter meets the top of a cut `depth` deep, mm."""
    if cutter.shape is CutterKind.V_BIT and cutter.angle:
        return min(cutter.diameter, max(v_width(depth, cutter.angle, cutter.tip), 1e-6))
    if cutter.shape is CutterKind.BALL_NOSE:
        return effective_diameter_ball(cutter.diameter, depth)
    if cutter.shape is CutterKind.BOWL:
        return effective_diameter_bowl(cutter.diameter, cutter.corner_radius, depth)
    return cutter.diameter


def round_radius(cutter: CutterGeometry) -> float:
    """Return the radius of the round part of the profile: the ball's or the corner's, 0 for sharp corners."""
    return cutter.diameter / 2 if cutter.shape is CutterKind.BALL_NOSE else cutter.corner_radius


def edge_ratio(cutter: CutterGeometry, depth: float) -> float:
    """Return depth over length of engaged edge: how much the slant of the edge thins the chip. Derived."""
    if cutter.shape is CutterKind.V_BIT and cutter.angle:
        return cos(radians(cutter.angle / 2))
    radius = round_radius(cutter)
    if cutter.shape not in _ROUND or radius <= 0:
        return 1.0
    round_depth = min(depth, radius)
    return depth / (radius * acos((radius - round_depth) / radius) + depth - round_depth)


def slot_section(cutter: CutterGeometry, depth: float) -> float:
    """Return the cross-section of the slot that one pass leaves, mm2. Derived from the profile."""
    if cutter.shape is CutterKind.V_BIT and cutter.angle:
        return cutter.tip * depth + depth * depth * tan(radians(cutter.angle / 2))
    radius = round_radius(cutter)
    if cutter.shape not in _ROUND or radius <= 0:
        return cutter.diameter * depth
    low = min(depth, radius)
    segment = radius**2 * acos((radius - low) / radius) - (radius - low) * sqrt(2 * radius * low - low * low)
    return segment + bowl_flat(cutter.diameter, radius) * low + cutter.diameter * (depth - low)


@dataclass(frozen=True, slots=True)
class Engagement:
    """How much of the cutter is in the wood.

    share: ae over effective diameter in the steady cut, worst: the largest share met (first lane, inside corner).
    section: largest cross-section cut, mm2. ratio: `edge_ratio`.
    """

    width: float
    diameter: float
    share: float
    worst: float
    section: float
    ratio: float


def engagement(job: Job, depth: float, stepover: float | None) -> Engagement:
    """Return how much of the cutter is engaged at a depth per pass and a stepover. Derived.

    A first lane in a pocket or a dish is a slot. Inside corners of a wall are taken as arcs on which the centre runs
    with half the cutter's radius; sharper ones the machine cannot take at full feed (see `motion.corner_speed`).
    """
    cutter = job.cutter
    diameter, ratio = effective_diameter(cutter, depth), edge_ratio(cutter, depth)
    section = slot_section(cutter, depth)
    if job.is_drilling:
        return Engagement(cutter.diameter, cutter.diameter, 1.0, 1.0, pi / 4 * cutter.diameter**2, 1.0)
    if job.along_wall:
        share = min(1.0, job.cut.side_stock / diameter)
        worst = _in_corners(diameter / 2, job.cut.side_stock, share) if job.cut.inside_corners else share
        return Engagement(job.cut.side_stock, diameter, share, worst, depth * diameter * worst, ratio)
    if job.cut.work is Work.CHAMFER:
        return Engagement(diameter / 2, diameter, 0.5, 0.5, section / 2, ratio)
    if not job.steps_over or stepover is None:
        return Engagement(diameter, diameter, 1.0, 1.0, section, ratio)
    share = min(1.0, stepover / diameter)
    if job.cut.work in (Work.FACE, Work.SURFACING):
        return Engagement(stepover, diameter, share, share, min(section, stepover * depth), ratio)
    return Engagement(stepover, diameter, share, 1.0, section, ratio)


def _in_corners(radius: float, stock: float, share: float) -> float:
    """Return the share of the diameter with the engaged angle of an inside corner, never below the straight one."""
    angle = inner_arc_angle(radius, CORNER_PATH_RADIUS * radius, stock)
    return max(share, (1 - cos(angle)) / 2)
