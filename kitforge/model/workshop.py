"""What a shop knows, as typed records: materials, machine classes, hold-downs, finishes.

Lengths mm, force N, power W, speed min-1, feed mm/min, density kg/m3, strength MPa. `None` means that no source
gave the value; it is never to be read as zero. aliases: other names in the trade; former_keys: keys of older kits.
"""

from __future__ import annotations

from dataclasses import field
from enum import StrEnum

from kitforge.model.lines import Line, Use
from kitforge.model.record import record


class MaterialKind(StrEnum):
    """The families that chip load, grain and fastener rules tell apart."""

    HARDWOOD = "hardwood"
    SOFTWOOD = "softwood"
    PLYWOOD = "plywood"
    FIBREBOARD = "fibreboard"
    PARTICLEBOARD = "particleboard"
    STRAND_BOARD = "strand board"


@record
class Fact:
    """A value with where it comes from. `trust` is 'read', 'memory', 'common practice', 'derived' or 'author'."""

    value: float
    source: str
    trust: str = "read"


@record
class Material:
    """A wood or a panel. Specific gravity is ovendry weight over volume at 12 % moisture (Wood Handbook).

    oily: its oils keep tape from sticking.
    """

    key: str
    name: str
    kind: MaterialKind
    density: Fact
    specific_gravity: Fact | None = None
    hardness: Fact | None = None
    shear_parallel: Fact | None = None
    tension_across: Fact | None = None
    panel: PanelStrength | None = None
    modulus_of_rupture: Fact | None = None
    movement_tangential: Fact | None = None
    movement_radial: Fact | None = None
    fibre_saturation: Fact | None = None
    botanical_name: str | None = None
    oily: bool = False
    sheet_sizes: tuple[SheetSize, ...] = ()
    dust_class: str | None = None
    dust_effects: tuple[str, ...] = ()
    dust_source: str | None = None
    colour: str = "#d9b38c"
    notes: str | None = None
    aliases: tuple[str, ...] = ()
    former_keys: tuple[str, ...] = ()

    @property
    def is_panel(self) -> bool:
        """True for sheet goods, false for solid wood."""
        return self.kind not in (MaterialKind.HARDWOOD, MaterialKind.SOFTWOOD)


@record
class PanelStrength:
    """What a panel bears, MPa: bent, pulled in its plane, sheared as a plate, sheared between its faces (planar).

    Of plywood bending and in_plane are those of one veneer along its grain, veneer_across that across it; veneer: how
    thick one is, mm.
    """

    bending: Fact
    in_plane: Fact
    panel_shear: Fact
    planar_shear: Fact
    veneer: Fact | None = None
    veneer_across: Fact | None = None


@record
class SheetSize:
    """Nominal thickness of a panel and the band that real sheets were measured in, mm."""

    nominal: float
    lower: float
    mean: float
    upper: float
    source: str


@record
class Span:
    """A range with its source: what a machine of a class has at least and at most. `trust` as in `Fact`."""

    low: float
    high: float
    source: str = "common practice"
    trust: str = "common practice"

    @property
    def middle(self) -> float:
        """The middle of the range."""
        return (self.low + self.high) / 2


