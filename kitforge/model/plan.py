"""The plan: steps in cutting order, and for each machine class the settings, passes, path length and time.

Lengths mm, force N, power W, speed min-1, feed mm/min, time s.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from enum import StrEnum
from typing import TYPE_CHECKING

from kitforge.model.coupon import CouponSlot, CouponWish, ProofStrip
from kitforge.model.datum import AS_IT_CAME, ROUNDING, Datum
from kitforge.model.findings import Severity
from kitforge.model.hollows import walls_apart
from kitforge.model.kit import Cutter, Face, Kit, Operation, Part, Setup, Stock
from kitforge.model.layout import Placement as Placement  # noqa: PLC0414 - a name of this module as well
from kitforge.model.messages import Message, Text, msg
from kitforge.model.passes import Passes
from kitforge.model.pieces import Division, WoodPiece
from kitforge.model.record import record
from kitforge.model.settings import CutDirection, CutSettings, DirectionReason, NoWindow, Trail, WayDown, Window
from kitforge.model.workshop import HoldDown, MachineClass

if TYPE_CHECKING:
    from shapely import MultiPolygon

    from kitforge.model.step_geometry import StepGeometry
    from kitforge.model.travel import Travel


# A pull that was worked out from what is borne may pass it by rounding.
_HAIR = 1 - 1e-9


class Phase(StrEnum):
    """Where a step stands in the order: facing first, the cut that frees the part last, then the hole for turning."""

    FACING = "facing"
    ROUGHING = "roughing"
    FINISHING = "finishing"
    WALLS = "walls"
    DRILLING = "drilling"
    FREEING = "freeing"
    CHECKING = "checking"

    @property
    def rank(self) -> int:
        """0 for the phase that comes first."""
        return list(Phase).index(self)


@record
class Sheet:
    """One piece of stock with the parts cut from it. The sheet's origin is its lower left corner on the table."""

    stock: Stock
    number: int
    placements: tuple[Placement, ...]
    overflow: tuple[str, ...] = ()

    def copies(self, part: str) -> int:
        """How many copies of a part lie on this sheet."""
        return sum(placement.part == part for placement in self.placements)

    def runs(self, step: Step) -> tuple[Placement, ...]:
        """Return where the coordinates of a step lie on this sheet, once for each time that it is run there."""
        if step.operation.whole:
            return (Placement(step.part.key, 1, 0.0, 0.0),) if step.part.stock.key == self.stock.key else ()
        return tuple(placement for placement in self.placements if placement.part == step.part.key)


@record
class TabPlace:
    """A holding tab: its centre on the part's outline, the direction of the edge there (degrees), width and height."""

    x: float
    y: float
    angle: float
    width: float
    height: float


@record
class Step:
    """One step: one pass kind of one operation, for every copy of its part.

    depth: how deep the tip goes below `datum`, mm, with the allowance of a through cut; top: where it starts cutting.
    key: stable name such as 'board/lines' or 'board/dish/finishing'. cut: the area taken away in plan view, swept:
    the area that the cutter passes over (for fasteners and clamps), both in the part's coordinates, or for a facing of
    the whole stock in those of the sheet: `Sheet.runs` says where they lie. path_length:
    cutting travel of one layer for one copy at the planned stepover, mm; corners: sharp turns in it; travel: the same
    piece by piece; plunges: entries per layer. How many layers there are depends on the machine's depth per pass.
    geometry: what settings need of all this, None until it is planned.
    """

    key: str
    number: int
    part: Part
    operation: Operation
    phase: Phase
    cutter: Cutter
    depth: float
    top: float
    stepover: float | None
    copies: int
    face: Face
    leave_walls: float = 0.0
    leave_floor: float = 0.0
    datum: Datum = AS_IT_CAME
    tabs: tuple[TabPlace, ...] = ()
    path_length: float = 0.0
    corners: int = 0
    plunges: int = 1
    travel: Travel | None = field(default=None, compare=False, repr=False)
    cut: MultiPolygon | None = field(default=None, compare=False, repr=False)
    swept: MultiPolygon | None = field(default=None, compare=False, repr=False)
    geometry: StepGeometry | None = field(default=None, compare=False, repr=False)

    @property
    def title(self) -> Text:
        """The author's title of the operation, with the pass where there are several."""
        title = self.operation.title
        if self.phase is Phase.CHECKING:
            return msg("Check hole, after step {number}", number=self.number)
        if self.operation.roughing is None:
            return title
        if self.phase is Phase.ROUGHING:
            return msg("{operation} (roughing)", operation=title)
        if self.phase is Phase.WALLS:
            return msg("{operation} (finishing the walls)", operation=title)
        if self.phase is Phase.FINISHING and walls_apart(self.operation):
            return msg("{operation} (finishing the floor)", operation=title)
        return msg("{operation} (finishing)", operation=title) if self.phase is Phase.FINISHING else title

    @property
    def final(self) -> bool:
        """True when no later pass of its operation follows."""
        rough = self.operation.roughing is not None and self.phase is Phase.ROUGHING
        return not rough and not (walls_apart(self.operation) and self.phase is Phase.FINISHING)

    @property
    def side_stock(self) -> float:
        """The stock on the walls that the step takes off, mm: what roughing left; 0 where it cuts no wall of that."""
        rough = self.operation.roughing
        if rough is None or self.phase is Phase.ROUGHING:
            return 0.0
        return 0.0 if walls_apart(self.operation) and self.phase is Phase.FINISHING else rough.leave_walls

    @property
    def wood(self) -> float:
        """How much wood there is under the datum, mm."""
        return self.datum.wood(self.part.stock.actual)

    @property
    def tip(self) -> float:
        """How far the tip goes below the face as the stock came, mm."""
        return self.datum.from_face(self.depth)

    @property
    def through(self) -> bool:
        """True when the step itself comes out underneath: not where wood is left for a skin or for the next pass."""
        return self.operation.through and self.depth >= self.wood - ROUNDING

    @property
    def into_spoilboard(self) -> float:
        """How far the tip goes below the wood, mm; 0 if it does not."""
        return max(0.0, self.depth - self.wood)

    def cuts(self, part: Part) -> bool:
        """Return whether the step cuts a part: its own one, and every part of a stock that is faced as a whole."""
        same_stock = self.operation.whole and self.part.stock.key == part.stock.key
        return same_stock or self.part.key == part.key


