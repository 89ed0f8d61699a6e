"""How much of the cutter is in the wood, written down line by line: the workings of `job.engagement`."""

from __future__ import annotations

from dataclasses import dataclass

from kitforge.cutting.chips import engaged_teeth, maximum_chip, mean_chip_ratio
from kitforge.cutting.job import Engagement, Job, round_radius
from kitforge.cutting.notebook import Notebook
from kitforge.cutting.practice import CORNER_PATH_RADIUS
from kitforge.cutting.records import COMMON, CutterKind, Given, Work
from kitforge.cutting.shape import bowl_flat
from kitforge.cutting.sources import HERE

_GEOMETRY = "geometry of the cutter"
_ANGLE = "cutting data calculation, p. 252 of another tool maker's general catalogue"
MEAN_CHIP = "cutting data calculation, p. 253 of another tool maker's general catalogue"
_ROUND = (CutterKind.BALL_NOSE, CutterKind.BOWL)


@dataclass(frozen=True, slots=True)
class Meeting:
    """An engagement as inputs of formulas.

    share, worst: engaged share of the diameter; slant: chip on the slant of the edge over plain chip; peak, mean:
    thickest and mean chip over feed per tooth; teeth at once; section mm2.
    """

    share: Given
    worst: Given
    slant: Given
    peak: Given
    mean: Given
    teeth: Given
    section: Given


@dataclass(frozen=True, slots=True)
class _Place:
    job: Job
    engaged: Engagement
    depth: Given
    stepover: float | None
    where: str
    book: Notebook

    def line(
        self, name: str, symbol: str, formula: str, inputs: tuple[Given, ...], value: float, unit: str = "",
        source: str = _GEOMETRY,
    ) -> Given:  # fmt: skip
        """Write a line down and return its result as an input."""
        self.book.once(f"{name} {self.where}", symbol, formula, inputs, value, unit, source)
        return Given(name, symbol, value, unit, HERE)


def write_engagement(
    job: Job, engaged: Engagement, depth: float, stepover: float | None, where: str, book: Notebook
) -> Meeting:
    """Write down the engagement of a pass `depth` mm deep and return it as inputs. where: 'at the deepest pass'."""
    deep = Given("depth of the pass", "ap", depth, "mm", HERE)
    place = _Place(job, engaged, deep, stepover, where, book)
    across = _diameter(place)
    share = _share(place, across)
    worst = _worst(place, across, share)
    slant = _slant(place)
    peak = Given("thickest chip over feed per tooth", "k", 1.0, "", "half of the diameter or more cuts: h = fz")
    if engaged.worst < 0.5:
        value = maximum_chip(1.0, engaged.worst)
        peak = place.line(peak.name, "k", "2 * sqrt(xw - xw^2)", (worst,), value, source="circle of the tooth")
    inputs, ratio = (worst,), mean_chip_ratio(engaged.worst)
    mean = place.line(
        "mean chip over feed per tooth", "k", "2 * xw / acos(1 - 2 * xw)", inputs, ratio, source=MEAN_CHIP
    )
    flutes, teeth = Given("flutes", "z", job.cutter.flutes, "", "cutter"), engaged_teeth(job.cutter.flutes, worst.value)
    rule = "max(1, z * acos(1 - 2 * xw) / (2 * pi))"
    at_once = place.line("teeth that cut at once", "t", rule, (flutes, worst), teeth, source=_ANGLE)
    return Meeting(share, worst, slant, peak, mean, at_once, _section(place, across, worst))


def _diameter(place: _Place) -> Given:
    cutter, value = place.job.cutter, place.engaged.diameter
    name, size = "diameter at the face of the pass", Given("diameter", "D", cutter.diameter, "mm", "cutter")
    if cutter.shape is CutterKind.V_BIT and cutter.angle and not place.job.is_drilling:
        rule = "min(D, max(w + 2 * ap * tan(A / 2), 0.000001))"
        return place.line(name, "De", rule, (size, *_vee(place), place.depth), value, "mm")
    if cutter.shape not in _ROUND or place.job.is_drilling or round_radius(cutter) <= 0:
        return Given("diameter", "De", cutter.diameter, "mm", "cutter")
    radius, flat = _round(place)
    low = f"min({place.depth.symbol}, R)"
    rule = f"b + 2 * sqrt({low} * (2 * R - {low}))"
    return place.line(name, "De", rule, (flat, radius, place.depth), value, "mm")


