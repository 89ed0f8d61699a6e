"""What the booklet's template is given: plain records of finished words and pictures."""

from __future__ import annotations

from dataclasses import dataclass

from kitforge.model.lines import Line
from kitforge.print.figures import Measure
from kitforge.print.raster import Raster
from kitforge.print.safety import SafetyMessage
from kitforge.print.svg import Picture
from kitforge.print.trouble import TroubleAdvice
from kitforge_booklet.amounts import AmountRow
from kitforge_booklet.exploded_view import ExplodedPage
from kitforge_booklet.measuring import CheckRow
from kitforge_booklet.sanding import Schedule
from kitforge_booklet.signs import SafetySign
from kitforge_booklet.step_records import LabelledFact, StepBlock, StepPages
from kitforge_booklet.stock_plans import StockPlan
from kitforge_booklet.trial_records import FitCoupon, SettingsProof
from kitforge_booklet.turning import Turning


@dataclass(frozen=True, slots=True)
class SizeFigure:
    """A size of the kit: its title, the piece at the scale of the others, how large it is, whether it is this one."""

    key: str
    title: str
    picture: Raster
    overall: Measure
    this: bool


@dataclass(frozen=True, slots=True)
class Cover:
    """The first page. family: in which sizes the kit is offered, '' for one size; sizes: the same in pictures, none
    where they cannot be shown."""

    title: str
    summary: str
    family: str
    sizes: tuple[SizeFigure, ...]
    picture: Raster
    facts: tuple[LabelledFact, ...]
    author: str
    licence: str
    version: str


@dataclass(frozen=True, slots=True)
class MachineFit:
    """How the kit stands with one machine class."""

    number: int
    machine: str
    about: str
    area: Measure
    verdict: str
    fits: bool
    time: str
    changes: int
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Item:
    """A thing to have ready, with a tick box."""

    name: str
    detail: str
    count: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class CutterItem:
    """A cutter to have ready, drawn to scale."""

    name: str
    detail: str
    steps: str
    instead: str
    picture: Picture


@dataclass(frozen=True, slots=True)
class Needs:
    """Everything to buy or lay out."""

    stock: tuple[Item, ...]
    cutters: tuple[CutterItem, ...]
    cutter_scale: str
    hold_down: tuple[Item, ...]
    hardware: tuple[Item, ...]
    finishing: tuple[Item, ...]
    tools: tuple[Item, ...]
    protection: tuple[Item, ...]
    trials: tuple[Item, ...] = ()


@dataclass(frozen=True, slots=True)
class Preparation:
    """How one stock is made ready."""

    title: str
    steps: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class HoldRow:
    """What holds the work, in which step, and a verdict for each machine class."""

    held_by: str
    when: str
    verdicts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class OtherHold:
    """A hold-down that may be taken instead of the first.

    about: what it is and how it is done; words: what it takes; spots: where it stands; rows: how it holds.
    """

    title: str
    about: str
    words: tuple[str, ...]
    spots: str
    pictures: tuple[Picture, ...]
    cautions: tuple[str, ...]
    rows: tuple[HoldRow, ...]


@dataclass(frozen=True, slots=True)
class SettingUp:
    """One face of one stock piece on the table. sizes: the same picture, the largest first."""

    title: str
    sizes: tuple[Picture, ...]
    captions: tuple[str, ...]
    steps: tuple[Line, ...]
    spots: str
    cautions: tuple[str, ...]
    machines: tuple[tuple[int, str], ...]
    rows: tuple[HoldRow, ...]
    messages: tuple[SafetyMessage, ...]
    others: tuple[OtherHold, ...] = ()
    left_out: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Freeing:
    """How the parts come free, in the order it is done."""

    steps: tuple[Line, ...]
    messages: tuple[SafetyMessage, ...]


