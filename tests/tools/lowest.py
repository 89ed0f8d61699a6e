"""The least versions that pyproject.toml promises to work with, one requirement a line: for `make lowest`.

python tests/tools/lowest.py          # numpy==2.0 and so on
"""

from __future__ import annotations

import sys
import tomllib
from pathlib import Path

from packaging.requirements import Requirement

TOP = Path(__file__).parents[2]


def lowest(top: Path = TOP) -> list[str]:
    """Return every dependency at its lower bound. Raises ValueError for one that has none."""
    with (top / "pyproject.toml").open("rb") as file:
        wanted = tomllib.load(file)["project"]["dependencies"]
    found = []
    for line in wanted:
        requirement = Requirement(line)
        least = [bound.version for bound in requirement.specifier if bound.operator in (">=", "==")]
        if len(least) != 1:
            raise ValueError(f"{line} says no least version")
        found.append(f"{requirement.name}=={least[0]}")
    return found


if __name__ == "__main__":
    sys.stdout.write("\n".join(lowest()) + "\n")