def _share(place: _Place, across: Given) -> Given:
    job, value = place.job, place.engaged.share
    name = "engaged share of the diameter"
    if job.is_drilling:
        return Given(name, "x", value, "", "a drill cuts on its whole diameter")
    if job.along_wall:
        stock = Given("stock left on the wall", "a", job.cut.side_stock, "mm", "kit")
        return place.line(name, "x", "min(1, a / De)", (stock, across), value)
    if job.cut.work is Work.CHAMFER:
        return Given(name, "x", value, "", f"half of the bit beside the edge; {COMMON}")
    if not job.steps_over or place.stepover is None:
        return Given(name, "x", value, "", "a slot engages the whole diameter")
    step = Given("stepover", "s", place.stepover, "mm", HERE)
    return place.line(name, "x", "min(1, s / De)", (step, across), value)


def _worst(place: _Place, across: Given, share: Given) -> Given:
    job, value = place.job, place.engaged.worst
    name = "largest engaged share met"
    if job.along_wall and job.cut.inside_corners and not job.is_drilling:
        stock = Given("stock left on the wall", "a", job.cut.side_stock, "mm", "kit")
        path = Given("path radius over cutter radius in corners", "q", CORNER_PATH_RADIUS, "", COMMON)
        # the cosine of the engaged angle on an inside arc, see `chips.inner_arc_angle`
        cosine = "(max(0, 1 + q - 2 * a / De)^2 - q^2 - 1) / (2 * q)"
        rule = f"max(x, (1 - min(max({cosine}, -1), 1)) / 2)"
        return place.line(name, "xw", rule, (share, stock, across, path), value)
    if value == share.value:
        return Given(name, "xw", value, "", share.source)
    return Given(name, "xw", value, "", "the first lane is a slot")


def _slant(place: _Place) -> Given:
    cutter, value = place.job.cutter, place.engaged.ratio
    name = "chip on the slant over plain chip"
    if value == 1.0:
        return Given(name, "e", value, "", "an upright edge")
    if cutter.shape is CutterKind.V_BIT:
        return place.line(name, "e", "cos(A / 2)", _vee(place)[1:], value)
    radius, _flat = _round(place)
    low = f"min({place.depth.symbol}, R)"
    rule = f"ap / (R * acos((R - {low}) / R) + ap - {low})"
    return place.line(name, "e", rule, (place.depth, radius), value)


def _section(place: _Place, across: Given, worst: Given) -> Given:
    job, value = place.job, place.engaged.section
    name, unit = "largest section cut", "mm2"
    if job.is_drilling:
        size = Given("diameter", "D", job.cutter.diameter, "mm", "cutter")
        return place.line(name, "S", "pi / 4 * D^2", (size,), value, unit)
    if job.along_wall:
        return place.line(name, "S", "ap * De * xw", (place.depth, across, worst), value, unit)
    rule, inputs = _slot(place)
    if job.cut.work is Work.CHAMFER:
        rule = f"({rule}) / 2"
    elif job.steps_over and place.stepover is not None and job.cut.work in (Work.FACE, Work.SURFACING):
        rule, inputs = f"min({rule}, s * ap)", (*inputs, Given("stepover", "s", place.stepover, "mm", HERE))
    return place.line(name, "S", rule, inputs, value, unit)


def _slot(place: _Place) -> tuple[str, tuple[Given, ...]]:
    cutter = place.job.cutter
    size = Given("diameter", "D", cutter.diameter, "mm", "cutter")
    if cutter.shape is CutterKind.V_BIT and cutter.angle:
        return "w * ap + ap^2 * tan(A / 2)", (*_vee(place), place.depth)
    if cutter.shape not in _ROUND or round_radius(cutter) <= 0:
        return "D * ap", (size, place.depth)
    low = "min(ap, R)"
    segment = f"R^2 * acos((R - {low}) / R) - (R - {low}) * sqrt(2 * R * {low} - {low}^2)"
    return f"{segment} + b * {low} + D * (ap - {low})", (*_round(place), size, place.depth)


def _vee(place: _Place) -> tuple[Given, Given]:
    cutter = place.job.cutter
    return (
        Given("flat at the tip", "w", cutter.tip, "mm", "cutter"),
        Given("included angle", "A", cutter.angle or 0.0, "deg", "cutter"),
    )


def _round(place: _Place) -> tuple[Given, Given]:
    radius = round_radius(place.job.cutter)
    return (
        Given("radius of the round", "R", radius, "mm", "cutter"),
        Given("flat under the cutter", "b", bowl_flat(place.job.cutter.diameter, radius), "mm", "cutter"),
    )