@record
class SettingsProblem:
    """Why a step has no sound window on a machine class, or what is risky about it."""

    code: str
    severity: Severity
    message: Message
    advice: Message

    def __str__(self) -> str:
        return f"{self.message} {self.advice}".strip()


@record
class StepSettings:
    """The settings of one step on one machine class.

    entry: how the cutter goes down; stick_out: cutter projection from the collet mm; chip: mean chip mm; force: peak
    side force N and lift N at the unfavourable end;
    most_force, most_lift: the same where depth, stepover and feed are at their high ends, 0 where nobody said;
    power W; deflection mm; cusp mm or None; seconds: (short, long) for all copies; detail: the whole calculation;
    direction: climb or conventional, and why, None where there is nothing to choose;
    in_mm, in_inches: how the depth is divided as it is printed, see `kitforge.model.passes`; None where nobody said.
    """

    speed: Window
    feed: Window
    plunge: Window
    depth_per_pass: Window
    stepover: Window | None
    passes: int
    entry: WayDown
    stick_out: float
    chip: float
    force: float
    lift: float
    power: float
    deflection: float
    cusp: float | None
    seconds: tuple[float, float]
    dial: str | None = None
    problems: tuple[SettingsProblem, ...] = ()
    in_mm: Passes | None = None
    in_inches: Passes | None = None
    most_force: float = 0.0
    most_lift: float = 0.0
    direction: CutDirection | None = None
    direction_reason: DirectionReason | None = None
    detail: CutSettings | None = field(default=None, compare=False, repr=False)

    @property
    def pull(self) -> tuple[float, float]:
        """What must be held: side force and lift N at the worst corner of the ranges."""
        return max(self.force, self.most_force), max(self.lift, self.most_lift)


@record
class BlockedStep:
    """A step that has no sound settings on a machine class: why, worst first, and the calculation so far."""

    problems: tuple[SettingsProblem, ...]
    detail: NoWindow | None = field(default=None, compare=False, repr=False)


@record
class HoldResult:
    """What holds the work against the cut of one step: capacity and demand N, with the calculation behind it.

    hold_down is None for what keeps `piece`, which a cut has separated from the stock: tabs, onion skin, or what of the
    hold-down acts on this very piece; instead: that hold-down, where it is not the one of first choice. The capacities
    have the safety factor taken off already; the demands are at the unfavourable end. trail: the calculation of the
    capacities line by line. breaks: sideways and upwards, N, what keeps a piece bears with no safety factor taken off;
    None for what holds the stock.
    """

    held_by: Message
    capacity: float
    demand: float
    lift_capacity: float
    lift_demand: float
    text: str
    step: str
    hold_down: HoldDown | None = None
    trail: Trail = field(default=Trail(), compare=False, repr=False)
    piece: WoodPiece | None = field(default=None, compare=False, repr=False)
    breaks: tuple[float, float] | None = None
    instead: HoldDown | None = None

    @property
    def near_limit(self) -> bool:
        """True when it holds, but by less than its safety factor."""
        if self.holds or self.breaks is None:
            return False
        return self.breaks[0] >= self.demand * _HAIR and self.breaks[1] >= self.lift_demand * _HAIR

    @property
    def holds(self) -> bool:
        """True when both the sideways and the upward demand are within the capacity."""
        return self.capacity >= self.demand * _HAIR and self.lift_capacity >= self.lift_demand * _HAIR


