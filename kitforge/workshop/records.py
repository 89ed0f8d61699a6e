"""What a shop knows, as typed records: materials, machine classes, hold-downs, finishes.

Lengths mm, force N, power W, speed min-1, feed mm/min, density kg/m3, strength MPa. `None` means that no source
gave the value; it is never to be read as zero.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum


class MaterialKind(StrEnum):
    """The families that chip load, grain and fastener rules tell apart."""

    HARDWOOD = "hardwood"
    SOFTWOOD = "softwood"
    PLYWOOD = "plywood"
    FIBREBOARD = "fibreboard"
    PARTICLEBOARD = "particleboard"
    STRAND_BOARD = "strand board"


@dataclass(frozen=True, slots=True)
class Fact:
    """A value with where it comes from. `trust` is 'read', 'memory', 'common practice', 'derived' or 'author'."""

    value: float
    source: str
    trust: str = "read"


@dataclass(frozen=True, slots=True)
class Material:
    """A wood or a panel. Specific gravity is ovendry weight over volume at 12 % moisture (Wood Handbook)."""

    key: str
    name: str
    kind: MaterialKind
    density: Fact
    specific_gravity: Fact | None = None
    hardness: Fact | None = None
    shear_parallel: Fact | None = None
    modulus_of_rupture: Fact | None = None
    movement_tangential: Fact | None = None
    movement_radial: Fact | None = None
    botanical_name: str | None = None
    sheet_sizes: tuple[SheetSize, ...] = ()
    dust_class: str | None = None
    dust_effects: tuple[str, ...] = ()
    dust_source: str | None = None
    colour: str = "#d9b38c"
    notes: str | None = None

    @property
    def is_panel(self) -> bool:
        """True for sheet goods, false for solid wood."""
        return self.kind not in (MaterialKind.HARDWOOD, MaterialKind.SOFTWOOD)


@dataclass(frozen=True, slots=True)
class SheetSize:
    """Nominal thickness of a panel and the band that real sheets were measured in, mm."""

    nominal: float
    lower: float
    mean: float
    upper: float
    source: str


@dataclass(frozen=True, slots=True)
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


@dataclass(frozen=True, slots=True)
class MachineClass:
    """A class of routers. Ranges cover the machines of the class; safety decisions take the weak end.

    area: X and Y travel mm; z_travel, clearance (under the gantry) mm; rpm: lowest and highest speed min-1;
    cutter_power W at the cutter; force_limit N before the machine visibly gives way; feed_limit mm/min;
    acceleration mm/s2; shanks: shank diameters mm that its collets take as (low, high) ranges, for plain collets
    low == high; dial: (position, min-1) pairs where the speed is set by a dial, else empty.
    """

    key: str
    name: str
    about: str
    area: tuple[float, float]
    z_travel: Span
    clearance: Span
    rpm: Span
    cutter_power: Span
    force_limit: float
    feed_limit: float
    plunge_limit: float
    acceleration: Span
    shanks: tuple[tuple[float, float], ...]
    collet_text: str
    dial: tuple[tuple[str, float], ...] = ()
    rank: int = 0
    source: str = "common practice"

    def takes_shank(self, diameter: float, slack: float = 0.05) -> bool:
        """Return whether a collet of this class holds a shank of `diameter` mm."""
        return any(low - slack <= diameter <= high + slack for low, high in self.shanks)


class HoldKind(StrEnum):
    """How a piece is kept in place while it is cut."""

    TAPE_AND_GLUE = "tape and glue"
    DOUBLE_SIDED_TAPE = "double-sided tape"
    BRADS = "brads"
    SCREWS = "screws"
    CLAMPS = "clamps"
    EDGE_FENCES = "edge fences"
    VACUUM = "vacuum"


@dataclass(frozen=True, slots=True)
class HoldDown:
    """A way to hold stock. Which figures apply depends on the kind; the others are None.

    shear: tape MPa (low, high); friction: coefficient; force_each: N per clamp or fence (low, high); pressure: MPa
    of vacuum (low, high); diameter, penetration: fastener mm; safety: divisor of the capacity.
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
    consumables: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Finish:
    """A surface finish: how it is put on, how far it goes and what it can do to people.

    coverage: m2 per litre for one coat; dry_hours, cure_days: (low, high). `source` backs the
    figures, `hazard_sources` the self-heating, food-contact and caution texts as far as they have one.
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
    steps: tuple[str, ...]
    cautions: tuple[str, ...] = ()
    source: str = "common practice"
    hazard_sources: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Workshop:
    """All tables, by key. Plugins may add to them before a kit is resolved."""

    materials: dict[str, Material] = field(default_factory=dict)
    machines: dict[str, MachineClass] = field(default_factory=dict)
    hold_downs: dict[str, HoldDown] = field(default_factory=dict)
    finishes: dict[str, Finish] = field(default_factory=dict)
