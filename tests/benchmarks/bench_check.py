"""What `kitforge check` costs: processor seconds and memory at the peak, by kind of drawing and for the demo kits.

Run as a script; words after its name choose the kinds and kits that hold them in their names.
"""

import os
import pathlib
import sys
import tempfile

ROOT = pathlib.Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "tests" / "drawings"))


def cost_of(folder: pathlib.Path) -> tuple[float, float]:
    """Return processor seconds and MB at the peak of a check in a process of its own."""
    child = os.fork()
    if child == 0:
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, 1)
        os.dup2(nowhere, 2)
        os.execv(sys.executable, [sys.executable, "-m", "kitforge", "check", str(folder)])
    _, _, used = os.wait4(child, 0)
    return used.ru_utime + used.ru_stime, used.ru_maxrss / 1024


def main() -> None:
    """Print a table."""
    from dense import KINDS, write_kit

    wanted = sys.argv[1:]
    print(f"{'drawing or kit':48} {'s':>6} {'MB':>6}")
    for kind in [one for one in KINDS if not wanted or any(word in one for word in wanted)]:
        with tempfile.TemporaryDirectory() as folder:
            write_kit(kind, pathlib.Path(folder))
            print("{:48} {:6.1f} {:6.0f}".format(kind, *cost_of(pathlib.Path(folder))), flush=True)
    for kit in sorted(path.parent for path in (ROOT / "kits").glob("*/kit.yaml")):
        if not wanted or any(word in kit.name for word in wanted):
            print("{:48} {:6.1f} {:6.0f}".format(f"kits/{kit.name}", *cost_of(kit)), flush=True)


if __name__ == "__main__":
    main()
