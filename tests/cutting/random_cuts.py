"""Random cuts for the tests of the physics: every shape, work, kind of wood, manner of wish, and the corners of each.

The figures of woods and machines are invented; the cutting tables are the shop's own. A seed gives the same cuts
on every machine: only `Random.random` is used, whose numbers are the same in all versions of the language.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

from kitforge.model.settings import Cut, CutterGeometry, CutterKind, RequestedSettings, Retention, Substrate, Work
from kitforge.model.workshop import Fact, MachineClass, Material, MaterialKind, Span
from kitforge.workshop.load import load_workshop

T = TypeVar("T")
INVENTED = "invented for a test"
_LANES = (Work.FACE, Work.SURFACING, Work.POCKET, Work.DISH)
_DIALS: tuple[tuple[tuple[str, float], ...], ...] = (
    (),
    (),
    (),
    (("1", 9000.0), ("2", 13000.0), ("3", 17000.0), ("4", 21000.0), ("5", 26000.0)),
    (("a", 11000.0), ("b", 27000.0)),
)
_COLLETS: tuple[tuple[tuple[float, float], ...], ...] = (
    ((0.5, 13.0),),
    ((1.0, 13.0),),
    ((0.5, 7.0),),
    ((3.175, 3.175), (6.0, 6.0), (6.35, 6.35), (8.0, 8.0), (12.7, 12.7)),
)


@dataclass(frozen=True, slots=True)
class Case:
    """What the settings of one cut are computed from."""

    cut: Cut
    cutter: CutterGeometry
    material: Material
    machine: MachineClass
    wish: RequestedSettings


class Dice:
    """Draws numbers and things."""

    def __init__(self, seed: int) -> None:
        self._random = random.Random(seed)

    def chance(self, share: float) -> bool:
        return self._random.random() < share

    def between(self, low: float, high: float, places: int = 3) -> float:
        return round(low + (high - low) * self._random.random(), places)

    def one_of(self, things: Sequence[T]) -> T:
        return things[int(self._random.random() * len(things))]

    def maybe(self, share: float, low: float, high: float, places: int = 3) -> float | None:
        return self.between(low, high, places) if self.chance(share) else None


def random_cases(seed: int, count: int) -> list[Case]:
    """Return `count` cases of a seed."""
    dice = Dice(seed)
    return [random_case(dice) for _ in range(count)]


def random_case(dice: Dice) -> Case:
    """Return one case."""
    cutter = random_cutter(dice)
    cut = random_cut(dice, cutter)
    return Case(cut, cutter, random_wood(dice), random_machine(dice), random_wish(dice, cutter))


def random_cutter(dice: Dice) -> CutterGeometry:
    """Return a cutter, usual ones more often than odd ones."""
    shape = dice.one_of(tuple(CutterKind))
    diameter = dice.between(12, 60) if shape is CutterKind.SURFACING else dice.between(0.8, 22)
    if dice.chance(0.3):
        diameter = dice.one_of((1.5, 3.0, 3.175, 6.0, 6.35, 8.0, 12.7, 19.05, 25.4))
    edge = dice.between(1.5, 4) * diameter if shape is not CutterKind.SURFACING else 12.0
    return CutterGeometry(
        shape=shape,
        diameter=diameter,
        cutting_length=round(edge, 3),
        shank=dice.one_of((3.175, 6.0, 6.35, 6.35, 8.0, 12.0, 12.7)),
        overall_length=round(edge + dice.between(16, 60), 3),
        flutes=dice.one_of((1, 2, 2, 2, 3, 4)),
        angle=_angle(dice, shape),
        corner_radius=_corner(dice, shape, diameter),
        tip=dice.between(0, 1.2) if shape is CutterKind.V_BIT and dice.chance(0.5) else 0.0,
        centre_cutting=not dice.chance(0.35),
        substrate=dice.one_of(tuple(Substrate)),
        max_speed=dice.maybe(0.3, 6000, 30000, 0),
        helix=dice.maybe(0.2, -40, 45),
        stick_out=dice.maybe(0.2, 12, 50),
    )


def _angle(dice: Dice, shape: CutterKind) -> float | None:
    if shape is CutterKind.V_BIT:
        return None if dice.chance(0.05) else dice.between(15, 150)
    return 118.0 if shape is CutterKind.DRILL else None


def _corner(dice: Dice, shape: CutterKind, diameter: float) -> float:
    if shape is CutterKind.BOWL:
        return 0.0 if dice.chance(0.05) else round(diameter * dice.between(0.1, 0.5), 3)
    return round(diameter * dice.between(0.02, 0.4), 3) if dice.chance(0.1) else 0.0


def random_cut(dice: Dice, cutter: CutterGeometry) -> Cut:
    """Return a cut that the cutter could be used for, and now and then one that it could not."""
    work = Work.DRILL if cutter.shape is CutterKind.DRILL and not dice.chance(0.1) else dice.one_of(tuple(Work))
    finishing = dice.chance(0.4)
    side_stock = dice.between(0.05, 1.5) if finishing and dice.chance(0.7) else 0.0
    depth = dice.between(0.02, 25) if dice.chance(0.7) else dice.between(0.02, 2)
    deeper = dice.chance(0.4)
    return Cut(
        work=work,
        depth=depth,
        finishing=finishing,
        reach=round(depth + dice.between(0, 15), 3) if deeper else None,
        side_stock=side_stock,
        width=dice.maybe(0.5, 0.95 * cutter.diameter, dice.one_of((2, 8)) * cutter.diameter),
        length=dice.maybe(0.5, 40, 600) if dice.chance(0.7) else dice.between(2, 25),
        stepover=dice.maybe(0.15, 0.05 * cutter.diameter, 0.6 * cutter.diameter) if work in _LANES else None,
        cusp=dice.maybe(0.3, 0.002, 0.2),
        slope=dice.between(0, 60) if dice.chance(0.3) else 0.0,
        open_entry=dice.chance(0.2),
        inside_corners=not dice.chance(0.3),
        keeping=_kept(dice.between(2, 300)) if dice.chance(0.3) else None,
    )


def _kept(bears: float) -> Retention:
    """Return tabs that bear so much sideways; every other one bears little upwards."""
    return Retention("holding tabs", bears, lifts=0.2 * bears if int(bears) % 2 else None)


def random_wood(dice: Dice) -> Material:
    """Return a wood or panel of an invented density."""
    kind = dice.one_of(tuple(MaterialKind))
    return Material("wood", "Wood of the test", kind, Fact(dice.between(200, 1200), INVENTED))


def random_machine(dice: Dice) -> MachineClass:
    """Return a machine of invented figures, from a very weak one to a strong one."""
    strength = dice.one_of((0.3, 1.0, 3.0, 10.0, 40.0))
    low = dice.one_of((3000.0, 6000.0, 8000.0, 10000.0))
    return machine_of(
        name="Machine of the test",
        rpm=(low, low + dice.between(4000, 22000, 0), INVENTED),
        cutter_power=(round(120 * strength**0.8, 1), 9000.0, INVENTED),
        force_limit=round(dice.between(20, 60) * strength, 1),
        feed_limit=dice.between(500, 3000, 0) * dice.one_of((1, 1, 2, 5)),
        plunge_limit=dice.between(200, 1500, 0),
        shanks=dice.one_of(_COLLETS),
        collet_text="those of the test",
        dial=dice.one_of(_DIALS),
        source=INVENTED,
    )


def machine_of(
    *,
    name: str,
    rpm: tuple[float, float, str],
    cutter_power: tuple[float, float, str],
    force_limit: float,
    feed_limit: float,
    plunge_limit: float,
    shanks: Sequence[Sequence[float]],
    collet_text: str,
    dial: Sequence[tuple[str, float]],
    source: str,
) -> MachineClass:
    """Return a machine of these figures, which are the weak ends; what the physics does not ask is some class's."""
    low, high, of_speed = rpm
    return replace(
        next(iter(load_workshop().machines.values())),
        key="machine",
        name=name,
        lowest_speed=Span(low, low, of_speed),
        highest_speed=Span(high, high, of_speed),
        cutter_power=Span(*cutter_power),
        side_force=Span(force_limit, force_limit, source),
        feed=Span(feed_limit, feed_limit, source),
        plunge=Span(plunge_limit, plunge_limit, source),
        shanks=tuple(Span(low, high, source) for low, high in shanks),
        collet_text=collet_text,
        dial=tuple((position, speed) for position, speed in dial),
    )


def random_wish(dice: Dice, cutter: CutterGeometry) -> RequestedSettings:
    """Return what an author insists on: nothing most often, else some of the settings."""
    if dice.chance(0.65):
        return RequestedSettings()
    return RequestedSettings(
        speed=dice.one_of((dice.between(7000, 28000, 0), 13000.0)) if dice.chance(0.4) else None,
        feed=dice.maybe(0.4, 150, 6000, 0),
        plunge=dice.maybe(0.3, 60, 1500, 0),
        depth_per_pass=dice.maybe(0.4, 0.2, 1.5 * cutter.diameter),
        stepover=dice.maybe(0.3, 0.05 * cutter.diameter, 0.8 * cutter.diameter),
    )