@record
class FastenerPlace:
    """A fastener or clamp on the sheet: position mm in the sheet's coordinates, keep-out radius, who placed it."""

    x: float
    y: float
    keep_out: float
    kind: str
    proposed: bool


@record
class PlannedSetup:
    """One face of one piece of stock: its steps in cutting order, fasteners.

    sheets: the piece, and further ones that are laid out alike and cut the same way one after the other. divisions:
    the pieces that the stock consists of after each step, both faces together. faced: what has been taken off its other
    face before, mm.
    """

    setup: Setup
    stock: Stock
    face: Face
    sheets: tuple[Sheet, ...]
    steps: tuple[str, ...]
    fasteners: tuple[FastenerPlace, ...] = ()
    divisions: tuple[Division, ...] = field(default=(), compare=False, repr=False)
    faced: float = 0.0

    @property
    def thickness(self) -> float:
        """How thick the piece is when it is laid on the machine, mm."""
        return self.stock.actual - self.faced

    @property
    def key(self) -> tuple[str, int, str]:
        """The stock's key, the number of the (first) piece, and the face."""
        return self.stock.key, self.sheets[0].number, self.face.value

    @property
    def places(self) -> tuple[FastenerPlace, ...]:
        """Where the hold-down of first choice stands; empty where it needs no places."""
        kinds = {hold.kind.value for hold in self.setup.hold_downs[:1]}
        return tuple(place for place in self.fasteners if place.kind in kinds)

    def same_piece(self, other: PlannedSetup) -> bool:
        """Return whether both are faces of the same piece of stock."""
        return self.key[:2] == other.key[:2]


@record
class GlueUp:
    """How a wide piece is put together. strips: how many, each so wide as sawn and as jointed, so long, so thick, mm;
    clamps: how many over its length."""

    strips: int
    sawn: float
    jointed: float
    length: float
    thickness: float
    clamps: int


@record
class Flattening:
    """The router makes a piece flat before anything is cut from it. step: one pass over a whole face, with a part that
    stands for the piece; faces: which are flattened so; passes: over all of them; bought: the kit has no such cutter.
    """

    step: Step
    faces: tuple[Face, ...]
    passes: int
    bought: bool


@record
class Prepared:
    """How one stock is made ready: pieces of it, the thickness it is counted with, mm, and what boards of that are
    called ('4/4', empty for panels), glueing and flattening where it takes them.
    """

    stock: Stock
    pieces: int
    sold: float
    quarters: str
    glue: GlueUp | None
    flattening: Flattening | None


@record
class TurningHole:
    """A hole through the waste that shows after turning whether the piece lies right, drilled at the end of `face`.

    step: the hole itself, with the stock in place of a part and the number of the step after which it is drilled;
    sheets: the pieces that get one; first, second: where from X0 Y0 on either face, mm.
    """

    step: Step
    face: Face
    sheets: tuple[Sheet, ...]
    first: tuple[float, float]
    second: tuple[float, float]


@record
class MachinePlan:
    """The kit on one machine class. misfits: what is too large for it.

    settings: by step key, the steps that have sound settings; blocked: those that have none; holding: by the key of
    the setup. flattening: settings of one pass by stock key, where the router flattens a stock; flattening_seconds: of
    all passes, set-ups and changes. turning: settings of the holes for turning, by the key of their step, where it has
    sound ones.
    """

    machine: MachineClass
    misfits: tuple[Message, ...]
    settings: Mapping[str, StepSettings]
    blocked: Mapping[str, BlockedStep] = field(default_factory=dict)
    holding: Mapping[tuple[str, int, str], tuple[HoldResult, ...]] = field(default_factory=dict)
    cutter_changes: int = 0
    cutting_seconds: tuple[float, float] = (0.0, 0.0)
    handling_seconds: tuple[float, float] = (0.0, 0.0)
    flattening: Mapping[str, StepSettings | BlockedStep] = field(default_factory=dict)
    flattening_seconds: tuple[float, float] = (0.0, 0.0)
    turning: Mapping[str, StepSettings] = field(default_factory=dict)

    @property
    def machine_seconds(self) -> tuple[float, float]:
        """All time at the machine, (short, long) s: cutting, set-ups and changes of cutter, flattening."""
        holes = [settings.seconds for settings in self.turning.values()]
        spans = (self.cutting_seconds, self.handling_seconds, self.flattening_seconds, *holes)
        return sum(low for low, _high in spans), sum(high for _low, high in spans)

    @property
    def fits(self) -> bool:
        """True when every piece of stock, every depth and every shank fits the machine."""
        return not self.misfits

    @property
    def sound(self) -> bool:
        """True when the kit fits and every step has settings without an error."""
        return self.fits and not self.blocked and not any(_hard(found) for found in self.settings.values())


