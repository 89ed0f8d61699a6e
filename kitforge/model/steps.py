"""Steps of a plan and their settings on a machine class. Lengths mm, force N, speed min-1, feed mm/min, time s."""

from __future__ import annotations

from dataclasses import field
from enum import StrEnum
from typing import TYPE_CHECKING

from kitforge.model.datum import AS_IT_CAME, ROUNDING, Datum
from kitforge.model.findings import Severity
from kitforge.model.hollows import walls_apart
from kitforge.model.kit import Cutter, Face, Operation, Part
from kitforge.model.messages import Message, Text, msg
from kitforge.model.passes import Passes
from kitforge.model.record import record
from kitforge.model.settings import CutDirection, CutSettings, DirectionReason, NoWindow, WayDown, Window

if TYPE_CHECKING:
    from shapely import MultiPolygon

    from kitforge.model.step_geometry import StepGeometry
    from kitforge.model.travel import Travel


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
    def kerf(self) -> float:
        """How far a tab reaches over the cut when the step is done: over what roughing has cut beside it too, mm."""
        rough = self.operation.roughing
        if rough is None or self.phase is Phase.ROUGHING:
            return self.cutter.diameter
        return max(self.cutter.diameter, rough.leave_walls + rough.cutter.diameter)

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
