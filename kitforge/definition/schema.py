"""The schema of kit.yaml, version 1. The JSON Schema that editors use is made from these classes."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Discriminator, Field, Tag, model_validator

from kitforge.definition.coupon import CouponEntry, ProofEntry
from kitforge.definition.each import MOST_PIECES, PieceEntry
from kitforge.definition.ladder import LadderEntry
from kitforge.definition.machines import MachineEntry
from kitforge.definition.needs import NeedEntry
from kitforge.definition.operations import AnyOperation
from kitforge.definition.pictures import PicturesEntry
from kitforge.definition.shapes import Entry, Shape
from kitforge.definition.sizes import MOST_SIZES, ReleaseEntry, SizeEntry, TextEntry
from kitforge.definition.together import MOST_STANDING, StandingEntry
from kitforge.definition.values import (
    Date,
    Key,
    Length,
    Number,
    OwnTexts,
    OwnTitle,
    OwnWords,
    ParameterName,
    Point,
    Slug,
    Text,
    Title,
    Version,
    list_or_value,
    mapping_or_value,
)
from kitforge.definition.work import AnyFinishingStep, AnyLine, Uses
from kitforge.model.errors import RefusedValueError
from kitforge.model.messages import msg

HazardName = Literal[
    "mains", "battery", "button cell", "magnet", "small part", "glass", "heat", "wall fixing", "food contact", "none"
]
HazardOrHazards = Annotated[
    Annotated[HazardName, Tag("~value")]
    | Annotated[Annotated[list[HazardName], Field(min_length=1, max_length=9)], Tag("~list")],
    Discriminator(list_or_value),
]
UseName = Literal["indoors", "outdoors", "food", "children", "wall"]
UseOrUses = Annotated[
    Annotated[UseName, Tag("~value")]
    | Annotated[Annotated[list[UseName], Field(min_length=1, max_length=5)], Tag("~list")],
    Discriminator(list_or_value),
]


class ChangeEntry(Entry):
    """What changed in one version, for the booklet's last page."""

    version: Version
    date: Date | None = None
    text: OwnTexts


class KitEntry(Entry):
    """Who made the kit and what it is."""

    title: OwnTitle
    slug: Slug = Field(description="The kit's short name, for file names.")
    version: Version
    author: Title
    licence: Title = Field(description="SPDX licence expression, e.g. CC-BY-NC-4.0 or LicenseRef-MyShop-Personal.")
    summary: OwnWords
    skill: Literal["beginner", "some practice", "experienced"] = "beginner"
    licence_file: Text | None = None
    released: Date | None = Field(default=None, description="Release date, YYYY-MM-DD.")
    contact: Text | None = None
    changes: list[ChangeEntry] = []
    use: UseOrUses | None = Field(default=None, description="Where and how the finished piece is used.")
    licence_words: OwnWords | None = Field(
        default=None, description="In plain words: may pieces be sold, files shared?"
    )
    keywords: Annotated[list[OwnTitle], Field(max_length=20)] = []


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
    title: OwnTitle | None = None
    count: Annotated[int, Field(ge=1, le=1000)] | None = None
    margin: Length = "10 mm"
    boards: Length | None = Field(default=None, description="Widest board to glue this piece up from, as bought.")
    planer: Length | None = Field(default=None, description="Widest piece that the planer takes.")
    prepare: list[AnyLine] = []
    ladder: LadderEntry | None = Field(default=None, description="Other actual thicknesses to draw the kit for.")


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
    name: OwnTitle | None = None
    note: OwnWords | None = None


class DrawingBox(Entry):
    """A box in a drawing by its lower left corner and its size."""

    at: Point
    size: Point


class PartEntry(Entry):
    """A part: its outline and what is done to it."""

    stock: Key
    outline: Shape
    operations: Annotated[list[AnyOperation], Field(min_length=1)]
    title: OwnTitle | None = None
    count: Annotated[int, Field(ge=1, le=1000)] = 1
    each: dict[Key, PieceEntry] = Field(
        default={}, max_length=MOST_PIECES, description="Pieces that differ by parameters; every one is a part."
    )
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
    note: OwnWords | None = None


class SetupEntry(Entry):
    """How a stock piece is held for one face."""

    hold_down: list[Title] = []
    fasteners: list[Point] = Field(default=[], description="Screws or brads, [x, y] on the stock.")
    clamps: list[Point] = Field(default=[], description="Clamps, [x, y] of the clamp's tip on the stock.")
    note: OwnWords | None = None


class StockSetups(Entry):
    """The setups of one stock piece, by face."""

    top: SetupEntry | None = None
    bottom: SetupEntry | None = None


