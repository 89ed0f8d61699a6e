"""What blocks a cut, what two limits collide over, and what is risky, in words with figures."""

from __future__ import annotations

from collections.abc import Iterator

from kitforge.cutting.chipload import ChipRange
from kitforge.cutting.depth import PIECE_HELD
from kitforge.cutting.entry import cannot_drill
from kitforge.cutting.job import Job
from kitforge.cutting.practice import SLENDER_RATIO
from kitforge.cutting.records import CutSettings, CutterKind, Given, Limit, Problem, Trouble, figure
from kitforge.cutting.stepover import too_narrow

_HELPS = {
    "chip too thin": ("fewer flutes", "a wider stepover"),
    "machine feed": ("fewer flutes", "a class that feeds faster"),
    "machine plunge": ("fewer flutes", "a class that plunges faster"),
    "machine force": ("a smaller cutter", "a stronger class"),
    "spindle power": ("a smaller cutter", "a smaller depth per pass", "a class with more power"),
    "cutter bends": ("a shorter or thicker cutter", "solid carbide instead of steel"),
    "cutter may break": ("a shorter or thicker cutter", "a smaller depth per pass"),
    PIECE_HELD: ("more or wider tabs, or a thicker skin", "tape under the part", "a smaller cutter"),
    "chip too thick": ("a smaller depth per pass", "a thicker cutter"),
    "cutter maximum": ("a cutter marked for a higher speed", "a class with a lower lowest speed"),
    "cutter diameter": ("a smaller cutter", "a class with a lower lowest speed"),
    "machine speed": ("another class",),
    "cutting length": ("a cutter with a longer cutting length",),
    "ridges on the floor": ("a cutter with sharper corners", "a ball nose or bowl cutter"),
    "wanted cusp": ("a higher cusp", "a cutter with a larger radius"),
}


def crossed(job: Job, quantity: str, unit: str, low: Limit, high: Limit) -> Problem:
    """Return the problem that no value satisfies both limits, naming them and what would open the window."""
    remedies = tuple(dict.fromkeys((*_HELPS.get(high.reason, ()), *_HELPS.get(low.reason, ())))) or ("another cutter",)
    gap = "no dial position lies between" if low.value <= high.value else "no value satisfies both"
    message = (
        f"No {quantity} for the {job.cutter.shape} of {figure(job.cutter.diameter)} mm on {job.machine.name}: "
        f"at least {figure(low.value)} {unit} ({low.reason}) and at most {figure(high.value)} {unit} ({high.reason}); "
        f"{gap}."
    )
    return Problem(Trouble.NO_WINDOW, message, remedies, blocking=True, low=low, high=high)


def blocking_problems(job: Job) -> tuple[Problem, ...]:
    """Return everything about shank, width and length that makes the cut impossible, before any setting."""
    return tuple(_blocking(job))


def _blocking(job: Job) -> Iterator[Problem]:
    cutter = job.cutter
    if not job.machine.takes_shank(cutter.shank):
        message = (
            f"A shank of {figure(cutter.shank)} mm does not fit the collets of {job.machine.name}: "
            f"{job.machine.collet_text}."
        )
        yield Problem(Trouble.SHANK, message, ("a cutter with another shank", "a collet or reducer"), blocking=True)
    narrow = too_narrow(job)
    if narrow:
        own = Limit(
            cutter.diameter,
            "cutter diameter",
            "D",
            (Given("diameter", "D", cutter.diameter, "mm", "cutter"),),
            "cutter",
        )
        message = (
            f"The place is {figure(narrow.value)} mm wide at its narrowest, the cutter {figure(cutter.diameter)} mm."
        )
        yield Problem(Trouble.TOO_WIDE, message, ("a smaller cutter",), blocking=True, low=own, high=narrow)
    pointless = cannot_drill(job)
    if pointless:
        yield pointless
    yield from _too_short(job)


