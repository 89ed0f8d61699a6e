"""The kit as resolved: names looked up, expressions evaluated, lengths in mm; each record knows where it was written.

Coordinates are those of the part's own drawing: x right, y away, z up, 0 on the face cut; depths count down (ISO 841).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import field, replace
from enum import StrEnum

from kitforge.model.coupon import CouponWish, ProofWish
from kitforge.model.datum import AS_IT_CAME, Datum
from kitforge.model.facts import FinishingStep, Tried, WrittenText
from kitforge.model.facts import Hardware as Hardware  # noqa: PLC0414 - a name of this module as well
from kitforge.model.family import Family, Ladder, PieceOf
from kitforge.model.findings import Finding, Source
from kitforge.model.info import KitInfo
from kitforge.model.layout import LaidSheet
from kitforge.model.left_standing import OnionSkin as OnionSkin  # noqa: PLC0414 - a name of this module as well
from kitforge.model.left_standing import Tabs as Tabs  # noqa: PLC0414 - a name of this module as well
from kitforge.model.lines import Line, Use
from kitforge.model.messages import Text
from kitforge.model.needs import Need
from kitforge.model.path import Path
from kitforge.model.pictures import PictureWishes
from kitforge.model.record import record
from kitforge.model.settings import AddedRows
from kitforge.model.settings import CutterKind as CutterKind  # noqa: PLC0414 - a name of this module as well
from kitforge.model.workshop import Finish, HoldDown, MachineClass, Material

Spot = tuple[float, float]


@record
class Cutter:
    """A cutter, with the meanings of ISO 13399 in brackets. Lengths mm, angles degrees, speed min-1.

    diameter (DC), cutting_length (APMX), shank (DMM), overall_length (OAL), flutes (NOF), corner_radius (RE),
    angle: included angle of a V-bit or point angle of a drill (SIG), tip: flat at the tip of a V-bit,
    max_speed (RPMX) as marked on the cutter, centre_cutting (CCC). name: a Message unless the author's.
    """

    key: str
    name: Text
    kind: CutterKind
    diameter: float
    cutting_length: float
    shank: float
    overall_length: float
    flutes: int
    source: Source
    angle: float | None = None
    corner_radius: float = 0.0
    tip: float = 0.0
    centre_cutting: bool = True
    substrate: str = "solid carbide"
    max_speed: float | None = None
    note: str | None = None

    @property
    def radius(self) -> float:
        """Half the cutting diameter, mm."""
        return self.diameter / 2


class Grain(StrEnum):
    """Which way the grain of a piece of stock (or the face grain of plywood) runs."""

    LENGTH = "length"
    WIDTH = "width"
    NONE = "none"


@record
class Stock:
    """A piece of stock. length runs along x, width along y; `actual` thickness is the one that is cut.

    boards: widest board to glue it up from, planer: widest piece that the planer takes, mm; None: what is usual.
    ladder: other actual thicknesses that there are drawings for.
    """

    key: str
    title: Text
    material: Material
    nominal: float
    actual: float
    width: float
    length: float
    grain: Grain
    source: Source
    count: int | None = None
    margin: float = 10.0
    prepare: tuple[Line, ...] = ()
    boards: float | None = None
    planer: float | None = None
    ladder: Ladder | None = None


class OperationKind(StrEnum):
    """What an operation does to the wood."""

    FACE = "face"
    POCKET = "pocket"
    DISH = "dish"
    GROOVE = "groove"
    DRILL = "drill"
    PROFILE = "profile"
    CHAMFER = "chamfer"
    ENGRAVE = "engrave"


AREA_WORK = (OperationKind.POCKET, OperationKind.DISH, OperationKind.FACE, OperationKind.ENGRAVE)
"""What clears areas."""


class Side(StrEnum):
    """Where the cutter runs beside the line of a profile."""

    OUTSIDE = "outside"
    INSIDE = "inside"
    ON = "on"


class Face(StrEnum):
    """Which face of the stock is up while an operation is cut."""

    TOP = "top"
    BOTTOM = "bottom"


@record
class PassOptions:
    """What the author asks of one pass of an operation; None where the plan may choose.

    stepover: mm; leave_walls, leave_floor: stock left for the next pass, mm.
    """

    cutter: Cutter
    stepover: float | None = None
    depth_per_pass: float | None = None
    leave_walls: float = 0.0
    leave_floor: float = 0.0
    cusp: float | None = None


@record
class Override:
    """Settings the author insists on, for all machine classes or for those named. Each with its place."""

    machines: tuple[str, ...]
    source: Source
    speed: float | None = None
    feed: float | None = None
    plunge: float | None = None
    depth_per_pass: float | None = None
    stepover: float | None = None


@record
class Operation:
    """One operation on a part. shapes: closed or open paths; points: drill centres. depth is mm below `datum`.

    A through cut has the depth of the wood under its datum and goes `allowance` mm deeper into the spoilboard, unless a
    skin is to stay; an engraving has the depth of its deepest point, and `greatest` is what the author allows it, None
    for as deep as its strokes are wide. shapes are what is cut, with the corner relief in them; where there is one,
    `unrelieved` holds the same shapes without it. What is printed as a size is measured on `nominal`.
    """

    name: str
    title: str
    does: OperationKind
    part: str
    shapes: tuple[Path, ...]
    points: tuple[tuple[float, float], ...]
    depth: float
    through: bool
    allowance: float
    face: Face
    side: Side
    roughing: PassOptions | None
    finishing: PassOptions
    source: Source
    hold: Tabs | OnionSkin | None = None
    frees: bool = False
    overrides: tuple[Override, ...] = ()
    note: str | None = None
    relief: str | None = None
    width: float | None = None
    greatest: float | None = None
    datum: Datum = AS_IT_CAME
    unrelieved: tuple[Path, ...] = ()

    @property
    def whole(self) -> bool:
        """True for a facing of the whole stock, whatever parts lie in it."""
        return self.does is OperationKind.FACE and not self.shapes

    @property
    def needs_area(self) -> bool:
        """Whether it clears an area or runs beside a line, and so needs closed shapes."""
        return self.does in AREA_WORK or (self.does is OperationKind.PROFILE and self.side is not Side.ON)

    @property
    def skin(self) -> float:
        """How thick a layer stays under a through cut, to be cut by hand, mm; 0 for none."""
        return self.hold.thickness if self.through and isinstance(self.hold, OnionSkin) else 0.0

    @property
    def cutter(self) -> Cutter:
        """The cutter of the last pass, which makes the final shape."""
        return self.finishing.cutter

    @property
    def nominal(self) -> tuple[Path, ...]:
        """The shapes as drawn, without corner relief."""
        return self.unrelieved or self.shapes

    def moved(self, path: Callable[[Path], Path], point: Callable[[Spot], Spot]) -> Operation:
        """Return the same operation elsewhere: every path and every point of it put through a function."""
        return replace(
            self,
            shapes=tuple(map(path, self.shapes)),
            unrelieved=tuple(map(path, self.unrelieved)),
            points=tuple(map(point, self.points)),
        )


@record
class Part:
    """A part: outline and operations in its own coordinates, how many, of which stock, and where on it.

    faced: how much facing takes off its top face and its bottom face, mm. piece_of: set where it is one of several
    pieces that were written once. rung_outlines: how it is at other thicknesses of a ladder; the layout has room for
    all of them.
    """

    key: str
    title: str
    stock: Stock
    count: int
    outline: Path
    operations: tuple[Operation, ...]
    source: Source
    outline_source: Source
    places: tuple[tuple[float, float], ...] = ()
    note: str | None = None
    faced: tuple[float, float] = (0.0, 0.0)
    piece_of: PieceOf | None = None
    rung_outlines: tuple[Path, ...] = ()

    @property
    def thickness(self) -> float:
        """How thick the finished part is, mm: the stock less what facing takes off both faces."""
        return self.stock.actual - sum(self.faced)

    def taken_off(self, face: Face) -> float:
        """Return how much facing takes off one of its faces, mm."""
        return self.faced[face is Face.BOTTOM]

    def finished_depth(self, operation: Operation) -> float:
        """Return how deep a cut is in the finished part, from the face as it is then, mm."""
        if operation.through:
            return self.thickness
        return operation.datum.from_face(operation.depth) - self.taken_off(operation.face)

    def operation(self, name: str) -> Operation:
        """Return the operation of this name. Raises KeyError if there is none."""
        for operation in self.operations:
            if operation.name == name:
                return operation
        raise KeyError(name)


@record
class Setup:
    """How one stock piece lies on the table for one face: hold-downs to choose from, best first, and fasteners.

    spoilboard: how thick the board under it is, mm.
    """

    stock: str
    face: Face
    hold_downs: tuple[HoldDown, ...]
    fasteners: tuple[tuple[float, float], ...]
    clamps: tuple[tuple[float, float], ...]
    source: Source
    note: str | None = None
    spoilboard: float = 18.0


@record
class AssemblyStep:
    """One step of putting the kit together, with the parts it needs.

    dry: only a trial, they come apart again; face: which face of theirs is up.
    """

    text: str
    parts: tuple[str, ...] = ()
    caution: str | None = None
    dry: bool = False
    face: Face = Face.TOP
    uses: tuple[Use, ...] = ()


@record
class AssemblyPose:
    """Where one copy of a part stands in the finished piece: x to the right, y away from the reader, z up, mm.

    at: where the origin of its drawing lies; along_x, along_y: which way its x and y run, unit vectors at right angles;
    pull: which way it is pulled off in pictures, a unit vector, and how far where the author says so, mm; step: the
    assembly step that puts it in, from 0, None where no step does.
    """

    part: str
    at: tuple[float, float, float]
    along_x: tuple[float, float, float]
    along_y: tuple[float, float, float]
    source: Source
    pull: tuple[float, float, float] | None = None
    pull_by: float | None = None
    step: int | None = None


@record
class Finishing:
    """Sanding grits in order, the finish, and the author's own steps in the order written."""

    sanding: tuple[int, ...]
    finish: Finish | None
    surfaces: str | None
    steps: tuple[FinishingStep, ...]


