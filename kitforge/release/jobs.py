"""What is to be done with one kit, as plain values that travel to any process."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from pathlib import Path
from typing import TYPE_CHECKING

from kitforge.model.family import AS_WRITTEN, KitChoice
from kitforge.model.pack import BuildOptions
from kitforge.model.record import record
from kitforge.release.findings.rows import MOST_FINDINGS

if TYPE_CHECKING:
    from kitforge.model.kit import Cutter
    from kitforge.model.workshop import MachineClass


@record
class CheckJob:
    """Check a kit. report: a file to draw the findings in; most: findings to tell; language: of their words.

    choice: which of its sizes, and values for parameters.
    """

    folder: Path
    report: Path | None = None
    most: int = MOST_FINDINGS
    language: str = "en"
    choice: KitChoice = AS_WRITTEN


@record
class BuildJob:
    """Build a kit's zip into the folder `output`.

    keep: zips of the same call not to be replaced, and their kits; cached: whether what an earlier build made may be
    found again in the user's cache; cutters: the reader's own, in the place of the kit's; choice: which of its sizes,
    and values for parameters; together: sizes to pack into one zip, in the place of `choice.size`; told: whether their
    findings are told by jobs of their own.
    """

    folder: Path
    output: Path
    options: BuildOptions
    machine: MachineClass | None = None
    strict: bool = False
    most: int = MOST_FINDINGS
    keep: Mapping[Path, Path] = field(default_factory=dict)
    cached: bool = False
    cutters: tuple[Cutter, ...] = ()
    choice: KitChoice = AS_WRITTEN
    together: tuple[str, ...] = ()
    told: bool = False
