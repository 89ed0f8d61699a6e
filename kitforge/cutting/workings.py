"""The lines of the calculation that belong to no single limit. Every formula can be worked from its own inputs.

Formulas are written with * and ^ and in the symbols of their inputs; cos and tan take degrees, acos gives radians.
"""

from __future__ import annotations

from kitforge.cutting.engaged import Meeting
from kitforge.cutting.job import Job, round_radius, stick_out
from kitforge.cutting.loads import Stiffness, front_diameter
from kitforge.cutting.notebook import Notebook
from kitforge.cutting.practice import COLLET_CLEARANCE, FLUTE_RUN_OUT, stepover_shares
from kitforge.cutting.records import COMMON, DERIVED, CutSettings, CutterKind, Entry, Given, Loads, Window
from kitforge.cutting.shape import bowl_flat
from kitforge.cutting.sources import AUTHOR, HERE, READINGS
from kitforge.cutting.speed import feed_ceiling, reference_speed
from kitforge.cutting.stepover import CUSP_SOURCE
from kitforge.workshop.load import citation
from kitforge.workshop.records import Fact

MILLING = "milling formulae, general catalogue of a cutting-tool maker"
SPIRAL_SOURCE = "spiral_chart"
ISO = "ISO 3002-4"
CIRCLE = "circle of the tooth"
MEAN_GRAIN = "mean of along and across the grain (Kivimaa 1950, recalled)"
USUAL_HELIX = "usual helix of the kind of cutter; common practice"
BEAM = "beam theory; equivalent diameter of Kops and Vo, CIRP Annals 39(1):93 (1990)"


def force_constant(job: Job, grain: Fact) -> float:
    """Return A of kc = A h^-m for the job's wood at the unfavourable end, N/mm2 mm^m."""
    model = job.model
    at_reference = model.specific_force(model.chip, job.material.density.value, grain.value, job.unfavourable)
    return at_reference * float(pow(model.chip, model.chip_exponent))


def write_stiffness(job: Job, bend: Stiffness, book: Notebook) -> None:
    """Write down stick-out, bending and stress of the cutter per N."""
    cutter, grip, length = job.cutter, job.data.plunge, stick_out(job)
    oal = Given("overall length", "OAL", cutter.overall_length, "mm", "cutter")
    apmx = Given("cutting length", "APMX", cutter.cutting_length, "mm", "cutter")
    shank = Given("shank", "DMM", cutter.shank, "mm", "cutter")
    if cutter.stick_out is None:
        part, whole = f"{grip.shank_grip_part.value:g} * (OAL - APMX)", f"{grip.shank_grip.low:g} * DMM"
        needed = f"max(APMX + {FLUTE_RUN_OUT:g}, H + {COLLET_CLEARANCE:g})"
        rule = f"max(min({needed}, OAL - min(OAL - APMX, max({whole}, {part}))), min(H, OAL))"
        reach = Given("depth below the face", "H", job.reach, "mm", "kit")
        book.line("stick-out", "L", rule, (oal, apmx, shank, reach), length, "mm", job.cite(grip.shank_grip))
    out = Given("stick-out", "L", length, "mm", HERE)
    fluted = Given("fluted part that shows", "l1", min(cutter.cutting_length, length), "mm", "cutter")
    core = Given("its equivalent diameter", "d1", front_diameter(job) * job.data.equivalent_diameter.value, "mm", BEAM)
    modulus = job.given("modulus of elasticity", "E", job.tool_material.modulus, "MPa", "middle of its published range")
    formula = "64 / (3 * pi * E) * (l1^3 / d1^4 + (L^3 - l1^3) / DMM^4)"
    book.line("bending per N", "c", formula, (modulus, out, fluted, core, shank), bend.compliance, "mm/N", BEAM)
    formula = "32 / pi * max(l1 / d1^3, L / DMM^3)"
    book.line("bending stress per N", "cs", formula, (out, fluted, core, shank), bend.stress, "MPa/N", BEAM)


