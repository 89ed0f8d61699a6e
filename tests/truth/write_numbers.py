"""Write the numbers of every demo kit: python tests/truth/write_numbers.py FOLDER [KITS].

The files in `before/` were made so from the state before the laws of size, zero and loose wood were made, those of a
later kit from the state in which it was recorded; they stay as they are, and `changes.yaml` says why a number is
another one today.
"""

from __future__ import annotations

import sys
from pathlib import Path

from printed_numbers import lines, numbers

from kitforge.model.pack import BuildOptions
from kitforge.pipeline import plan_kit
from kitforge.plugins import load_plugins
from kitforge_booklet.build import booklet


def main() -> None:
    folder, kits = Path(sys.argv[1]), Path(sys.argv[2] if len(sys.argv) > 2 else "kits")
    folder.mkdir(parents=True, exist_ok=True)
    plugins = load_plugins()
    for path in sorted(kits.glob("*/kit.yaml")):
        kit, plan = plan_kit(path.parent, plugins)
        found = numbers(kit, plan, booklet(kit, plan, BuildOptions()))
        (folder / f"{path.parent.name}.txt").write_text(lines(found), encoding="utf-8")
        print(f"{path.parent.name}: {len(found)} numbers")


if __name__ == "__main__":
    main()
