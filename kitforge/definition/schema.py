"""The schema of kit.yaml, version 1. The JSON Schema that editors use is made from these classes."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Discriminator, Field, Tag, model_validator

from kitforge.definition.needs import NeedEntry
from kitforge.definition.shapes import Entry, Shape
from kitforge.definition.together import MOST_STANDING, StandingEntry
from kitforge.definition.values import (
    Collet,
    Date,
    Depth,
    Feed,
    Key,
    Length,
    Number,
    ParameterName,
    Point,
    Share,
    Slug,
    Text,
    Texts,
    Title,
    Version,
    list_or_value,
    mapping_or_value,
)
from kitforge.definition.work import AnyFinishingStep, AnyLine, Uses

SCHEMA_VERSION = 1


Range = Annotated[list[Number], Field(min_length=2, max_length=2, description="[lowest, highest]")]
LengthRange = Annotated[list[Length], Field(min_length=2, max_length=2, description="[lowest, highest]")]


class ChangeEntry(Entry):
    """What changed in one version, for the booklet's last page."""

    version: Version
    date: Date | None = None
    text: Texts


class KitEntry(Entry):
    """Who made the kit and what it is."""

    title: Title
    slug: Slug = Field(description="The kit's short name, for file names.")
    version: Version
    author: Title
    licence: Title = Field(description="SPDX licence expression, e.g. CC-BY-NC-4.0 or LicenseRef-MyShop-Personal.")
    summary: Text
    skill: Literal["beginner", "some practice", "experienced"] = "beginner"
    licence_file: Text | None = None
    released: Date | None = Field(default=None, description="Release date, YYYY-MM-DD.")
    contact: Text | None = None
    changes: list[ChangeEntry] = []


class Thickness(Entry):
    """What the shop calls it and what the calliper says."""

    nominal: Length
    actual: Length


class StockEntry(Entry):
    """A piece of stock. `length` runs along x, `width` along y."""

    material: Text
    thickness: Annotated[
        Annotated[Length, Tag("~value")] | Annotated[Thickness, Tag("~mapping")],
        Discriminator(mapping_or_value),
    ]
    width: Length
    length: Length
    grain: Literal["length", "width", "none"] = "length"
    title: Title | None = None
    count: Annotated[int, Field(ge=1, le=1000)] | None = None
    margin: Length = "10 mm"
    boards: Length | None = Field(default=None, description="Widest board to glue this piece up from, as bought.")
    planer: Length | None = Field(default=None, description="Widest piece that the planer takes.")
    prepare: list[AnyLine] = []


class CutterEntry(Entry):
    """A cutter. Key meanings follow ISO 13399: DC, APMX, DMM, OAL, NOF, RE, SIG, CCC, RPMX."""

    kind: Literal["straight", "up-cut", "down-cut", "compression", "ball nose", "bowl", "v-bit", "surfacing", "drill"]
    diameter: Length
    cutting_length: Length
    shank: Length
    overall_length: Length
    flutes: Annotated[int, Field(ge=1, le=8)] = 2
    angle: Number | None = Field(default=None, description="Included angle of a V-bit or point angle of a drill.")
    corner_radius: Length | None = None
    tip: Length = Field(default=0, description="Flat at the tip of a V-bit.")
    centre_cutting: bool | None = None
    substrate: Literal["solid carbide", "carbide tipped", "hss"] = "solid carbide"
    max_speed: Number | None = Field(default=None, description="Highest speed marked on the cutter, min-1.")
    name: Title | None = None
    note: Text | None = None


class PassEntry(Entry):
    """What one pass of an operation should be like. Everything left out is computed."""

    cutter: Key | None = None
    stepover: Share | None = None
    depth_per_pass: Length | None = None
    leave_walls: Length | None = None
    leave_floor: Length | None = None
    cusp: Length | None = None


class TabsEntry(Entry):
    """Holding tabs. Count and places are computed unless given."""

    count: Annotated[int, Field(ge=1, le=100)] | None = None
    width: Length = "8 mm"
    height: Length = "2 mm"
    at: list[Point] = []


class HoldEntry(Entry):
    """What keeps the part when it is cut free: tabs or an onion skin."""

    tabs: TabsEntry | None = None
    onion_skin: Length | None = None

    @model_validator(mode="after")
    def _one(self) -> HoldEntry:
        if (self.tabs is None) == (self.onion_skin is None):
            raise ValueError("give either tabs or onion_skin")
        return self


class OverrideEntry(Entry):
    """Settings the author insists on; for the machine classes named, or for all."""

    machines: list[Key] = []
    speed: Number | None = None
    feed: Feed | None = None
    plunge: Feed | None = None
    depth_per_pass: Length | None = None
    stepover: Share | None = None


class OperationEntry(Entry):
    """What every operation shares."""

    name: Key
    cutter: Key
    title: Title | None = None
    face: Literal["top", "bottom"] = "top"
    roughing: PassEntry | None = None
    finishing: PassEntry | None = None
    settings: (
        Annotated[
            Annotated[list[OverrideEntry], Tag("~list")] | Annotated[OverrideEntry, Tag("~mapping")],
            Discriminator(lambda value: "~list" if isinstance(value, list) else "~mapping"),
        ]
        | None
    ) = None
    note: Text | None = None


