"""The plan: steps in cutting order, and for each machine class the settings, passes, path length and time.

Lengths mm, force N, power W, speed min-1, feed mm/min, time s.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import field

from kitforge.model.coupon import CouponSlot, CouponWish, ProofStrip
from kitforge.model.findings import Severity
from kitforge.model.holds import FastenerPlace, HoldResult
from kitforge.model.kit import Cutter, Face, Kit, Setup, Stock
from kitforge.model.layout import Placement as Placement  # noqa: PLC0414 - a name of this module as well
from kitforge.model.messages import Message
from kitforge.model.pieces import Division
from kitforge.model.record import record
from kitforge.model.steps import BlockedStep, Phase, Step, StepSettings
from kitforge.model.workshop import MachineClass


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
    """A hole through the waste that shows after turning whether the piece lies right, drilled from `face`.

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


def served(machines: Iterable[MachinePlan]) -> tuple[MachinePlan, ...]:
    """Return the classes that a pack is for: those that can cut all of the kit, with sound settings for every step.

    Every document names these and no others as fit. Where none can, they are those that the kit fits but for some step;
    none, where it fits none.
    """
    fitting = tuple(machine for machine in machines if machine.fits)
    return tuple(machine for machine in fitting if machine.sound) or fitting


def _hard(settings: StepSettings) -> bool:
    return any(problem.severity is Severity.ERROR for problem in settings.problems)