class HardwareEntry(Entry):
    """A thing to buy."""

    item: OwnTitle
    count: Annotated[
        Annotated[OwnTitle, Tag("~text")] | Annotated[Annotated[int, Field(ge=1, le=100_000)], Tag("~value")],
        Discriminator(lambda value: "~value" if isinstance(value, int) else "~text"),
    ] = 1
    use: OwnWords | None = Field(default=None, description="What it is for, in words.")
    note: OwnWords | None = None
    hazard: HazardOrHazards | None = Field(
        default=None, description="Dangers that it brings into the piece, `none` for none; unknown if left out."
    )

    @model_validator(mode="after")
    def _none_stands_alone(self) -> HardwareEntry:
        if isinstance(self.hazard, list) and "none" in self.hazard and len(self.hazard) > 1:
            raise RefusedValueError(msg("`none` means that there is no other hazard; write it alone or leave it out"))
        return self


class TriedEntry(Entry):
    """A trial of the maker's own: machine class, wood, day and what was seen."""

    machine: Title = Field(description="The machine class, or a machine of `own_machines`.")
    wood: Title = Field(description="The wood or panel that was cut.")
    date: Date
    seen: OwnWords = Field(description="What was cut and what was seen, good and bad.")


class AssemblyEntry(Entry):
    """One assembly step."""

    text: OwnWords
    parts: list[Key] = []
    caution: OwnWords | None = None
    dry: bool = Field(default=False, description="Only a trial: the parts come apart again.")
    face: Literal["top", "bottom"] = Field(default="top", description="The face of the parts that is up at this step.")
    uses: Uses = []


class FinishingEntry(Entry):
    """Sanding and finish."""

    sanding: list[Annotated[int, Field(ge=24, le=3000)]] = [120, 180]
    finish: Title | None = None
    surfaces: OwnWords | None = None
    steps: list[AnyFinishingStep] = []


class Definition(Entry):
    """A kit definition. The top-level key `kitforge` is the version of this schema."""

    kitforge: Literal[1]
    kit: KitEntry
    stock: Annotated[dict[Key, StockEntry], Field(min_length=1)]
    cutters: Annotated[dict[Key, CutterEntry], Field(min_length=1)]
    parts: Annotated[dict[Key, PartEntry], Field(min_length=1)]
    units: Literal["mm", "in"] = Field(default="mm", description="The unit of bare numbers, and first in print.")
    parameters: dict[ParameterName, Length] = {}
    labels: dict[ParameterName, OwnTitle] = Field(
        default={}, max_length=200, description="What a parameter is called where its value is printed."
    )
    sizes: dict[Key, SizeEntry] = Field(
        default={}, max_length=MOST_SIZES, description="Sets of parameters by name; every one of them is a kit."
    )
    texts: dict[ParameterName, TextEntry] = Field(
        default={}, max_length=40, description="Texts that may be set; text shapes write them as {name}."
    )
    release: ReleaseEntry = ReleaseEntry()
    machines: list[Title] = Field(default=[], description="Machine classes the kit is for; all of them if left out.")
    own_machines: dict[Key, MachineEntry] = {}
    hold_down: list[Title] = Field(default=["double_sided_tape"], description="Hold-downs to choose from, best first.")
    spoilboard: Length | None = Field(default=None, description="How thick the board under the stock is; else 18 mm.")
    setups: dict[Key, StockSetups] = {}
    order: Literal["computed", "as written"] = "computed"
    needs: list[NeedEntry] = Field(
        default=[], max_length=500, description="What must be so for the kit to work; proven by the check."
    )
    finishing: FinishingEntry = FinishingEntry()
    hardware: list[HardwareEntry] = []
    tried: list[TriedEntry] = Field(default=[], max_length=100, description="Trials of the maker's own.")
    assembly: list[AssemblyEntry] = []
    plugins: dict[Key, object] = Field(
        default={}, description="What plugins are told, each under its name; a plugin knows its own keys."
    )
    together: list[StandingEntry] = Field(
        default=[], max_length=MOST_STANDING, description="Where each copy of the parts stands in the finished piece."
    )
    pictures: PicturesEntry | None = Field(default=None, description="How pictures show the finished piece.")
    coupon: dict[Key, CouponEntry] = Field(
        default={}, max_length=4, description="Trial pieces with slots like those of a joint, from tight to loose."
    )
    proof: list[ProofEntry] = Field(
        default=[], max_length=4, description="Trial strips with grooves at rising feed, one for each step named."
    )
    notes: list[OwnWords] = []
