"""How long settings take: formulas, the plugin with the time of real paths, a long path, a large pocket. Only prints.

Run in the project's folder.
"""

from __future__ import annotations

from pathlib import Path
from time import process_time

from kitforge.cutting.motion import TimedTravel, path_time
from kitforge.cutting.settings import settings
from kitforge.geometry.region import QUADRANT_SEGMENTS
from kitforge.geometry.shapes import polyline
from kitforge.model.findings import Source
from kitforge.model.kit import Cutter, Face, Kit, Operation, OperationKind, PassOptions, Side
from kitforge.model.settings import Cut, CutterGeometry, CutterKind, Substrate, Work
from kitforge.model.steps import BlockedStep, Step, StepSettings
from kitforge.model.workshop import MachineClass
from kitforge.pipeline import load_kit
from kitforge.planning.areas import area_of
from kitforge.plugins import Plugins, load_plugins
from kitforge.stages.planning import plan
from kitforge.workshop.cutting_data import cutting_data
from kitforge.workshop.load import load_workshop

QUARTER = CutterGeometry(CutterKind.UP_CUT, 6.35, 19.05, 6.35, 50.8, 2)
BOWL = CutterGeometry(
    CutterKind.BOWL, 19.05, 15.9, 6.35, 55, 2, corner_radius=6.35, centre_cutting=False, substrate=Substrate.TIPPED
)
VEE = CutterGeometry(CutterKind.V_BIT, 12.7, 11, 6.35, 45, 2, angle=60, substrate=Substrate.TIPPED)
STEPS = (
    (Cut(Work.SURFACING, 0.5), QUARTER),
    (Cut(Work.POCKET, 12, width=60, length=300), QUARTER),
    (Cut(Work.POCKET, 12, finishing=True, side_stock=0.3, length=300), QUARTER),
    (Cut(Work.DISH, 8, width=150, length=400), BOWL),
    (Cut(Work.DISH, 0.13, finishing=True, reach=8, cusp=0.02), BOWL),
    (Cut(Work.GROOVE, 2), VEE),
    (Cut(Work.GROOVE, 3, length=200), QUARTER),
    (Cut(Work.DRILL, 12), QUARTER),
    (Cut(Work.CHAMFER, 1), VEE),
    (Cut(Work.PROFILE, 18.5, length=900), QUARTER),
)


def time_settings(rounds: int = 20) -> float:
    """Return milliseconds for ten steps on five classes, the best of `rounds`."""
    shop, data = load_workshop(), cutting_data()
    maple, best = shop.materials["sugar_maple"], float("inf")
    for _ in range(rounds):
        start = process_time()
        for machine in shop.machines.values():
            for cut, cutter in STEPS:
                settings(cut, cutter, maple, machine, data)
        best = min(best, process_time() - start)
    return best * 1000


def time_path(pieces: int = 100_000) -> float:
    """Return milliseconds for the time of a path of many short lines, numpy already imported."""
    travel = TimedTravel([0.2] * pieces, [178.0] * (pieces - 1))
    path_time(travel, 40, 500, 0.01)
    start = process_time()
    path_time(travel, 40, 500, 0.01)
    return (process_time() - start) * 1000


class TimedPlugins:
    """Plugins, with the time that the settings take as whoever calls them sees it."""

    def __init__(self, plugins: Plugins) -> None:
        self.plugins, self.seconds = plugins, list[float]()

    def step_settings(self, kit: Kit, step: Step, machine: MachineClass) -> StepSettings | BlockedStep | None:
        """Return what the plugin says, and keep how long its call took."""
        start = process_time()
        found = self.plugins.step_settings(kit, step, machine)
        self.seconds.append(process_time() - start)
        return found