@dataclass(frozen=True, slots=True)
class FinishPage:
    """Sanding and finish."""

    finish: str
    facts: tuple[LabelledFact, ...]
    steps: tuple[Line, ...]
    cautions: tuple[str, ...]
    messages: tuple[SafetyMessage, ...]
    sanding_signs: tuple[SafetySign, ...] = ()
    coating_signs: tuple[SafetySign, ...] = ()


@dataclass(frozen=True, slots=True)
class AssemblyBlock:
    """One step of putting the kit together. number: empty for the finished piece; staged: its one picture shows the
    work, not single parts."""

    text: Line
    parts: str
    pictures: tuple[Raster, ...]
    caution: str
    number: str = ""
    staged: bool = False


@dataclass(frozen=True, slots=True)
class FeatureRow:
    """A row of a drawing's table. x, y: '' where a position says nothing; where: what circle they stand on, or ''."""

    letter: str
    title: str
    count: int
    x: str
    y: str
    size: str
    depth: str
    where: str


@dataclass(frozen=True, slots=True)
class DrawingPage:
    """The dimensioned drawing of one face of a part.

    ratio: its scale; half: it stands beside another one.
    """

    title: str
    facts: tuple[LabelledFact, ...]
    picture: Picture
    scale: str
    ratio: float
    rows: tuple[FeatureRow, ...]
    half: bool = False


@dataclass(frozen=True, slots=True)
class DrawingChoice:
    """Drawings of the parts from the index `first` up to `last`: the views of one, or two parts side by side.

    The last one in half the width reaches one further: what follows the drawings stands beside it.
    loss: the square of the steps of the scale by which they are smaller than they might be, and more where a section is
    left out; last_resort: such small
    ones are taken only where no larger ones fit on a page.
    """

    first: int
    last: int
    loss: int
    last_resort: bool
    drawings: tuple[DrawingPage, ...]


@dataclass(frozen=True, slots=True)
class DrawingPages:
    """The drawings of all parts, as large as the width lets them be, and all that there is to choose from."""

    usual: tuple[DrawingPage, ...]
    choices: tuple[DrawingChoice, ...]


@dataclass(frozen=True, slots=True)
class ChangeRow:
    """What changed in a version."""

    version: str
    date: str
    text: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Booklet:
    """The whole booklet. Empty tuples and None mean that the section has nothing to say and is left out."""

    units: str
    unit_note: str
    starting_points: str
    timed_on: str
    cover: Cover
    pack: tuple[LabelledFact, ...]
    use: tuple[str, ...]
    fits: tuple[MachineFit, ...]
    fit_words: str
    tried: tuple[str, ...]
    uncertainty: str
    messages: tuple[SafetyMessage, ...]
    deferring: tuple[str, ...]
    triangle: Picture
    needs: Needs
    preparations: tuple[Preparation, ...]
    setups: tuple[SettingUp, ...]
    proving: tuple[str, ...]
    legend: Picture
    steps: tuple[StepBlock, ...]
    step_pages: StepPages
    freeing: Freeing | None
    finish: FinishPage | None
    assembly: tuple[AssemblyBlock, ...]
    apart: ExplodedPage | None
    drawings: tuple[DrawingPage, ...]
    drawing_choices: tuple[DrawingChoice, ...]
    scale_bar: Picture
    troubles: tuple[TroubleAdvice, ...]
    resuming: tuple[Line, ...]
    notes: tuple[str, ...]
    licence_text: tuple[str, ...]
    contact: str
    changes: tuple[ChangeRow, ...]
    amounts: tuple[AmountRow, ...]
    stock_plans: tuple[StockPlan, ...]
    turnings: tuple[Turning, ...]
    checks: tuple[CheckRow, ...]
    measuring: Line
    schedule: Schedule | None
    coupons: tuple[FitCoupon, ...]
    proofs: tuple[SettingsProof, ...]
    ladder: bool
    in_use: tuple[SafetyMessage, ...]
    sources: tuple[str, ...] = ()