class FaceEntry(OperationEntry):
    """Surfacing: takes `depth` off the whole face of the stock, or off the shapes if given."""

    do: Literal["face"]
    depth: Length
    shapes: list[Shape] = []


class PocketEntry(OperationEntry):
    """A pocket with a flat floor; shapes inside shapes stay standing as islands."""

    do: Literal["pocket"]
    shapes: Annotated[list[Shape], Field(min_length=1)]
    depth: Depth
    through_allowance: Length = "0.5 mm"
    corner_relief: Literal["dog-bone", "t-bone"] | None = None
    hold: HoldEntry | None = None


class DishEntry(OperationEntry):
    """A dish with rounded floor edges, cut with a ball-nose or bowl cutter. Points with a ball nose make dimples."""

    do: Literal["dish"]
    shapes: Annotated[list[Shape], Field(min_length=1)]
    depth: Length


class GrooveEntry(OperationEntry):
    """A groove along lines, to a `depth`, or with a V-bit to a `width` at the face."""

    do: Literal["groove"]
    shapes: Annotated[list[Shape], Field(min_length=1)]
    depth: Length | None = None
    width: Length | None = None

    @model_validator(mode="after")
    def _depth_or_width(self) -> GrooveEntry:
        if (self.depth is None) == (self.width is None):
            raise ValueError("give either depth or width")
        return self


class DrillEntry(OperationEntry):
    """Holes at points, or at the centres of circles, to a depth measured to the full diameter."""

    do: Literal["drill"]
    shapes: Annotated[list[Shape], Field(min_length=1)]
    depth: Depth
    through_allowance: Length | None = None


class ProfileEntry(OperationEntry):
    """A cut along a line: the part's outline unless shapes are given. Through unless a depth is given."""

    do: Literal["profile"]
    shapes: list[Shape] = []
    side: Literal["outside", "inside", "on"] | None = None
    depth: Depth = "through"
    through_allowance: Length = "0.5 mm"
    hold: HoldEntry | None = None
    corner_relief: Literal["dog-bone", "t-bone"] | None = None


class ChamferEntry(OperationEntry):
    """A chamfer of `width` along edges with a V-bit: the part's outline unless shapes are given."""

    do: Literal["chamfer"]
    width: Length
    shapes: list[Shape] = []
    side: Literal["outside", "inside"] = "outside"


class EngraveEntry(OperationEntry):
    """Text and other closed shapes cut with a V-bit along the middle of their strokes, as deep as these are wide."""

    do: Literal["engrave"]
    shapes: Annotated[list[Shape], Field(min_length=1)]
    depth: Length | None = Field(
        default=None, description="The greatest depth; strokes too wide for it are cut along both sides."
    )

    @model_validator(mode="after")
    def _one_pass(self) -> EngraveEntry:
        if self.roughing is not None:
            raise ValueError("an engraving has no roughing pass; leave `roughing` out")
        return self


DOINGS = ("face", "pocket", "dish", "groove", "drill", "profile", "chamfer", "engrave")


def _doing(value: object) -> str | None:
    """Return the tag of the operation that `do` names."""
    do = value.get("do") if isinstance(value, dict) else getattr(value, "do", None)
    return f"~{do}" if isinstance(do, str) and do in DOINGS else None


AnyOperation = Annotated[
    Annotated[FaceEntry, Tag("~face")]
    | Annotated[PocketEntry, Tag("~pocket")]
    | Annotated[DishEntry, Tag("~dish")]
    | Annotated[GrooveEntry, Tag("~groove")]
    | Annotated[DrillEntry, Tag("~drill")]
    | Annotated[ProfileEntry, Tag("~profile")]
    | Annotated[ChamferEntry, Tag("~chamfer")]
    | Annotated[EngraveEntry, Tag("~engrave")],
    Discriminator(_doing, custom_error_type="unknown_operation", custom_error_message="unknown kind of operation"),
]


class DrawingBox(Entry):
    """A box in a drawing by its lower left corner and its size."""

    at: Point
    size: Point


class PartEntry(Entry):
    """A part: its outline and what is done to it."""

    stock: Key
    outline: Shape
    operations: Annotated[list[AnyOperation], Field(min_length=1)]
    title: Title | None = None
    count: Annotated[int, Field(ge=1, le=1000)] = 1
    drawing: Text | None = Field(default=None, description="The drawing that `layer` shapes of this part are in.")
    units: Literal["mm", "cm", "m", "in", "ft", "pt"] | None = Field(
        default=None, description="The unit of the drawing, where it does not say; pt is 1/72 inch."
    )
    join: Length | None = Field(
        default=None, description="Gaps up to this in the drawing's lines are closed; none are unless this is written."
    )
    drawing_box: DrawingBox | None = Field(
        default=None, description="Where in the drawing this part is: only what lies wholly inside the box is taken."
    )
    place: list[Point] = Field(default=[], description="Where each copy's origin lies on the stock.")
    note: Text | None = None


