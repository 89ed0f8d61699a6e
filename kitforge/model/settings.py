"""What the physics of the cut takes and gives. Lengths mm, angles degrees, N, W, speed min-1, feed mm/min."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import field
from enum import StrEnum

from kitforge.model.messages import Message
from kitforge.model.record import record
from kitforge.model.units import plain_number

COMMON = "common practice"
DERIVED = "derived"


class CutterKind(StrEnum):
    """Kinds of cutters, in words of the trade."""

    STRAIGHT = "straight"
    UP_CUT = "up-cut"
    DOWN_CUT = "down-cut"
    COMPRESSION = "compression"
    BALL_NOSE = "ball nose"
    BOWL = "bowl"
    V_BIT = "v-bit"
    SURFACING = "surfacing"
    DRILL = "drill"


class Substrate(StrEnum):
    """What the body of a cutter is made of."""

    CARBIDE = "solid carbide"
    TIPPED = "carbide tipped"
    HSS = "hss"


class Work(StrEnum):
    """What a cut does to the wood."""

    FACE = "face"
    SURFACING = "surfacing"
    POCKET = "pocket"
    DISH = "dish"
    GROOVE = "groove"
    DRILL = "drill"
    PROFILE = "profile"
    CHAMFER = "chamfer"


@record
class CutterGeometry:
    """A cutter by the meanings of ISO 13399: DC, APMX, DMM, OAL, NOF, SIG, RE, CCC, RPMX, FHA.

    angle: included angle of a V-bit, point angle of a drill. tip: flat at the tip of a V-bit. helix: None takes the
    usual one of the shape, positive lifts the chips. stick_out: what shows under the collet, None: as little as goes.
    """

    shape: CutterKind
    diameter: float
    cutting_length: float
    shank: float
    overall_length: float
    flutes: int
    angle: float | None = None
    corner_radius: float = 0.0
    tip: float = 0.0
    centre_cutting: bool = True
    substrate: Substrate = Substrate.CARBIDE
    max_speed: float | None = None
    helix: float | None = None
    stick_out: float | None = None


@record
class Given:
    """A number that goes into a formula, with where it comes from. line: the line of the trail that gave it, from 1."""

    name: str
    symbol: str
    value: float
    unit: str
    source: str
    line: int = 0

    def __str__(self) -> str:
        unit = f" {self.unit}" if self.unit else ""
        return f"{self.symbol} = {figure(self.value)}{unit} ({self.name}; {self.source})"


@record
class CalculationLine:
    """One line of a calculation as a person would write it: what, symbol, formula, numbers, result, source."""

    what: str
    symbol: str
    formula: str
    inputs: tuple[Given, ...]
    result: float
    unit: str
    source: str

    @property
    def worked(self) -> str:
        """The numbers that go into the formula, e.g. 'z = 2, n = 18000 min-1'."""
        return ", ".join(f"{given.symbol} = {figure(given.value)} {given.unit}".rstrip() for given in self.inputs)


@record
class Retention:
    """What keeps a piece that is being cut loose: its name, what it bears sideways and upwards N, and the calculation.

    lifts: None where nothing is known of the pull upwards.
    """

    name: str
    bears: float
    lines: tuple[CalculationLine, ...] = ()
    lifts: float | None = None


@record
class Cut:
    """One pass kind of one operation.

    depth: height of wood this pass kind takes away, from its present top down. reach: how far the tip goes below the
    face of the stock (None: depth). finishing: the pass makes the final surface. side_stock: wood a roughing pass left
    on the walls, of which alone the pass takes its depth; 0 where the cut is from the solid or meets no wall.
    width: narrowest width of a pocket or slot, None: wide.
    length: travel of one layer, for ramps. stepover, cusp: what the author wishes, mm. slope: steepest slope of a dish
    floor across the stepover. open_entry: the cutter can come in from outside the wood, or from where it is cleared.
    inside_corners: the walls may have inside corners, where the cutter is engaged further round.
    keeping: what keeps the piece that the cut frees; None: no limit.
    """

    work: Work
    depth: float
    finishing: bool = False
    reach: float | None = None
    side_stock: float = 0.0
    width: float | None = None
    length: float | None = None
    stepover: float | None = None
    cusp: float | None = None
    slope: float = 0.0
    open_entry: bool = False
    inside_corners: bool = True
    keeping: Retention | None = None


@record
class AddedRows:
    """Rows that a plugin adds to the worksheet: its name, the distribution it came from, and their text."""

    plugin: str
    distribution: str
    text: str


@record
class RequestedSettings:
    """Settings an author insists on; None leaves them to the computation."""

    speed: float | None = None
    feed: float | None = None
    plunge: float | None = None
    depth_per_pass: float | None = None
    stepover: float | None = None


@record
class Limit:
    """What bounds a setting: value, a word for print, formula and source. hard: never to be passed.

    case: the number of the formula in the worksheet, by which the trail finds its line.
    """

    value: float
    reason: str
    formula: str
    source: str = COMMON
    hard: bool = False
    case: int = 0


def _no_limits() -> tuple[tuple[Limit, ...], tuple[Limit, ...]]:
    return (), ()


@record
class Window:
    """A setting as low - start - high, in the physics, the plan and the print alike; both ends with what rules them.

    quantity: its name in the worksheet, '' for one that no worksheet gave. author: the start value is the author's own
    and may lie outside. limits: gives all lower and all upper limits, of which low_limit and high_limit are the
    tightest; made when they are asked for.
    """

    quantity: str
    low: float
    start: float
    high: float
    unit: str
    low_limit: Limit
    high_limit: Limit
    start_reason: str
    author: bool = False
    limits: Callable[[], tuple[tuple[Limit, ...], tuple[Limit, ...]]] = field(
        default=_no_limits, compare=False, repr=False
    )

    @property
    def lows(self) -> tuple[Limit, ...]:
        """All lower limits."""
        return self.limits()[0]

    @property
    def highs(self) -> tuple[Limit, ...]:
        """All upper limits."""
        return self.limits()[1]


@record
class Trail:
    """The calculation, line by line in the order in which it is done; limits: (case, its line, 0 for none)."""

    lines: tuple[CalculationLine, ...] = ()
    limits: tuple[tuple[int, int], ...] = ()


class TroubleCode(StrEnum):
    """Why there is no window, or what is risky; stable words."""

    NO_WINDOW = "no window"
    SHANK = "shank does not fit"
    REACH = "cutter too short"
    TOO_WIDE = "cutter too wide"
    ENTRY = "no way down"
    BURN = "burn risk"
    CHATTER = "chatter risk"
    BEYOND_TABLE = "beyond the tables"
    FRAGILE = "cutter may break"
    OUTSIDE = "outside the window"
    PAST_LIMIT = "past a limit"
    SHORT_GRIP = "short grip"


@record
class Problem:
    """What is wrong or risky: message with figures, and what helps. low and high: the limits that collide, if any."""

    trouble: TroubleCode
    message: Message
    remedies: tuple[Message, ...]
    blocking: bool = False
    low: Limit | None = None
    high: Limit | None = None


@record
class Chip:
    """The chip at the start values: feed per tooth, mean and thickest chip mm, effective diameter mm, rim speed m/s."""

    feed_per_tooth: float
    mean: float
    maximum: float
    engaged_share: float
    thinning: float
    effective_diameter: float
    rim_speed: float


@record
class Loads:
    """Loads at the start values, all at the unfavourable end of the force model. removal mm3/min.

    most_side_force, most_lift: at the high ends of depth, stepover and feed together, which may be set as well.
    """

    specific_force: float
    tooth_force: float
    side_force: float
    lift: float
    power: float
    deflection: float
    bending_stress: float
    removal: float
    most_side_force: float
    most_lift: float


class Manner(StrEnum):
    """How a cutter goes down."""

    STRAIGHT = "straight plunge"
    RAMP = "ramp"
    HELIX = "helix"
    PECK = "peck"
    OUTSIDE = "from outside"


class CutDirection(StrEnum):
    """Which way the cutter runs along a wall, its spindle turning clockwise seen from above.

    Climb: the part lies on the right of the travel, and the edge enters at the full chip; conventional: on the left.
    """

    CLIMB = "climb"
    CONVENTIONAL = "conventional"
    EITHER = "either way"


class DirectionReason(StrEnum):
    """Why a direction of cut is taken, as the worksheet says it."""

    CLEAN = "a light climb pass tears the grain less"
    GIVES = "a climb cut would pull the frame along"
    CONTROL = "a conventional cut is easier to control"
    BOTH_SIDES = "wood stands on both sides"


@record
class WayDown:
    """How the cutter goes down: angle degrees, length of travel mm, helix path diameter mm, peck depth mm."""

    manner: Manner
    feed: float
    angle: float | None = None
    travel: float | None = None
    path_diameter: float | None = None
    peck: float | None = None

    def __str__(self) -> str:
        if self.angle is not None:
            return f"{self.manner} {plain_number(self.angle, 1)} deg"
        return f"{self.manner} {plain_number(self.peck, 2)} mm" if self.peck else str(self.manner)


@record
class CutSettings:
    """The settings of one cut on one machine class, each with what bounds it. stick_out mm; dial: its position.

    direction: of profiles, pockets, dishes and faces; None where there is no wall or lane to choose it by.
    """

    speed: Window
    feed: Window
    plunge: Window
    depth_per_pass: Window
    stepover: Window | None
    passes: int
    entry: WayDown
    stick_out: float
    chip: Chip
    loads: Loads
    cusp: float | None
    dial: str | None = None
    notes: tuple[Problem, ...] = ()
    direction: CutDirection | None = None
    direction_reason: DirectionReason | None = None
    working: Callable[[], Trail] = field(default=Trail, compare=False, repr=False)

    @property
    def trail(self) -> Trail:
        """The calculation, made when it is asked for."""
        return self.working()

    @property
    def windows(self) -> tuple[Window, ...]:
        """All windows there are."""
        found = (self.speed, self.feed, self.plunge, self.depth_per_pass)
        return (*found, self.stepover) if self.stepover else found


@record
class NoWindow:
    """There are no sound settings: every problem, the first being the one that blocks, and how it came about."""

    problems: tuple[Problem, ...]
    working: Callable[[], Trail] = field(default=Trail, compare=False, repr=False)

    @property
    def trail(self) -> Trail:
        """The calculation so far, made when it is asked for."""
        return self.working()


def figure(value: float) -> str:
    """Return a number with four significant figures and without trailing zeros, large ones whole."""
    size = abs(value)
    if size >= 1000:
        return f"{value:.0f}"
    return f"{value:.4g}" if size >= 0.001 or size == 0 else f"{value:.3g}"
