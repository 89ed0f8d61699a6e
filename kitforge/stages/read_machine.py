"""A machine of one's own from a file: what stands under `own_machines` in kit.yaml, here at the top of the file."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from kitforge.definition import kinds
from kitforge.definition.positions import Place, Positions
from kitforge.definition.reader import fields_at, nearest
from kitforge.definition.schema import MachineEntry
from kitforge.definition.values import say
from kitforge.definition.yaml_reader import LARGEST_FILE, read_yaml
from kitforge.errors import UnreadableKitError
from kitforge.findings import Finding, Source, sort_findings
from kitforge.stages.resolve_machines import own_machine
from kitforge.stages.resolve_values import Sheet, label
from kitforge.workshop.records import MachineClass

_FATAL = {
    kind.code
    for kind in (kinds.FILE_TOO_LARGE, kinds.NOT_UTF8, kinds.YAML_SYNTAX, kinds.YAML_ROOT, kinds.YAML_TOO_DEEP)
}
_AT = ("own_machines", "mine")
"""Where the schema of a kit has the same fields."""


def read_machine(path: Path) -> MachineClass:
    """Return the machine that a YAML file describes; bare numbers are mm, mm/min, W, N and min-1.

    What the file leaves out is taken from the class that it names under `like`, else from the nearest one. Its key is
    the name of the file. Raises UnreadableKitError with every problem found.
    """
    tree, where, problems = read_yaml(_bytes(path), path.name)
    if any(problem.code in _FATAL for problem in problems):
        raise UnreadableKitError(sort_findings(problems))
    try:
        entry = MachineEntry.model_validate(tree)
    except ValidationError as error:
        problems = [*problems, *_findings(error.errors(include_url=False), where)]
        raise UnreadableKitError(sort_findings(problems)) from None
    sheet = Sheet("mm", where, problems=problems)
    machine = own_machine(sheet, _key(path), entry, ())
    if machine is None or sheet.problems:
        raise UnreadableKitError(sort_findings(sheet.problems))
    return machine


def _key(path: Path) -> str:
    """Return the name of a file as a key: small letters, digits and single dashes."""
    return re.sub(r"[^a-z0-9_]+", "-", path.stem.lower()).strip("-") or "machine"


def _bytes(path: Path) -> bytes:
    try:
        if not path.is_file():
            message, advice = f"There is no file '{path.name}'.", "Name a YAML file that describes one machine."
            raise UnreadableKitError([kinds.FILE_MISSING.found(message, advice, source=Source(path.name))])
        with path.open("rb") as file:
            return file.read(LARGEST_FILE + 1)
    except OSError as error:
        message = f"The file '{path.name}' cannot be opened ({error.strerror or 'unknown reason'})."
        found = kinds.FILE_UNREADABLE.found(message, "Check its rights.", source=Source(path.name))
        raise UnreadableKitError([found]) from None


def _findings(errors: Iterable[Mapping[str, Any]], where: Positions) -> list[Finding]:
    """Return one finding for each place, the first one that was said about it."""
    found: dict[Place, Finding] = {}
    for error in errors:
        place = tuple(step for step in error["loc"] if not (isinstance(step, str) and step.startswith(("~", "["))))
        found.setdefault(place, _finding(error, place, where))
    return list(found.values())


def _finding(error: Mapping[str, Any], place: Place, where: Positions) -> Finding:
    if error["type"] == "extra_forbidden":
        known = fields_at(_AT)
        advice = nearest(str(place[-1]), known) or f"Known here: {', '.join(known)}."
        message = f"The key '{place[-1]}' is not known in {where.file}."
        return kinds.UNKNOWN_KEY.found(message, advice, source=where.key(*place))
    said = error.get("ctx", {}).get("error") if error["type"] == "value_error" else None
    wanted = str(said or f"{say(error['input'])} does not fit here").rstrip(".")
    return kinds.WRONG_VALUE.found(f"{label(place)}: {wanted}.", "", source=where.of(*place))