@record
class Rung:
    """A kit as it is drawn and planned for another actual thickness of one of its stocks, mm."""

    stock: str
    thickness: float
    kit: Kit
    plan: Plan


@record
class Coupon:
    """A fit coupon: the slots, the play of its joint, mm, and a kit of the one piece, planned and checked as any other.

    places: where its slots are open, those along x and then those along y, each from the tightest, in the coordinates
    of the part. routed: whether a tenon with routed sides goes into the joint.
    """

    wish: CouponWish
    slots: tuple[CouponSlot, ...]
    places: tuple[tuple[float, float], ...]
    play: float
    routed: bool
    kit: Kit
    plan: Plan


@record
class Plan:
    """Steps in cutting order and what they mean on each machine class; prepared: how each stock is made ready.

    freed: by step key, the keys of the parts that it cuts loose, as the pieces of the stock show it. turning: the holes
    that show whether a turned piece lies right. rungs: the same kit in other actual thicknesses, thinnest first.
    coupons, strips: trial pieces, which are no part of the finished one.
    """

    steps: tuple[Step, ...]
    setups: tuple[PlannedSetup, ...]
    sheets: tuple[Sheet, ...]
    machines: tuple[MachinePlan, ...]
    prepared: tuple[Prepared, ...] = ()
    freed: Mapping[str, frozenset[str]] = field(default_factory=dict)
    turning: tuple[TurningHole, ...] = ()
    rungs: tuple[Rung, ...] = ()
    coupons: tuple[Coupon, ...] = ()
    strips: tuple[ProofStrip, ...] = ()

    @property
    def steps_and_holes(self) -> tuple[Step, ...]:
        """All steps with the holes for turning where they are drilled."""
        holes = [hole.step for hole in self.turning]
        return tuple(sorted((*self.steps, *holes), key=lambda step: (step.number, step.phase is Phase.CHECKING)))

    def frees(self, step: Step) -> bool:
        """Return whether a step cuts a part loose."""
        return step.key in self.freed

    def step(self, key: str) -> Step:
        """Return the step with this key. Raises KeyError if there is none."""
        for step in self.steps:
            if step.key == key:
                return step
        raise KeyError(key)

    @property
    def cutters(self) -> tuple[Cutter, ...]:
        """Every cutter that is needed, in the order in which it is met: those of the steps, then for flattening."""
        flattening = [one.flattening.step for one in self.prepared if one.flattening is not None]
        return tuple({step.cutter.key: step.cutter for step in (*self.steps, *flattening)}.values())

    def home_of(self, step: Step) -> PlannedSetup | None:
        """Return the setup in which a step is cut first, None where no piece of stock holds its part."""
        return next((setup for setup in self.setups if step.key in setup.steps), None)

    def pieces_of(self, step: Step) -> tuple[Sheet, ...]:
        """Return the pieces of stock that a step is cut on, in order."""
        return tuple(sheet for setup in self.setups if step.key in setup.steps for sheet in setup.sheets)

    def steps_of(self, part: str) -> tuple[Step, ...]:
        """Return the steps that cut one part, in order."""
        stocks = {sheet.stock.key for sheet in self.sheets if sheet.copies(part)}
        stocks |= {step.part.stock.key for step in self.steps if step.part.key == part}
        return tuple(
            step
            for step in self.steps
            if step.part.key == part or (step.operation.whole and step.part.stock.key in stocks)
        )

    def smallest_machine(self) -> MachinePlan | None:
        """Return the weakest class on which the kit fits and every step has a sound window, or None."""
        sound = (machine for machine in self.machines if machine.sound)
        return min(sound, key=lambda machine: machine.machine.rank, default=None)


def _hard(settings: StepSettings) -> bool:
    return any(problem.severity is Severity.ERROR for problem in settings.problems)
