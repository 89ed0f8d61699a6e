"""How long settings take: ten steps on five classes, and a long path. Prints; decides nothing."""

from __future__ import annotations

from time import perf_counter

from kitforge.cutting.motion import Travel, path_time
from kitforge.cutting.records import Cut, CutterGeometry, CutterShape, Substrate, Work
from kitforge.cutting.settings import settings
from kitforge.workshop.cutting_data import cutting_data
from kitforge.workshop.load import load_workshop

QUARTER = CutterGeometry(CutterShape.UP_CUT, 6.35, 19.05, 6.35, 50.8, 2)
BOWL = CutterGeometry(
    CutterShape.BOWL, 19.05, 15.9, 6.35, 55, 2, corner_radius=6.35, centre_cutting=False, substrate=Substrate.TIPPED
)
VEE = CutterGeometry(CutterShape.V_BIT, 12.7, 11, 6.35, 45, 2, angle=60, substrate=Substrate.TIPPED)
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
        start = perf_counter()
        for machine in shop.machines.values():
            for cut, cutter in STEPS:
                settings(cut, cutter, maple, machine, data)
        best = min(best, perf_counter() - start)
    return best * 1000


def time_path(pieces: int = 100_000) -> float:
    """Return milliseconds for the time of a path of many short lines, numpy already imported."""
    travel = Travel([0.2] * pieces, [178.0] * (pieces - 1))
    path_time(travel, 40, 500, 0.01)
    start = perf_counter()
    path_time(travel, 40, 500, 0.01)
    return (perf_counter() - start) * 1000


def main() -> None:
    """Print the figures beside what was wanted."""
    wanted = 50.0
    took = time_settings()
    print(f"ten steps x five classes: {took:.1f} ms, {took / wanted:.2f} of the {wanted:.0f} ms wanted")
    print(f"path of 100 000 pieces: {time_path():.1f} ms")


if __name__ == "__main__":
    main()