class SetupEntry(Entry):
    """How a stock piece is held for one face."""

    hold_down: list[Key] = []
    fasteners: list[Point] = Field(default=[], description="Screws or brads, [x, y] on the stock.")
    clamps: list[Point] = Field(default=[], description="Clamps, [x, y] of the clamp's tip on the stock.")
    note: Text | None = None


class StockSetups(Entry):
    """The setups of one stock piece, by face."""

    top: SetupEntry | None = None
    bottom: SetupEntry | None = None


class HardwareEntry(Entry):
    """A thing to buy."""

    item: Title
    count: Annotated[
        Annotated[Title, Tag("~text")] | Annotated[Annotated[int, Field(ge=1, le=100_000)], Tag("~value")],
        Discriminator(lambda value: "~value" if isinstance(value, int) else "~text"),
    ] = 1
    use: Text | None = None
    note: Text | None = None


class AssemblyEntry(Entry):
    """One assembly step."""

    text: Text
    parts: list[Key] = []
    caution: Text | None = None
    dry: bool = Field(default=False, description="Only a trial: the parts come apart again.")
    face: Literal["top", "bottom"] = Field(default="top", description="The face of the parts that is up at this step.")
    uses: Uses = []


class FinishingEntry(Entry):
    """Sanding and finish."""

    sanding: list[Annotated[int, Field(ge=24, le=3000)]] = [120, 180]
    finish: Key | None = None
    surfaces: Text | None = None
    steps: list[AnyFinishingStep] = []


NumberOrRange = Annotated[
    Annotated[Number, Tag("~value")] | Annotated[Range, Tag("~list")], Discriminator(list_or_value)
]
LengthOrRange = Annotated[
    Annotated[Length, Tag("~value")] | Annotated[LengthRange, Tag("~list")], Discriminator(list_or_value)
]
ColletOrRange = Annotated[
    Annotated[Collet, Tag("~value")] | Annotated[LengthRange, Tag("~list")], Discriminator(list_or_value)
]


class MachineEntry(Entry):
    """A machine of the author's own: a class it is like, and what is different. Ranges are [lowest, highest]."""

    like: Key | None = Field(default=None, description="The machine class to start from; the nearest if left out.")
    name: Title | None = None
    about: Title | None = None
    area: Point | None = Field(default=None, description="Travel along x and y.")
    z_travel: LengthOrRange | None = None
    clearance: LengthOrRange | None = Field(default=None, description="Height under the gantry.")
    rpm: Range | None = Field(default=None, description="Lowest and highest speed, min-1.")
    dial: Annotated[dict[str, Number], Field(min_length=1, max_length=40)] | None = Field(
        default=None, description="The positions of the speed dial with their speeds, min-1."
    )
    power: NumberOrRange | None = Field(default=None, description="Power at the cutter, W.")
    force_limit: Number | None = Field(default=None, description="Side force before the machine visibly gives way, N.")
    force_class: Key | None = Field(default=None, description="Takes the side force of this machine class.")
    feed_limit: Feed | None = None
    plunge_limit: Feed | None = None
    acceleration: NumberOrRange | None = Field(default=None, description="Acceleration, mm/s2.")
    collets: Annotated[list[ColletOrRange], Field(min_length=1, max_length=40)] | None = Field(
        default=None, description="Shank diameters, names such as ER11, or [lowest, highest]."
    )
    nut: Length | None = Field(default=None, description="Width of the collet nut.")


class Definition(Entry):
    """A kit definition. The top-level key `kitforge` is the version of this schema."""

    kitforge: Literal[1]
    kit: KitEntry
    stock: Annotated[dict[Key, StockEntry], Field(min_length=1)]
    cutters: Annotated[dict[Key, CutterEntry], Field(min_length=1)]
    parts: Annotated[dict[Key, PartEntry], Field(min_length=1)]
    units: Literal["mm", "in"] = Field(default="mm", description="The unit of bare numbers, and first in print.")
    parameters: dict[ParameterName, Length] = {}
    machines: list[Key] = Field(default=[], description="Machine classes the kit is for; all of them if left out.")
    own_machines: dict[Key, MachineEntry] = {}
    hold_down: list[Key] = Field(default=["double_sided_tape"], description="Hold-downs to choose from, best first.")
    setups: dict[Key, StockSetups] = {}
    order: Literal["computed", "as written"] = "computed"
    needs: list[NeedEntry] = Field(
        default=[], max_length=500, description="What must be so for the kit to work; proven by the check."
    )
    finishing: FinishingEntry = FinishingEntry()
    hardware: list[HardwareEntry] = []
    assembly: list[AssemblyEntry] = []
    together: list[StandingEntry] = Field(
        default=[], max_length=MOST_STANDING, description="Where each copy of the parts stands in the finished piece."
    )
    notes: list[Text] = []
