"""The lines of the calculation that belong to no single limit. Every formula can be worked from its own inputs.

Formulas are written with * and ^ and in the symbols of their inputs; cos and tan take degrees, acos gives radians.
"""

from __future__ import annotations

from kitforge.cutting.chips import engaged_teeth, maximum_chip, mean_chip_ratio
from kitforge.cutting.job import Engagement, Job, round_radius, stick_out
from kitforge.cutting.loads import Stiffness, front_diameter
from kitforge.cutting.notebook import Notebook
from kitforge.cutting.practice import COLLET_CLEARANCE, FLUTE_RUN_OUT
from kitforge.cutting.records import DERIVED, CutSettings, CutterShape, Given
from kitforge.cutting.shape import bowl_flat
from kitforge.cutting.stepover import CUSP_SOURCE
from kitforge.workshop.load import citation
from kitforge.workshop.records import Fact

HERE = "this calculation"
MILLING = "milling formulae, general catalogue of a cutting-tool maker"
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
    modulus = job.given("modulus of elasticity", "E", job.tool_material.modulus, "MPa")
    formula = "64 / (3 * pi * E) * (l1^3 / d1^4 + (L^3 - l1^3) / DMM^4)"
    book.line("bending per N", "c", formula, (modulus, out, fluted, core, shank), bend.compliance, "mm/N", BEAM)
    formula = "32 / pi * max(l1 / d1^3, L / DMM^3)"
    book.line("bending stress per N", "cs", formula, (out, fluted, core, shank), bend.stress, "MPa/N", BEAM)


def write_force_constant(job: Job, grain: Fact, symbol: str, use: str, book: Notebook) -> None:
    """Write down the constant A of kc = A h^-m."""
    constants = job.data.cutting_force
    inputs = (
        job.given("specific force at the reference chip", "kc_ref", constants.kc_ref, "N/mm2"),
        job.given("reference chip", "h_ref", constants.h_ref, "mm"),
        job.given("exponent of the chip", "m", constants.m, ""),
        Given("density of the wood", "rho", job.material.density.value, "kg/m3", citation(job.material.density.source)),
        job.given("reference density", "rho_ref", constants.density_ref, "kg/m3"),
        job.given("exponent of the density", "nd", constants.n, ""),
        job.given("direction to the grain", "g", grain, ""),
        job.given("used edge", "w", job.data.wear_factors.used, ""),
        Given("upper end of the band", "b", constants.band.high, "", job.cite(constants.band)),
    )
    formula = "kc_ref * h_ref^m * (rho / rho_ref)^nd * g * w * b"
    book.line(f"force constant for {use}", symbol, formula, inputs, force_constant(job, grain), "N/mm2 mm^m", DERIVED)


def write_loads(
    job: Job, found: CutSettings, engaged: Engagement, depth: float, bend: Stiffness, book: Notebook
) -> None:
    """Write down force, lift, power, bending and cusp at the start values, for a pass `depth` mm deep."""
    _write_force(job, found, engaged, depth, bend, book)
    _write_power(job, found, engaged, book)
    _write_cusp(job, found, book)


def _write_force(
    job: Job, found: CutSettings, engaged: Engagement, depth: float, bend: Stiffness, book: Notebook
) -> None:
    load, fz = found.loads, found.chip.feed_per_tooth
    thickest = maximum_chip(fz, engaged.worst)
    chip = Given("thickest chip met, in corners and first lanes", "h", thickest, "mm", HERE)
    kc = _write_specific(job, thickest * engaged.ratio, "Af", job.worst_grain, "kc", book)
    deep = job.cutter.diameter / 2 if job.is_drilling else depth
    edge = Given("depth of the edge in the wood", "ap", deep, "mm", HERE)
    book.line("force of one tooth", "Ft", "kc * ap * h", (kc, edge, chip), load.tooth_force, "N", "ISO 3002-4")
    tooth = Given("force of one tooth", "Ft", load.tooth_force, "N", HERE)
    side = job.given("side force over tooth force", "ks", job.data.force_ratios.side_resultant, "")
    teeth = Given("teeth that cut at once", "t", engaged_teeth(job.cutter.flutes, engaged.worst), "", DERIVED)
    book.line("side force", "Fs", "ks * Ft * t", (side, tooth, teeth), load.side_force, "N", DERIVED)
    helix = Given("helix, 0 where it does not lift", "helix", max(0.0, job.cutter.helix_angle), "deg", "cutter")
    book.line("lift", "Fa", "Ft * tan(helix)", (tooth, helix), load.lift, "N", DERIVED)
    if not job.is_drilling:
        force = Given("side force", "Fs", load.side_force, "N", HERE)
        per_newton = Given("bending per N", "c", bend.compliance, "mm/N", HERE)
        book.line("deflection of the tip", "d", "Fs * c", (force, per_newton), load.deflection, "mm", BEAM)


def _write_power(job: Job, found: CutSettings, engaged: Engagement, book: Notebook) -> None:
    load, fz = found.loads, found.chip.feed_per_tooth
    mean = fz * mean_chip_ratio(engaged.worst) * engaged.ratio
    kc = _write_specific(job, mean, "Ap", job.mean_grain, "kcm", book)
    inputs = (
        Given("largest section cut", "S", engaged.section, "mm2", DERIVED),
        Given("feed", "vf", found.feed.start, "mm/min", HERE),
    )
    book.line("removal rate", "Q", "S * vf", inputs, load.removal, "mm3/min", MILLING)
    rate = Given("removal rate", "Q", load.removal, "mm3/min", HERE)
    book.line("power at the cutter", "P", "kcm * Q / 60000", (kc, rate), load.power, "W", MILLING)


def _write_specific(job: Job, chip: float, constant: str, grain: Fact, symbol: str, book: Notebook) -> Given:
    model = job.model
    held = min(max(chip, model.thinnest), model.thickest)
    value = model.specific_force(chip, job.material.density.value, grain.value, job.unfavourable)
    inputs = (
        Given("force constant", constant, force_constant(job, grain), "N/mm2 mm^m", HERE),
        Given(f"chip, held within {model.thinnest:g} to {model.thickest:g}", "h", held, "mm", HERE),
        Given("exponent of the chip", "m", model.chip_exponent, "", DERIVED),
    )
    book.line("specific force, unfavourable end", symbol, f"{constant} * h^-m", inputs, value, "N/mm2", DERIVED)
    return Given("specific force", symbol, value, "N/mm2", HERE)


def _write_cusp(job: Job, found: CutSettings, book: Notebook) -> None:
    if found.cusp is None or found.stepover is None:
        return
    radius = round_radius(job.cutter)
    round_part = Given("radius of the round", "R", radius, "mm", "cutter")
    step = Given("stepover", "s", found.stepover.start, "mm", HERE)
    if job.cutter.shape is CutterShape.BOWL and job.cut.slope == 0:
        flat = Given("flat under the cutter", "b", bowl_flat(job.cutter.diameter, radius), "mm", "cutter")
        formula, inputs = "R - sqrt(R^2 - (max(0, s - b) / 2)^2)", (round_part, step, flat)
    else:
        slope = Given("steepest slope", "t", job.cut.slope, "deg", "kit")
        formula, inputs = "R - sqrt(R^2 - (s / (2 * cos(t)))^2)", (round_part, step, slope)
    book.line("cusp left on the floor", "hc", formula, inputs, found.cusp, "mm", CUSP_SOURCE)
