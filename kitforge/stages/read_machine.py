"""A machine of one's own from a file: what stands under `own_machines` in kit.yaml, here at the top of the file."""

from __future__ import annotations

import re
from pathlib import Path

from kitforge.definition import kinds
from kitforge.definition.machines import MachineEntry
from kitforge.definition.reader import read_as
from kitforge.definition.yaml_reader import LARGEST_FILE
from kitforge.model.errors import UnreadableKitError
from kitforge.model.findings import Severity, Source, sort_findings
from kitforge.model.messages import Message, msg
from kitforge.model.workshop import MachineClass
from kitforge.resolve.machines import own_machine
from kitforge.resolve.values import ResolveContext
from kitforge.stages.printable import report_texts


def read_machine(path: Path) -> MachineClass:
    """Return the machine that a YAML file describes; bare numbers are mm, mm/min, W, N and min-1.

    What the file leaves out is taken from the class that it names under `like`, else from the nearest one. Its key is
    the name of the file. Raises UnreadableKitError with every problem found.
    """
    return machine_of(bytes_of(path, msg("Name a YAML file that describes one machine.")), path)


def machine_of(data: bytes, path: Path) -> MachineClass:
    """Return the machine that a text describes, as `read_machine` does; path: what its file is called."""
    entry, where, problems = read_as(MachineEntry, data, path.name)
    if entry is None:
        raise UnreadableKitError(sort_findings(problems))
    sheet = ResolveContext("mm", where, problems=problems)
    report_texts(sheet, entry)
    machine = own_machine(sheet, key_of_file(path), entry, ())
    if machine is None or any(problem.severity is Severity.ERROR for problem in sheet.problems):
        raise UnreadableKitError(sort_findings(sheet.problems))
    return machine


def key_of_file(path: Path) -> str:
    """Return the name of a file as a key: small letters, digits and single dashes."""
    return re.sub(r"[^a-z0-9_]+", "-", path.stem.lower()).strip("-") or "machine"


def bytes_of(path: Path, advice: Message) -> bytes:
    """Return the bytes of a named file; advice: what to name where there is none. Raises UnreadableKitError."""
    try:
        if not path.is_file():
            message = msg("There is no file '{name}'.", name=path.name)
            raise UnreadableKitError([kinds.FILE_MISSING.new(message, advice, source=Source(path.name))])
        with path.open("rb") as file:
            return file.read(LARGEST_FILE + 1)
    except OSError as error:
        message = msg(
            "The file '{name}' cannot be opened ({value}).", name=path.name, value=error.strerror or "unknown reason"
        )
        found = kinds.FILE_UNREADABLE.new(message, msg("Check its rights."), source=Source(path.name))
        raise UnreadableKitError([found]) from None
