"""Cutters of one's own from a file: as under `cutters` in kit.yaml, by the keys of those in whose place they go."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field

from kitforge.definition.reader import read_as
from kitforge.definition.schema import CutterEntry
from kitforge.definition.shapes import Entry
from kitforge.definition.values import Key
from kitforge.model.errors import UnreadableKitError
from kitforge.model.findings import Severity, sort_findings
from kitforge.model.kit import Cutter
from kitforge.model.messages import msg
from kitforge.resolve.values import ResolveContext
from kitforge.resolve.workshop import resolve_cutter
from kitforge.stages.printable import report_texts
from kitforge.stages.read_machine import bytes_of

_WANTED = msg("Name a YAML file that describes one or more cutters.")


class CuttersFile(Entry):
    """Cutters of a reader's, by the keys that the kit has for those in whose place they go."""

    cutters: Annotated[dict[Key, CutterEntry], Field(min_length=1, max_length=100)]
    units: Literal["mm", "in"] = "mm"


def read_cutters(path: Path) -> tuple[Cutter, ...]:
    """Return the cutters that a YAML file describes. Raises UnreadableKitError with every problem found."""
    entry, where, problems = read_as(CuttersFile, bytes_of(path, _WANTED), path.name)
    if entry is None:
        raise UnreadableKitError(sort_findings(problems))
    sheet = ResolveContext(entry.units, where, problems=problems)
    report_texts(sheet, entry)
    found = tuple(resolve_cutter(sheet, key, one) for key, one in entry.cutters.items())
    if any(problem.severity is Severity.ERROR for problem in sheet.problems):
        raise UnreadableKitError(sort_findings(sheet.problems), entry.units)
    return found