def write_force_constant(job: Job, grain: Fact, symbol: str, use: str, book: Notebook) -> None:
    """Write down the constant A of kc = A h^-m."""
    constants = job.data.cutting_force
    inputs = (
        job.given("specific force at the reference chip", "kc_ref", constants.kc_ref, "N/mm2", READINGS),
        job.given("reference chip", "h_ref", constants.h_ref, "mm", READINGS),
        job.given("exponent of the chip", "m", constants.m, "", READINGS),
        job.given("density of the wood", "rho", job.material.density, "kg/m3", "from its specific gravity"),
        job.given("reference density", "rho_ref", constants.density_ref, "kg/m3", READINGS),
        job.given("exponent of the density", "nd", constants.n, "", READINGS),
        job.given("direction to the grain", "g", grain, "", MEAN_GRAIN),
        job.given("used edge", "w", job.data.wear_factors.used, ""),
        Given("upper end of the band", "b", constants.band.high, "", READINGS),
    )
    formula = "kc_ref * h_ref^m * (rho / rho_ref)^nd * g * w * b"
    book.line(f"force constant for {use}", symbol, formula, inputs, force_constant(job, grain), "N/mm2 mm^m", DERIVED)


def write_stepover(job: Job, window: Window | None, book: Notebook) -> None:
    """Write down the stepover to start with."""
    if window is None:
        return
    if window.author:
        wished = Given(f"stepover, {AUTHOR}", "s", window.start, "mm", AUTHOR)
        book.line("stepover to start with", "s", "s", (wished,), window.start, "mm", AUTHOR)
        return
    share = stepover_shares(job.cut.work, job.cut.finishing, job.cutter.shape)[1]
    inputs = (
        Given("usual share of the diameter", "q", share, "", COMMON),
        Given("diameter", "D", job.cutter.diameter, "mm", "cutter"),
        Given("stepover at most", "s_high", window.high, "mm", HERE),
    )
    book.line("stepover to start with", "s", "min(q * D, s_high)", inputs, window.start, "mm", COMMON)


def write_plunge(job: Job, window: Window, feed: float, book: Notebook) -> None:
    """Write down the plunge to start with."""
    if window.author:
        return
    inputs = (
        Given("feed in use", "vf", feed, "mm/min", HERE),
        Given("flutes", "z", job.cutter.flutes, "", "cutter"),
        Given("plunge at least", "vz_low", window.low, "mm/min", HERE),
        Given("plunge at most", "vz_high", window.high, "mm/min", HERE),
    )
    rule = "min(max(vf / z, vz_low), vz_high)"
    book.line("plunge to start with", "vz", rule, inputs, window.start, "mm/min", citation(SPIRAL_SOURCE))


def write_entry(job: Job, entry: Entry, depth: float, feed: float, book: Notebook) -> None:
    """Write down the travel and the feed of a sloping entry; a straight one has nothing to compute."""
    if entry.angle is None or entry.travel is None:
        return
    rules = job.data.plunge
    slope = Given("slope of the entry", "a", entry.angle, "deg", COMMON)
    deep = Given("depth of the pass", "ap", depth, "mm", HERE)
    book.line("travel of the way down", "Lr", "ap / tan(a)", (deep, slope), entry.travel, "mm", DERIVED)
    inputs = (
        Given("feed in use", "vf", feed, "mm/min", HERE),
        job.given("ramp feed over feed, times flutes", "q", rules.ramp_feed_over_feed_times_flutes, ""),
        Given("flutes", "z", job.cutter.flutes, "", "cutter"),
        Given("plunge limit of the class", "vz_max", job.machine.plunge_limit, "mm/min", job.machine.plunge.source),
        slope,
    )
    rule = "min(vf * q / z, vz_max / sin(a))"
    book.line("feed along the way down", "vr", rule, inputs, entry.feed, "mm/min", DERIVED)


