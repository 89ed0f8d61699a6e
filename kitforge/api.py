"""The public face: what plugins and scripts may import. Everything else may change with every version.

Promise, from 0.2.0 on: a name here keeps its meaning, its fields and its parameters until the second number of the
version changes; what is going to leave is announced in the changelog one such version before. New fields get defaults.

    from kitforge.api import Finding, FindingType, Severity, hookimpl

Lengths are mm, angles degrees, forces N, powers W, speeds min-1, feeds mm/min.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from kitforge import __version__, hookimpl
from kitforge.model.drawing import Drawing, DrawingError
from kitforge.model.errors import KitforgeError, PluginError, UnreadableKitError
from kitforge.model.findings import Finding, FindingType, Severity, Source
from kitforge.model.kit import Cutter, Face, Kit, Operation, OperationKind, Part, Side, Stock
from kitforge.model.messages import Message, listed, mm, msg, msg_many, newton
from kitforge.model.pack import BuildOptions, PackFile
from kitforge.model.path import Path, Vertex
from kitforge.model.plan import MachinePlan, Plan, PlannedSetup
from kitforge.model.steps import BlockedStep, Step, StepSettings
from kitforge.model.workshop import Fact, MachineClass, Material, MaterialKind, Span, Workshop

if TYPE_CHECKING:
    import os
    from collections.abc import Callable, Mapping

    from kitforge.definition.plugin_keys import KitKeys
    from kitforge.model.family import KitChoice
    from kitforge.pipeline import Built, CheckedKit

__all__ = [
    "BlockedStep",
    "BuildOptions",
    "Cutter",
    "Drawing",
    "DrawingError",
    "Face",
    "Fact",
    "Finding",
    "FindingType",
    "Kit",
    "KitKeys",
    "KitforgeError",
    "MachineClass",
    "MachinePlan",
    "Material",
    "MaterialKind",
    "Message",
    "Operation",
    "OperationKind",
    "PackFile",
    "Part",
    "Path",
    "Plan",
    "PlannedSetup",
    "PluginError",
    "Severity",
    "Side",
    "Source",
    "Span",
    "Step",
    "StepSettings",
    "Stock",
    "UnreadableKitError",
    "Vertex",
    "Workshop",
    "__version__",
    "build",
    "check",
    "documents",
    "hookimpl",
    "library_machine",
    "listed",
    "mm",
    "msg",
    "msg_many",
    "newton",
]


def check(folder: str | os.PathLike[str], size: str = "", values: Mapping[str, str] | None = None) -> CheckedKit:
    """Read, plan and check the kit in a folder with all installed plugins: kit, plan and findings.

    size: which of its sizes, the first one where none is named; values: parameters, as they would be written. Raises
    UnreadableKitError, with every problem, for a kit that cannot be read.
    """
    from pathlib import Path as Folder

    from kitforge.pipeline import check_kit
    from kitforge.plugins import load_plugins

    return check_kit(Folder(folder), load_plugins(), choice=_choice(size, values))


def build(
    folder: str | os.PathLike[str],
    output: str | os.PathLike[str],
    options: BuildOptions | None = None,
    size: str = "",
    values: Mapping[str, str] | None = None,
) -> Built:
    """Build the zip of the kit in a folder into another one; nothing is written when a finding is an error.

    size, values: as in `check`. Works in this process alone, so that a script needs no `if __name__ == "__main__"`.
    Raises UnreadableKitError for a kit that cannot be read, KitforgeError where the zip cannot be written.
    """
    from pathlib import Path as Folder

    from kitforge.pipeline import build_kit
    from kitforge.plugins import load_plugins

    return build_kit(Folder(folder), Folder(output), load_plugins(), options, choice=_choice(size, values))


def _choice(size: str, values: Mapping[str, str] | None) -> KitChoice:
    from kitforge.model.family import KitChoice

    return KitChoice(size, tuple((values or {}).items()))


def documents(
    kit: Kit,
    options: BuildOptions,
    stem: str,
    template: str | os.PathLike[str],
    data: Callable[[], object],
    about: Message | str,
) -> list[PackFile]:
    """Return a document of yours as PDFs, `<stem>-a4.pdf` and so on, in every language and on every paper asked for.

    template: a file of HTML for Jinja2 that begins with `{% extends "base.html" %}`, fills `{% block body %}` and says
    its texts as `{{ _("...") }}`; the theme of the build gives it its looks. data: makes the dataclass whose fields the
    template knows, called once for each language; an author's texts in it take that language.
    about: what the document is, for its title and READ-ME-FIRST.txt.
    """
    from pathlib import Path as File

    from kitforge.print.documents import themed_documents

    return themed_documents(kit, options, stem, File(template), data, about)


def library_machine(key: str) -> MachineClass:
    """Return a machine class of the workshop, for `dataclasses.replace`. Raises KeyError for an unknown key."""
    from kitforge.workshop.load import load_workshop

    return load_workshop().machines[key]


def __getattr__(name: str) -> object:
    """Load what needs a heavy library only when it is asked for."""
    if name == "KitKeys":
        from kitforge.definition.plugin_keys import KitKeys

        return KitKeys
    raise AttributeError(f"module 'kitforge.api' has no attribute {name!r}")