def time_plugin(folder: Path, rounds: int = 5) -> tuple[float, float]:
    """Return milliseconds through the plugin for each ten steps on five classes of a kit, and for the rest of its plan.

    Measured around the plugin's calls while the kit is planned afresh: nothing of these steps is known from before, and
    all settings that a plan asks for count, those of flattening and of check holes too. Of each call the best of
    `rounds` fresh plans counts; tables and programs, which serve all kits, are loaded before.
    """
    plugins = load_plugins()
    plan(load_kit(folder, plugins), plugins)
    calls, rest = list[list[float]](), float("inf")
    for _ in range(rounds):
        kit, timed = load_kit(folder, plugins), TimedPlugins(plugins)
        start = process_time()
        plan(kit, timed)  # type: ignore[arg-type]
        rest = min(rest, process_time() - start - sum(timed.seconds))
        calls.append(timed.seconds)
    best = [min(times) for times in zip(*calls, strict=True)]
    return sum(best) / len(best) * 50 * 1000, rest * 1000


def time_numpy(cases: int = 50, rounds: int = 20) -> float:
    """Return milliseconds for a bare numpy pass over the main formulas, all cases at once, without limits."""
    import numpy as np

    speed, flutes, depth = np.full(cases, 18_000.0), np.full(cases, 2.0), np.linspace(0.5, 6, cases)
    best = float("inf")
    for _ in range(rounds):
        start = process_time()
        for _try in range(40):  # the depth is found by trial
            feed = np.minimum(0.08 * flutes * speed, 3000.0)
            chip = np.clip(feed / (flutes * speed), 0.02, 0.4)
            force = 1.1 * 73.0 * chip ** (1 - 0.4) * depth
            power = 55.0 * (chip * 2 / np.pi) ** -0.4 * 6.35 * depth * feed / 60_000
            np.minimum(force * 3e-4, power)
        best = min(best, process_time() - start)
    return best * 1000


def time_pocket(vertices: int = 100_000) -> tuple[float, float]:
    """Return milliseconds for the path of a pocket with very many vertices, and for its bare offsets in shapely."""
    import numpy as np
    from shapely import Polygon

    turn = np.linspace(0, 2 * np.pi, vertices, endpoint=False)
    radius = 60 + 3 * np.sin(7 * turn)
    line = [(float(x), float(y)) for x, y in zip(radius * np.cos(turn), radius * np.sin(turn), strict=True)]
    cutter = Cutter("c", "c", CutterKind.UP_CUT, 6.35, 20.0, 6.35, 60.0, 2, Source("bench"))
    shape, wish = polyline(line, closed=True), PassOptions(cutter)
    operation = Operation(
        "p",
        "p",
        OperationKind.POCKET,
        "p",
        (shape,),
        (),
        5.0,
        False,
        0.0,
        Face.TOP,
        Side.INSIDE,
        None,
        wish,
        Source("bench"),
    )
    start = process_time()
    area_of(operation, cutter, 2.54, 0.0, floor=True)
    ours = process_time() - start
    start = process_time()
    inner = Polygon(line).buffer(-3.175, quad_segs=QUADRANT_SEGMENTS)
    while not inner.is_empty:
        inner = inner.buffer(-2.54, quad_segs=QUADRANT_SEGMENTS)
    return ours * 1000, (process_time() - start) * 1000


def main() -> None:
    """Print the figures beside what was wanted."""
    wanted, bare = 20.0, time_numpy()
    kits = {folder.parent.name: time_plugin(folder.parent) for folder in sorted(Path("kits").glob("*/kit.yaml"))}
    rows = [("formulas alone", time_settings()), *((f"plugin, {name}", took) for name, (took, _rest) in kits.items())]
    for name, took in rows:
        print(f"ten steps x five classes, {name}: {took:.1f} ms, {took / wanted:.2f} of the {wanted:.0f} ms wanted, ")
        print(f"    {took / bare:.0f} x a bare numpy pass over the formulas ({bare:.2f} ms), without limits and words")
    print("the rest of the plan, geometry of the steps included:", end=" ")
    print(", ".join(f"{name} {rest:.0f} ms" for name, (_took, rest) in kits.items()))
    print(f"path of 100 000 pieces: {time_path():.1f} ms")
    ours, offsets = time_pocket()
    print(f"pocket of 100 000 vertices: {ours:.0f} ms, {ours / offsets:.2f} x the bare offsets ({offsets:.0f} ms)")


if __name__ == "__main__":
    main()