def write_reference(
    job: Job, meeting: Meeting, fz: Given, power_fz: float, depth: float, load: Loads, book: Notebook
) -> tuple[Given, Given]:
    """Write down side force and power of a pass `depth` mm deep at the chip that depths are set by; return both.

    power_fz: feed per tooth mm for the power, less where the class cannot feed as fast at the speed.
    """
    chip = _write_chip(job, meeting.peak, meeting.slant, fz, "h", book)
    kc = _write_specific(job, chip, "Af", job.worst_grain, "kc", book)
    thick = Given("thickest chip", "h", fz.value * meeting.peak.value, "mm", HERE)
    book.line("thickest chip at the depth tried", "h", "fz * k", (fz, meeting.peak), thick.value, "mm", CIRCLE)
    deep = Given("depth of the pass", "ap", depth, "mm", HERE)
    inputs = (side_ratio(job), kc, deep, thick, meeting.teeth)
    book.line("side force at the depth tried", "X", "ks * kc * ap * h * t", inputs, load.side_force, "N", ISO)
    slower = fz if power_fz == fz.value else _write_slower(job, power_fz, book)
    mean = _write_chip(job, meeting.mean, meeting.slant, slower, "hm", book)
    kcm = _write_specific(job, mean, "Ap", job.mean_grain, "kcm", book)
    speed = Given("speed that depths are set by", "n_0", reference_speed(job), "min-1", COMMON)
    power = (kcm, meeting.section, slower, Given("flutes", "z", job.cutter.flutes, "", "cutter"), speed)
    rule = "kcm * S * fz * z * n_0 / 60000"
    book.line("power at the depth tried", "Y", rule, power, load.power, "W", MILLING)
    return (
        Given("side force at the depth tried", "X", load.side_force, "N", HERE),
        Given("power at the depth tried", "Y", load.power, "W", HERE),
    )


def _write_slower(job: Job, power_fz: float, book: Notebook) -> Given:
    inputs = (
        *feed_ceiling(job).inputs,
        Given("flutes", "z", job.cutter.flutes, "", "cutter"),
        Given("speed that depths are set by", "n_0", reference_speed(job), "min-1", COMMON),
    )
    name = "feed per tooth at the class's full feed"
    book.line(name, "fz", "vf_max / (z * n_0)", inputs, power_fz, "mm", MILLING)
    return Given(name, "fz", power_fz, "mm", HERE)


def side_ratio(job: Job) -> Given:
    """Return side force over tooth force as an input."""
    source = "resultant of the tangential force and a normal force of 0.4 to 0.5 of it; derived"
    return job.given("side force over tooth force", "ks", job.data.force_ratios.side_resultant, "", source)


def write_loads(job: Job, found: CutSettings, meeting: Meeting, depth: float, bend: Stiffness, book: Notebook) -> None:
    """Write down force, lift, power, bending and cusp at the start values, for a pass `depth` mm deep."""
    _write_force(job, found, meeting, depth, bend, book)
    _write_power(job, found, meeting, book)
    _write_cusp(job, found, book)


def _write_force(job: Job, found: CutSettings, meeting: Meeting, depth: float, bend: Stiffness, book: Notebook) -> None:
    load, fz = found.loads, Given("feed per tooth", "fz", found.chip.feed_per_tooth, "mm", HERE)
    held = _write_chip(job, meeting.peak, meeting.slant, fz, "h", book)
    kc = _write_specific(job, held, "Af", job.worst_grain, "kc", book)
    chip = Given("thickest chip", "h", fz.value * meeting.peak.value, "mm", HERE)
    book.line(
        "thickest chip met, in corners and first lanes", "h", "fz * k", (fz, meeting.peak), chip.value, "mm", CIRCLE
    )
    edge = Given("depth of the pass", "ap", depth, "mm", HERE)
    if job.is_drilling:
        edge = Given("half the diameter, the edge of a drill", "ap", job.cutter.diameter / 2, "mm", "cutter")
    book.line("force of one tooth", "Ft", "kc * ap * h", (kc, edge, chip), load.tooth_force, "N", ISO)
    tooth = Given("force of one tooth", "Ft", load.tooth_force, "N", HERE)
    inputs = (side_ratio(job), tooth, meeting.teeth)
    book.line("side force", "Fs", "ks * Ft * t", inputs, load.side_force, "N", DERIVED)
    helix = Given("helix, 0 where it does not lift", "helix", max(0.0, job.cutter.helix_angle), "deg", USUAL_HELIX)
    book.line("lift", "Fa", "Ft * tan(helix)", (tooth, helix), load.lift, "N", DERIVED)
    if not job.is_drilling:
        force = Given("side force", "Fs", load.side_force, "N", HERE)
        per_newton = Given("bending per N", "c", bend.compliance, "mm/N", HERE)
        book.line("deflection of the tip", "d", "Fs * c", (force, per_newton), load.deflection, "mm", BEAM)


