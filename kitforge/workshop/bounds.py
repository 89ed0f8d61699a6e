"""What a figure of a machine may be: alike for an author's own machine and for a class that a plugin adds."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from types import MappingProxyType

from kitforge.model.workshop import MachineClass, Material, Span, Workshop

LIMITS: Mapping[str, tuple[float, float, str]] = MappingProxyType(
    {
        "area": (10, 20000, "mm"),
        "z_travel": (5, 2000, "mm"),
        "clearance": (5, 2000, "mm"),
        "rpm": (500, 100000, "min-1"),
        "dial": (500, 100000, "min-1"),
        "power": (5, 50000, "W"),
        "force_limit": (1, 20000, "N"),
        "feed_limit": (10, 200000, "mm/min"),
        "plunge_limit": (10, 200000, "mm/min"),
        "acceleration": (1, 50000, "mm/s2"),
        "collets": (0.5, 50, "mm"),
        "nut": (3, 200, "mm"),
    }
)
"""Lowest, highest and unit of each figure, by its name in kit.yaml: wide enough for every router, common practice."""

_DENSITY = (30, 1600)
"""kg/m3: lighter than balsa and heavier than every wood, common practice."""


def faults_of(tables: Workshop) -> Iterator[str]:
    """Yield what is wrong with the figures of machine classes and materials, each in one sentence."""
    for key, machine in tables.machines.items():
        for name, span in _spans(machine):
            low, high, unit = LIMITS[name]
            if not _within(span.low, low, high) or not _within(span.high, low, high) or span.low > span.high:
                yield f"machine '{key}', {name}: {span.low:g} to {span.high:g} {unit}; {low:g} to {high:g} is possible"
        if machine.lowest_speed.high > machine.highest_speed.low:
            yield f"machine '{key}': its lowest speed lies above its highest"
    for key, material in tables.materials.items():
        yield from _material_faults(key, material)


def _material_faults(key: str, material: Material) -> Iterator[str]:
    low, high = _DENSITY
    if not _within(material.density.value, low, high):
        yield f"material '{key}', density: {material.density.value:g} kg/m3; {low:g} to {high:g} is possible"
    for name in ("specific_gravity", "hardness", "shear_parallel", "tension_across", "modulus_of_rupture"):
        fact = getattr(material, name)
        if fact is not None and not (math.isfinite(fact.value) and fact.value > 0):
            yield f"material '{key}', {name}: {fact.value:g}; more than 0 is possible"


def _spans(machine: MachineClass) -> Iterator[tuple[str, Span]]:
    yield from (("area", side) for side in machine.area)
    yield from (("rpm", speed) for speed in (machine.lowest_speed, machine.highest_speed))
    yield from (("collets", shank) for shank in machine.shanks)
    yield "z_travel", machine.z_travel
    yield "clearance", machine.clearance
    yield "power", machine.cutter_power
    yield "force_limit", machine.side_force
    yield "feed_limit", machine.feed
    yield "plunge_limit", machine.plunge
    yield "acceleration", machine.acceleration
    yield "nut", machine.nut


def _within(value: float, low: float, high: float) -> bool:
    return math.isfinite(value) and low <= value <= high
