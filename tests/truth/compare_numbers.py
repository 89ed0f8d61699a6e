"""Print every number of the demo kits that is another one than before and has no entry in changes.yaml.

python tests/truth/compare_numbers.py [KIT ...]      about ten seconds a kit
"""

from __future__ import annotations

import sys
from pathlib import Path

from changed_numbers import book, kits_before
from printed_numbers import numbers

from kitforge.model.pack import BuildOptions
from kitforge.pipeline import plan_kit
from kitforge.plugins import load_plugins
from kitforge_booklet.build import booklet


def main() -> None:
    kits, plugins, changes = sys.argv[1:] or kits_before(), load_plugins(), book()
    for name in kits:
        kit, plan = plan_kit(Path("kits") / name, plugins)
        for found in changes.uncovered(name, numbers(kit, plan, booklet(kit, plan, BuildOptions()))):
            print(found)
    if not sys.argv[1:]:
        print(*(f"unused entry: {line}" for line in changes.unused()), sep="\n")


if __name__ == "__main__":
    main()