def _write_power(job: Job, found: CutSettings, meeting: Meeting, book: Notebook) -> None:
    load, fz = found.loads, Given("feed per tooth", "fz", found.chip.feed_per_tooth, "mm", HERE)
    mean = _write_chip(job, meeting.mean, meeting.slant, fz, "hm", book)
    kc = _write_specific(job, mean, "Ap", job.mean_grain, "kcm", book)
    inputs = (meeting.section, Given("feed", "vf", found.feed.start, "mm/min", HERE))
    book.line("removal rate", "Q", "S * vf", inputs, load.removal, "mm3/min", MILLING)
    rate = Given("removal rate", "Q", load.removal, "mm3/min", HERE)
    book.line("power at the cutter", "P", "kcm * Q / 60000", (kc, rate), load.power, "W", MILLING)


def _write_chip(job: Job, ratio: Given, slant: Given, fz: Given, symbol: str, book: Notebook) -> Given:
    """Write down the chip that the specific force is taken at: on the slant of the edge, within the model's range."""
    model, clamp = job.model, job.data.cutting_force.h_clamp
    low = Given("thinnest chip of the model", "h_low", clamp.low, "mm", READINGS)
    high = Given("thickest chip of the model", "h_high", clamp.high, "mm", READINGS)
    value = min(max(fz.value * ratio.value * slant.value, model.thinnest), model.thickest)
    rule = "min(max(fz * k * e, h_low), h_high)"
    what = "thickest chip" if symbol == "h" else "mean chip"
    inputs = (fz, ratio, slant, low, high)
    book.line(f"{what} for the specific force", f"{symbol}_e", rule, inputs, value, "mm", DERIVED)
    return Given(f"{what} for the specific force", f"{symbol}_e", value, "mm", HERE)


def _write_specific(job: Job, chip: Given, constant: str, grain: Fact, symbol: str, book: Notebook) -> Given:
    value = force_constant(job, grain) * float(pow(chip.value, -job.model.chip_exponent))
    inputs = (
        Given("force constant", constant, force_constant(job, grain), "N/mm2 mm^m", HERE),
        chip,
        Given("exponent of the chip", "m", job.model.chip_exponent, "", READINGS),
    )
    rule = f"{constant} * {chip.symbol}^-m"
    book.line("specific force, unfavourable end", symbol, rule, inputs, value, "N/mm2", DERIVED)
    return Given("specific force", symbol, value, "N/mm2", HERE)


def _write_cusp(job: Job, found: CutSettings, book: Notebook) -> None:
    if found.cusp is None or found.stepover is None:
        return
    radius = round_radius(job.cutter)
    round_part = Given("radius of the round", "R", radius, "mm", "cutter")
    step = Given("stepover", "s", found.stepover.start, "mm", HERE)
    if job.cutter.shape is CutterKind.BOWL and job.cut.slope == 0:
        flat = Given("flat under the cutter", "b", bowl_flat(job.cutter.diameter, radius), "mm", "cutter")
        formula, inputs = "R - sqrt(R^2 - (max(0, s - b) / 2)^2)", (round_part, step, flat)
    else:
        slope = Given("steepest slope", "t", job.cut.slope, "deg", "kit")
        formula, inputs = "R - sqrt(R^2 - (s / (2 * cos(t)))^2)", (round_part, step, slope)
    book.line("cusp left on the floor", "hc", formula, inputs, found.cusp, "mm", CUSP_SOURCE)
