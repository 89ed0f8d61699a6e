"""The figures that the physics works with, as typed records read from `data/cutting.yaml`.

Units: mm, N, MPa, s, min-1; rim speeds m/s; angles degrees. Every figure is a `Fact` (value, source, trust) or a
`Span` (low, high, source, trust). All are starting values, not guarantees.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from itertools import pairwise
from types import MappingProxyType
from typing import TypeVar

from kitforge.model.record import record
from kitforge.model.workshop import Fact, MaterialKind, Span
from kitforge.workshop.tables import TableError, TableRow, table

T = TypeVar("T")


@record
class ChipChartRow:
    """One line of a published chart: feed per tooth low..high in mm for a cutting diameter in mm."""

    kinds: tuple[MaterialKind, ...]
    diameter: float
    low: float
    high: float


@record
class ChipChart:
    """A published chip load chart. `rpm` is the speed it was drawn for, None where it does not say."""

    key: str
    title: str
    source: str
    rpm: float | None
    rigid_machine: bool
    rows: tuple[ChipChartRow, ...]


@record
class StartingChip:
    """Feed per tooth at a diameter, hardwood, mm: a thin chip, and the thickest one that leaves a clean wall."""

    diameter: float
    fz: Span


@record
class DepthDerating:
    """Factor on the chip load at a depth per pass of `ap_over_d` diameters."""

    ap_over_d: float
    factor: Fact


@record
class RubbingFloors:
    """Chips thinner than these rub and burn, mm. `feed_per_tooth_small` holds below `split_diameter`."""

    mean_chip: Fact
    feed_per_tooth: Fact
    feed_per_tooth_small: Fact
    split_diameter: Fact
    edge_radius_new: Span
    edge_radius_worn: Span
    clean_small_cutter: Span


@record
class KcModel:
    """kc = kc_ref (h / h_ref)^-m (density / density_ref)^n * grain * wear, N/mm2, h clamped to `h_clamp` mm.

    `band` is the factor below and above the result within which the truth is expected. kc1_1 is the same model at
    h = 1 mm (density_ref, factors 1). The affine twin is F per mm width = affine_force + affine_slope * h.
    """

    kc_ref: Fact
    h_ref: Fact
    density_ref: Fact
    m: Fact
    n: Fact
    h_clamp: Span
    kc1_1: Fact
    band: Span
    affine_force: Fact
    affine_slope: Fact
    affine_valid: Span
    validity: str


@record
class GrainFactors:
    """Factors on the specific cutting force for the direction of the cut to the grain."""

    isotropic: Fact
    plywood: Fact
    along: Fact
    any_direction: Fact
    across: Fact


@record
class WearFactors:
    """Factors on the specific cutting force for the state of the edge."""

    sharp: Fact
    used: Fact
    dull: Fact


@record
class KcReading:
    """A specific cutting force from a publication, N/mm2; chip thickness mm and density kg/m3 where stated."""

    what: str
    kc: Span
    h: float | None
    density: float | None


@record
class ForceRatios:
    """Other forces over the tangential force."""

    normal: Span
    normal_sharp: Fact
    side_resultant: Fact


@record
class SpeedLimit:
    """Largest speed min-1 for cutters up to `diameter_max` mm; `second` is what another chart says."""

    diameter_max: float
    rpm: Fact
    second: Span


@record
class ToolMaterial:
    """Modulus of elasticity and allowable bending stress of a cutter body, MPa."""

    key: str
    modulus: Fact
    modulus_range: Span
    allowable_stress: Fact | None


@record
class DeflectionLimits:
    """How far the tip may bend, mm."""

    finish: Fact
    rough: Fact


@record
class PlungePractice:
    """How a cutter goes down. Ratios are over the cutting feed or the cutting diameter; angles degrees.

    `ramp_feed_over_feed_times_flutes`: ramp feed = this * feed / flutes.
    """

    feed_ratio: Span
    ramp_feed_over_feed_times_flutes: Fact
    ramp_angle: Span
    ramp_angle_typical: Fact
    helix_path: Span
    helix_pitch: Fact
    helix_angle: Span
    peck_depth: Span
    single_peck: Fact
    shank_grip: Span
    shank_grip_part: Fact

    def least_grip(self, shank: float) -> float:
        """Return how much of a shank the collet must hold at least, mm: two diameters, common practice, no source."""
        return self.shank_grip.low * shank


@record
class FrictionPair:
    """Coefficient of friction between two surfaces."""

    pair: str
    mu: Span


@record
class TabPractice:
    """Holding tabs and onion skin: mm, shear of a panel MPa."""

    width: Span
    thickness: Span
    count: Fact
    spacing: Span
    onion_skin: Span
    most: Fact
    small_piece: Fact
    widest: Fact
    panel_shear: Fact


@record
class LateralConstant:
    """K of p = K d^1.5 (nail) and p = K d^2 (wood screw), N and mm, for a band of specific gravity."""

    kind: MaterialKind
    gravity_low: float
    gravity_high: float
    nail: Fact
    screw: Fact


@record
class MotionPractice:
    """Corner rounding mm, factor on the summed path time, spindle start s."""

    corner_tolerance: Span
    corner_tolerance_default: Fact
    overhead: Span
    spindle_start: Span


@record
class CuttingData:
    """Everything in `data/cutting.yaml`. The mappings are read-only."""

    sources: Mapping[str, str]
    chip_charts: tuple[ChipChart, ...]
    v_groove_chip_load: Mapping[MaterialKind, Fact]
    starting_chips: tuple[StartingChip, ...]
    material_factors: Mapping[MaterialKind, Fact]
    depth_derating: tuple[DepthDerating, ...]
    rubbing: RubbingFloors
    cutting_force: KcModel
    grain_factors: GrainFactors
    wear_factors: WearFactors
    density_correlation: Fact
    kc_readings: tuple[KcReading, ...]
    force_ratios: ForceRatios
    drive_efficiency: Mapping[str, Span]
    rim_speed: Mapping[str, Span]
    speed_limits: tuple[SpeedLimit, ...]
    tool_materials: Mapping[str, ToolMaterial]
    equivalent_diameter: Fact
    deflection_limits: DeflectionLimits
    plunge: PlungePractice
    friction: Mapping[str, FrictionPair]
    safety_factors: Mapping[str, Fact]
    small_part_area: Fact
    tape_shear: Mapping[str, Span]
    clamp_force: Mapping[str, Span]
    vacuum_pressure: Mapping[str, Span]
    tabs: TabPractice
    lateral_constants: tuple[LateralConstant, ...]
    motion: MotionPractice
    collets: Mapping[str, Span]
    nuts: Mapping[str, Span]


@cache
def cutting_data() -> CuttingData:
    """Return the tables of `data/cutting.yaml`, read once per process. Raises TableError if the file is wrong."""
    return read_cutting_data(table("cutting"))


def read_cutting_data(top: TableRow) -> CuttingData:
    """Return the records of a parsed cutting table. Raises TableError on anything missing, unknown or out of order."""
    data = CuttingData(
        sources=MappingProxyType(top.sources),
        chip_charts=tuple(_chart(row) for row in top.rows("chip_charts")),
        v_groove_chip_load=_by_kind(top, "v_groove_chip_load"),
        starting_chips=tuple(_starting_chip(row) for row in top.rows("starting_chips")),
        material_factors=_by_kind(top, "material_factors"),
        depth_derating=tuple(_derating(row) for row in top.rows("depth_derating")),
        rubbing=entry_as(RubbingFloors, top.row("rubbing")),
        cutting_force=entry_as(KcModel, top.row("cutting_force")),
        grain_factors=entry_as(GrainFactors, top.row("grain_factors")),
        wear_factors=entry_as(WearFactors, top.row("wear_factors")),
        density_correlation=top.fact("density_correlation"),
        kc_readings=tuple(entry_as(KcReading, row) for row in top.rows("kc_readings")),
        force_ratios=entry_as(ForceRatios, top.row("force_ratios")),
        drive_efficiency=MappingProxyType(top.spans("drive_efficiency")),
        rim_speed=MappingProxyType(top.spans("rim_speed")),
        speed_limits=tuple(_speed_limit(row) for row in top.rows("speed_limits")),
        tool_materials=_tool_materials(top.row("tool_materials")),
        equivalent_diameter=top.fact("equivalent_diameter"),
        deflection_limits=entry_as(DeflectionLimits, top.row("deflection_limits")),
        plunge=entry_as(PlungePractice, top.row("plunge")),
        friction=_friction(top.row("friction")),
        safety_factors=MappingProxyType(top.facts("safety_factors")),
        small_part_area=top.fact("small_part_area"),
        tape_shear=MappingProxyType(top.spans("tape_shear")),
        clamp_force=MappingProxyType(top.spans("clamp_force")),
        vacuum_pressure=MappingProxyType(top.spans("vacuum_pressure")),
        tabs=entry_as(TabPractice, top.row("tabs")),
        lateral_constants=tuple(_lateral(row) for row in top.rows("lateral_constants")),
        motion=entry_as(MotionPractice, top.row("motion")),
        collets=MappingProxyType(top.spans("collets")),
        nuts=MappingProxyType(top.spans("nuts")),
    )
    top.done()
    _check_order(top, data)
    return data


def entry_as(shape: type[T], row: TableRow) -> T:
    """Return a record whose fields are all facts, spans, texts or optional numbers, read by their annotations."""
    readers = {"Fact": row.fact, "Span": row.span, "str": row.text, "float | None": row.optional_number}
    annotations: dict[str, str] = shape.__annotations__
    values = {name: readers[kind](name) for name, kind in annotations.items()}
    row.done()
    return shape(**values)


def _kind(row: TableRow, text: str) -> MaterialKind:
    try:
        return MaterialKind(text)
    except ValueError:
        row.fail(text, "is no kind of material")


def _by_kind(top: TableRow, key: str) -> Mapping[MaterialKind, Fact]:
    return MappingProxyType({_kind(top, name): fact for name, fact in top.facts(key).items()})


def _chart(row: TableRow) -> ChipChart:
    chart = ChipChart(
        key=row.text("key"),
        title=row.text("title"),
        source=row.source(),
        rpm=row.optional_number("rpm"),
        rigid_machine=row.flag("rigid_machine"),
        rows=tuple(_chart_row(item) for item in row.rows("rows")),
    )
    row.done()
    return chart


def _chart_row(row: TableRow) -> ChipChartRow:
    low, high = row.pair("fz")
    kinds = tuple(_kind(row, name) for name in row.texts("kinds"))
    line = ChipChartRow(kinds, row.number("D"), low, high)
    row.done()
    return line


def _starting_chip(row: TableRow) -> StartingChip:
    found = StartingChip(row.number("D"), row.span("fz"))
    row.done()
    return found


def _derating(row: TableRow) -> DepthDerating:
    found = DepthDerating(row.number("ap_over_D"), row.fact("factor"))
    row.done()
    return found


def _speed_limit(row: TableRow) -> SpeedLimit:
    found = SpeedLimit(row.number("D_max"), row.fact("rpm"), row.span("second"))
    row.done()
    return found


def _tool_materials(top: TableRow) -> Mapping[str, ToolMaterial]:
    found = {}
    for key in top.names():
        row = top.row(key)
        stress = row.optional_fact("allowable_stress")
        found[key] = ToolMaterial(key, row.fact("modulus"), row.span("modulus_range"), stress)
        row.done()
    return MappingProxyType(found)


def _friction(top: TableRow) -> Mapping[str, FrictionPair]:
    return MappingProxyType({key: entry_as(FrictionPair, top.row(key)) for key in top.names()})


def _lateral(row: TableRow) -> LateralConstant:
    kind = _kind(row, row.text("kind"))
    found = LateralConstant(kind, *row.pair("G"), row.fact("nail"), row.fact("screw"))
    row.done()
    return found


def _check_order(top: TableRow, data: CuttingData) -> None:
    """Look-ups by diameter and depth walk these lists upward, so a list out of order would answer wrongly."""
    chips, limits, depths = data.starting_chips, data.speed_limits, data.depth_derating
    if any(a.diameter >= b.diameter or a.fz.low > b.fz.low or a.fz.high > b.fz.high for a, b in pairwise(chips)):
        raise TableError(f"{top.where}: starting_chips: diameters and chips do not grow from row to row")
    if any(a.diameter_max >= b.diameter_max for a, b in pairwise(limits)):
        raise TableError(f"{top.where}: speed_limits: not sorted by diameter")
    if any(a.ap_over_d >= b.ap_over_d for a, b in pairwise(depths)):
        raise TableError(f"{top.where}: depth_derating: not sorted by depth")