def _too_short(job: Job) -> Iterator[Problem]:
    """Yield a cut that the cutter does not reach; whether its shank rubs depends on the wood that stands beside it."""
    cutter, reach = job.cutter, job.reach
    grip = job.data.plunge.least_grip(cutter.shank)
    if cutter.stick_out is not None and reach > cutter.stick_out:
        message = f"The cutter sticks out {figure(cutter.stick_out)} mm, the cut goes {figure(reach)} mm down."
        yield Problem(Trouble.REACH, message, ("let it stick out further", "a longer cutter"), blocking=True)
    elif reach + grip > cutter.overall_length:
        message = (
            f"The cut goes {figure(reach)} mm down and the collet needs {figure(grip)} mm of shank, but the cutter is "
            f"{figure(cutter.overall_length)} mm long."
        )
        yield Problem(Trouble.REACH, message, ("a longer cutter", "a shallower cut"), blocking=True)


def risk_notes(job: Job, found: CutSettings, floor: Limit, chips: ChipRange) -> tuple[Problem, ...]:
    """Return what is risky at the start values: burning, chatter, breaking, short grip, values beyond the tables."""
    return tuple(_risks(job, found, floor, chips))


def _risks(job: Job, found: CutSettings, floor: Limit, chips: ChipRange) -> Iterator[Problem]:
    yield from _burning(job, found, floor)
    yield from _bending(job, found)
    cutter = job.cutter
    held = cutter.overall_length - found.stick_out
    if held < job.data.plunge.least_grip(cutter.shank) - 1e-6:
        message = (
            f"The collet holds only {figure(held)} mm of a {figure(cutter.shank)} mm shank; two diameters are wanted."
        )
        yield Problem(Trouble.SHORT_GRIP, message, ("a longer cutter", "a shallower cut"))
    if chips.beyond:
        message = (
            f"No starting range covers a diameter of {figure(cutter.diameter)} mm; the nearest one was taken "
            f"({chips.start.source})."
        )
        yield Problem(Trouble.BEYOND_TABLE, message, ("follow the cutter maker's chart", "try on scrap"))


def _burning(job: Job, found: CutSettings, floor: Limit) -> Iterator[Problem]:
    least = _least_mean_chip(job, found)
    too_slow = found.chip.feed_per_tooth < floor.value * (1 - 1e-3)
    if too_slow or (found.chip.mean < least * (1 - 1e-3) and not job.is_drilling):
        message = (
            f"Burn risk: the mean chip is {figure(found.chip.mean)} mm at {figure(found.chip.feed_per_tooth)} mm per "
            f"tooth; under {figure(least)} mm the edge rubs more than it cuts."
        )
        yield Problem(Trouble.BURN, message, ("keep the cutter sharp and moving", "feed faster or turn slower"))


def _least_mean_chip(job: Job, found: CutSettings) -> float:
    """Return the mean chip under which a cut burns: the roughing floor, or a new edge's radius for a finishing pass."""
    rubbing = job.data.rubbing
    if found.chip.effective_diameter < rubbing.split_diameter.value:
        scale = rubbing.feed_per_tooth_small.value / rubbing.feed_per_tooth.value
    else:
        scale = 1.0
    return scale * (rubbing.edge_radius_new.high if job.cut.finishing else rubbing.mean_chip.value)


def _bending(job: Job, found: CutSettings) -> Iterator[Problem]:
    cutter = job.cutter
    shaped = cutter.shape in (CutterKind.V_BIT, CutterKind.BOWL, CutterKind.SURFACING)
    front = 0.0 if shaped else cutter.cutting_length / cutter.diameter
    slender = max(front, found.stick_out / cutter.shank)
    if slender >= SLENDER_RATIO and not job.is_drilling:
        message = (
            f"Chatter risk: the cutter is {slender:.1f} times as long as it is thick; from {SLENDER_RATIO:g} on it "
            "tends to sing."
        )
        yield Problem(Trouble.CHATTER, message, ("push the cutter further into the collet", "a shorter cutter"))
    strength = job.tool_material.allowable_stress
    if strength is not None and found.loads.bending_stress > strength.value * (1 + 1e-3):
        message = (
            f"The cutter is stressed to {figure(found.loads.bending_stress)} MPa; {figure(strength.value)} MPa is "
            "allowed."
        )
        yield Problem(Trouble.FRAGILE, message, ("a smaller depth per pass", "a shorter or thicker cutter"))
