"""The stepover: shop range, wanted cusp, width; and the cusp that a stepover leaves."""

from __future__ import annotations

from kitforge.cutting.job import Job, round_radius
from kitforge.cutting.practice import stepover_shares
from kitforge.cutting.records import COMMON, CutterKind, Given, Limit, Window, Work
from kitforge.cutting.shape import bowl_cusp, bowl_flat, bowl_stepover, cusp, stepover_for_cusp

CUSP_SOURCE = "exact cusp formula, shop page (2006)"
_ROUND = (CutterKind.BALL_NOSE, CutterKind.BOWL)


def stepover_window(job: Job, wish: float | None) -> Window | None:
    """Return the stepover window mm, or None for cuts that have no lanes."""
    if not job.steps_over:
        return None
    cutter, cut = job.cutter, job.cut
    low_share, start_share, high_share = stepover_shares(cut.work, cut.finishing, cutter.shape)
    diameter = Given("diameter", "D", cutter.diameter, "mm", "cutter")
    highs = [_share(high_share, "lanes must overlap", "<=", diameter)]
    if cut.cusp is not None and cutter.shape in _ROUND:
        highs.append(_cusp_limit(job, cut.cusp))
    flat = Given("flat under the cutter", "b", bowl_flat(cutter.diameter, round_radius(cutter)), "mm", "cutter")
    if cutter.shape not in _ROUND and cutter.corner_radius > 0:
        highs.append(Limit(flat.value, "ridges on the floor", "s <= b", (flat,), "derived"))
    high = min(highs, key=lambda limit: limit.value)
    low = _share(low_share, "needless time", ">=", diameter)
    if low.value > high.value / 2:
        low = Limit(
            high.value / 2,
            "needless time",
            "s >= s_high / 2",
            (Given("its upper limit", "s_high", high.value, "mm", "this calculation"),),
            COMMON,
        )
    start = min(start_share * cutter.diameter, high.value)
    reason = "share of the diameter" if start < high.value else high.reason
    start, reason, author = (start, reason, False) if wish is None else (wish, "the author's own", True)
    return Window("stepover", low.value, start, high.value, "mm", low, high, reason, (low,), tuple(highs), author)


def cusp_left(job: Job, stepover: float | None) -> float | None:
    """Return the cusp mm a stepover leaves: exact, on the steepest slope of the floor; None where nothing is left."""
    if stepover is None or job.cutter.shape not in _ROUND:
        return None
    radius, slope = round_radius(job.cutter), job.cut.slope
    try:
        if job.cutter.shape is CutterKind.BOWL and slope == 0:
            return bowl_cusp(job.cutter.diameter, radius, stepover)
        return cusp(radius, stepover, slope)
    except ValueError:
        return None


def too_narrow(job: Job) -> Limit | None:
    """Return the width of the place as a limit when the cutter is wider than that, else None."""
    cut = job.cut
    if cut.width is None or job.is_drilling or job.cutter.shape is CutterKind.V_BIT:
        return None
    if cut.work is Work.FACE or cut.work is Work.SURFACING or cut.width >= job.cutter.diameter - 1e-6:
        return None
    inputs = (Given("narrowest width", "W", cut.width, "mm", "kit"),)
    return Limit(cut.width, "narrowest width", "D <= W", inputs, "kit", hard=True)


def _share(share: float, reason: str, sign: str, diameter: Given) -> Limit:
    return Limit(share * diameter.value, reason, f"s {sign} {share:g} * D", (diameter,), COMMON)


def _cusp_limit(job: Job, height: float) -> Limit:
    radius = round_radius(job.cutter)
    inputs = (
        Given("cusp wanted", "h", height, "mm", "kit"),
        Given("radius of the round", "R", radius, "mm", "cutter"),
        Given("steepest slope", "t", job.cut.slope, "deg", "kit"),
        Given("diameter", "D", job.cutter.diameter, "mm", "cutter"),
    )
    if job.cutter.shape is CutterKind.BOWL and job.cut.slope == 0:
        value = bowl_stepover(job.cutter.diameter, radius, height)
        return Limit(value, "wanted cusp", "s <= D - 2 * R + 2 * sqrt(h * (2 * R - h))", inputs, CUSP_SOURCE)
    value = stepover_for_cusp(radius, height, job.cut.slope)
    return Limit(value, "wanted cusp", "s <= 2 * sqrt(h * (2 * R - h)) * cos(t)", inputs, CUSP_SOURCE)