@record
class Kit:
    """The whole kit, ready to be planned. files: every file of the kit that was read, by its relative name.

    machines_named: True when the author listed the machine classes, False when they are all of them. problems: what
    reading and resolving found that does not stop the plan. needs: what must be so for the kit to work. together:
    where every copy stands in the finished piece; empty where the author does not say. tried: the maker's own trials.
    pictures: how they show the piece. cutting_rows: what plugins add to the physics. plugin_keys: what the kit tells
    each plugin, by its name. layout: where parts lie as its layout.lock has it. family: the sizes, and which of them it
    is. texts: which there are in which languages. trials: pieces to cut first.
    """

    info: KitInfo
    stock: Mapping[str, Stock]
    cutters: Mapping[str, Cutter]
    parts: tuple[Part, ...]
    machines: tuple[MachineClass, ...]
    setups: tuple[Setup, ...]
    finishing: Finishing
    hardware: tuple[Hardware, ...]
    assembly: tuple[AssemblyStep, ...]
    notes: tuple[str, ...]
    order_as_written: bool
    source: Source
    files: Mapping[str, bytes] = field(default_factory=dict, repr=False)
    machines_named: bool = False
    problems: tuple[Finding, ...] = ()
    needs: tuple[Need, ...] = ()
    together: tuple[AssemblyPose, ...] = ()
    pictures: PictureWishes = PictureWishes()
    cutting_rows: tuple[AddedRows, ...] = ()
    tried: tuple[Tried, ...] = ()
    plugin_keys: Mapping[str, object] = field(default_factory=dict)
    layout: tuple[LaidSheet, ...] = ()
    family: Family = Family()
    texts: tuple[WrittenText, ...] = ()
    trials: tuple[CouponWish | ProofWish, ...] = ()

    def part(self, key: str) -> Part:
        """Return the part with this key. Raises KeyError if there is none."""
        for part in self.parts:
            if part.key == key:
                return part
        raise KeyError(key)

    def setup(self, stock: str, face: Face) -> Setup:
        """Return the setup for one face of a stock piece. Raises KeyError if there is none."""
        for setup in self.setups:
            if (setup.stock, setup.face) == (stock, face):
                return setup
        raise KeyError(f"{stock}/{face}")