@record
class MachineClass:
    """A class of routers. Every figure is a range over the machines of the class, with its own source.

    Decisions take the weak end, which the properties below give; a machine of one's own has both ends alike.
    area: travel along X and Y, z_travel, clearance (under the gantry) mm; lowest_speed, highest_speed min-1;
    cutter_power W at the cutter; side_force N before the machine visibly gives way; feed, plunge: the fastest mm/min;
    acceleration mm/s2; shanks: shank diameters mm that its collets take, for plain collets low == high; nut: width of
    the collet nut mm, of which the weak end is the widest; dial: (position, min-1) pairs of a machine of one's own
    whose speed is set by a dial, else empty; own: a machine of one's own.
    """

    key: str
    name: str
    about: str
    area: tuple[Span, Span]
    z_travel: Span
    clearance: Span
    lowest_speed: Span
    highest_speed: Span
    cutter_power: Span
    side_force: Span
    feed: Span
    plunge: Span
    acceleration: Span
    shanks: tuple[Span, ...]
    collet_text: str
    nut: Span
    dial: tuple[tuple[str, float], ...] = ()
    rank: int = 0
    own: bool = False
    aliases: tuple[str, ...] = ()
    former_keys: tuple[str, ...] = ()

    @property
    def table(self) -> tuple[float, float]:
        """Travel along X and Y that every machine of the class has, mm."""
        return self.area[0].low, self.area[1].low

    @property
    def slowest(self) -> float:
        """The speed to which every machine of the class comes down, min-1."""
        return self.lowest_speed.high

    @property
    def fastest(self) -> float:
        """The speed that every machine of the class reaches, min-1."""
        return self.highest_speed.low

    @property
    def force_limit(self) -> float:
        """The side force that every machine of the class bears, N."""
        return self.side_force.low

    @property
    def feed_limit(self) -> float:
        """The feed that every machine of the class reaches, mm/min."""
        return self.feed.low

    @property
    def plunge_limit(self) -> float:
        """The feed straight down that every machine of the class reaches, mm/min."""
        return self.plunge.low

    @property
    def figures(self) -> tuple[Span, ...]:
        """All figures of the class."""
        speeds = self.lowest_speed, self.highest_speed
        loads = self.cutter_power, self.side_force, self.feed, self.plunge, self.acceleration
        return (*self.area, self.z_travel, self.clearance, *speeds, *loads, *self.shanks, self.nut)

    def takes_shank(self, diameter: float, slack: float = 0.05) -> bool:
        """Return whether a collet of this class holds a shank of `diameter` mm."""
        return any(shank.low - slack <= diameter <= shank.high + slack for shank in self.shanks)


class HoldKind(StrEnum):
    """How a piece is kept in place while it is cut."""

    TAPE_AND_GLUE = "tape and glue"
    DOUBLE_SIDED_TAPE = "double-sided tape"
    BRADS = "brads"
    SCREWS = "screws"
    CLAMPS = "clamps"
    EDGE_FENCES = "edge fences"
    VACUUM = "vacuum"


@record
class HoldDown:
    """A way to hold stock. Which figures apply depends on the kind; the others are None.

    shear: tape MPa (low, high); friction: coefficient; force_each: N per clamp or fence (low, high); pressure: MPa
    of vacuum (low, high); diameter, penetration: fastener mm; safety: divisor of the capacity. least_area: of a piece
    that it holds alone, mm2; to_end, to_edge: how far a fastener stays from an end and an edge of a board that it would
    split, in its diameters; gives: it is soft, and lets the work move; cups: it holds in places that no cut may reach.
    """

    key: str
    name: str
    kind: HoldKind
    about: str
    safety: Fact
    shear: Span | None = None
    friction: Fact | None = None
    force_each: Span | None = None
    pressure: Span | None = None
    diameter: float | None = None
    penetration: float | None = None
    keep_out: float = 0.0
    to_end: Fact | None = None
    to_edge: Fact | None = None
    least_area: Fact | None = None
    gives: bool = False
    cups: bool = False
    uses: tuple[Use, ...] = ()
    cautions: tuple[str, ...] = ()
    aliases: tuple[str, ...] = ()
    former_keys: tuple[str, ...] = ()


@record
class Finish:
    """A surface finish: how it is put on, how far it goes and what it can do to people.

    coverage: m2 per litre for one coat; dry_hours, cure_days: (low, high). `source` backs the
    figures, `hazard_sources` the self-heating, food-contact and caution texts as far as they have one. before, coat,
    after: what is done once before the first coat, for every coat, and once after the last.
    """

    key: str
    name: str
    about: str
    coats: int
    coverage: Span
    dry_hours: Span
    cure_days: Span
    sand_to_grit: int
    between_coats_grit: int | None
    self_heating: bool
    food_contact: str
    before: tuple[Line, ...] = ()
    coat: tuple[Line, ...] = ()
    after: tuple[Line, ...] = ()
    cautions: tuple[str, ...] = ()
    source: str = "common practice"
    hazard_sources: tuple[str, ...] = ()
    aliases: tuple[str, ...] = ()
    former_keys: tuple[str, ...] = ()


@record
class Workshop:
    """All tables, by key. Plugins may add to them before a kit is resolved."""

    materials: dict[str, Material] = field(default_factory=dict)
    machines: dict[str, MachineClass] = field(default_factory=dict)
    hold_downs: dict[str, HoldDown] = field(default_factory=dict)
    finishes: dict[str, Finish] = field(default_factory=dict)
