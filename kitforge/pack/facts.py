"""What a kit is in figures, as plain values: sizes, wood, cutters, joints, order and settings, to compare packs by.

Lengths mm, angles degrees, speeds min-1, feeds mm/min, to ten digits: the last of seventeen hang on the machine.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from typing import TYPE_CHECKING, TypedDict

from kitforge.files.artefacts import pieces
from kitforge.files.cache import key_of
from kitforge.model.needs import JointNeed
from kitforge.model.passes import Passes
from kitforge.model.plan import served
from kitforge.planning.overall import part_extent

if TYPE_CHECKING:
    from kitforge.model.kit import Cutter, Kit, Part
    from kitforge.model.plan import MachinePlan, Plan
    from kitforge.model.settings import Window
    from kitforge.model.steps import StepSettings

Figures = list[float]
_NAMES = ("speed", "feed", "plunge", "depth_per_pass", "stepover")


class PartFacts(TypedDict):
    """A part: how many, its box and thickness mm, and a sum over its outline and everything that is cut into it."""

    title: str
    count: int
    size: Figures
    shape: str


class JointFacts(TypedDict):
    """A slot of `part` that takes `takes`: sizes of slots and of what goes in, mm, in pairs, and the play asked for."""

    part: str
    takes: str
    clearance: Figures
    slots: list[Figures]


class KitFacts(TypedDict):
    """All of it. settings: by machine class and step; each setting is low, start, high, or one number."""

    parts: dict[str, PartFacts]
    stock: dict[str, str]
    cutters: dict[str, str]
    joints: dict[str, JointFacts]
    steps: list[str]
    settings: dict[str, dict[str, dict[str, Figures]]]


def facts_of(kit: Kit, plan: Plan, machines: Sequence[MachinePlan] | None = None) -> KitFacts:
    """Return the facts of a kit, with the settings of the classes that it fits among `machines`, or among all."""
    chosen = plan.machines if machines is None else machines
    return {
        "parts": {part.key: _part(part) for part in kit.parts},
        "stock": {
            stock.key: f"{stock.material.key} {_size(stock.length, stock.width, stock.actual)}"
            for stock in kit.stock.values()
        },
        "cutters": {cutter.key: _cutter(cutter) for cutter in plan.cutters},
        "joints": {f"{need.part}/{need.feature}/{need.takes}": found for need, found in _joints(kit, plan)},
        "steps": [step.key for step in plan.steps],
        "settings": {
            machine.machine.key: {
                step.key: _settings(machine.settings[step.key], step.top, step.depth)
                for step in plan.steps
                if step.key in machine.settings
            }
            for machine in served(chosen)
        },
    }


def _part(part: Part) -> PartFacts:
    extent = part_extent(part)
    cuts = [
        (one.name, one.does, one.face, one.side, one.shapes, one.points, one.depth, one.through)
        for one in part.operations
    ]
    return {
        "title": str(part.title),
        "count": part.count,
        "size": [_digits(extent.along), _digits(extent.across), _digits(part.thickness)],
        "shape": key_of("shape", *pieces((part.outline, cuts))).rpartition("-")[2],
    }


def _cutter(cutter: Cutter) -> str:
    words = [cutter.kind.value, f"Ø {_plain(cutter.diameter)}", f"{cutter.flutes} flutes"]
    words += [f"{_plain(cutter.cutting_length)} long", f"shank {_plain(cutter.shank)}"]
    words += [f"{_plain(cutter.angle)}°"] if cutter.angle is not None else []
    words += [f"corner {_plain(cutter.corner_radius)}"] if cutter.corner_radius else []
    return ", ".join(words)


def _joints(kit: Kit, plan: Plan) -> list[tuple[JointNeed, JointFacts]]:
    from kitforge.planning.joints import slots_of

    found: list[tuple[JointNeed, JointFacts]] = []
    for need in (one for one in kit.needs if isinstance(one, JointNeed)):
        slots = [[_digits(fit.slot), _digits(fit.part)] for slot in slots_of(kit, plan, need) for fit in slot.fits]
        low, high = need.clearance
        found.append((need, {"part": need.part, "takes": need.takes, "clearance": [low, high], "slots": slots}))
    return found


def _settings(settings: StepSettings, top: float, depth: float) -> dict[str, Figures]:
    found: dict[str, Figures] = {}
    for name in _NAMES:
        window: Window | None = getattr(settings, name)
        if window is not None:
            found[name] = [_digits(value) for value in (window.low, window.start, window.high)]
    passes = settings.in_mm or Passes(settings.passes, settings.depth_per_pass.start)
    single = {"starts_at": top, "depth": depth, "passes": float(passes.count), "stick_out": settings.stick_out}
    return found | {name: [_digits(value)] for name, value in single.items()}


def tables_sum() -> str:
    """Return a sum over the workshop's tables: materials, machine classes, cutting data and the others."""
    from importlib.resources import files

    found = hashlib.sha256()
    for entry in sorted(files("kitforge.workshop").joinpath("data").iterdir(), key=lambda one: one.name):
        if entry.is_file():
            found.update(entry.name.encode() + b"\0" + hashlib.sha256(entry.read_bytes()).digest())
    return found.hexdigest()


def library_versions() -> dict[str, str]:
    """Return the versions of all libraries that can change a pack's bytes, Python's and the system's among them."""
    import sys
    import zlib
    from importlib.metadata import PackageNotFoundError, version

    from kitforge.files.builder import printing_libraries

    found = {"python": f"{sys.version_info[0]}.{sys.version_info[1]}", "zlib": zlib.ZLIB_RUNTIME_VERSION}
    for name in LIBRARIES:
        try:
            found[name] = version(name)
        except PackageNotFoundError:
            continue
    return dict(sorted({**found, **printing_libraries()}.items()))


LIBRARIES = (
    "ezdxf", "fonttools", "jinja2", "numpy", "pillow", "pydyf", "pyphen", "scipy", "shapely",
    "tinycss2", "tinyhtml5", "weasyprint",
)  # fmt: skip
"""Distributions whose code computes, draws or writes what a pack holds."""


def _size(*sides: float) -> str:
    return " × ".join(_plain(side) for side in sides)


def _plain(value: float) -> str:
    return f"{value:.4g}"


def _digits(value: float) -> float:
    return float(f"{value:.10g}")
