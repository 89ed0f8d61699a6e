"""Makes the first kit of a drawing and judges it: right, a plain doubt, or a wrong kit in silence."""

from __future__ import annotations

import pathlib
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from ugly import Ugly, Wanted

from kitforge.drafting.first_kit import first_kit
from kitforge.drafting.listing import doubted, listing
from kitforge.drafting.source import read_source
from kitforge.model.errors import KitforgeError, UnreadableKitError
from kitforge.model.findings import Finding, Severity
from kitforge.model.kit import Kit, OperationKind, Part
from kitforge.pipeline import check_kit, load_kit
from kitforge.plugins import Plugins
from kitforge_outline.loops import check_outline
from kitforge_outline.shapes import check_shapes


@dataclass(frozen=True)
class Verdict:
    """How a case went. kind: 'right', 'doubt' (told, and named in the case), 'unclear' (told otherwise), 'silent'."""

    kind: str
    told: str

    @property
    def passes(self) -> bool:
        return self.kind in ("right", "doubt")


def judged(case: Ugly, folder: pathlib.Path, plugins: Plugins) -> Verdict:
    """Return how the first kit of a drawing compares with what is meant."""
    drawing = folder / case.file
    drawing.write_bytes(case.data)
    said: list[str] = []
    try:
        source = read_source(drawing, plugins)
        said += listing(source)
        made = first_kit(drawing, source)
        said += doubted(made.doubts)
    except KitforgeError as error:
        return _told(case, [*said, str(error).replace(str(folder), "")])
    kit_folder = folder / "kit"
    kit_folder.mkdir()
    (kit_folder / "kit.yaml").write_text(made.text, encoding="utf-8")
    (kit_folder / source.name).write_bytes(case.data)
    kit = load_kit(kit_folder, plugins)
    said += [finding.as_line() for finding in kit.problems if finding.severity is not Severity.NOTE]
    if case.right and matches(kit, case.right):
        return Verdict("right", "\n".join(said))
    if any(word in case.doubts for word in ("thin-wall", "feature-outside")):
        said += [finding.as_line() for finding in check_kit(kit_folder, plugins).findings]
    return _told(case, [*said, *map(shown, kit.parts)], silent=not _warned(kit.problems, said))


def checked_first(name: str, data: bytes, folder: pathlib.Path, plugins: Plugins) -> tuple[list[str], list[Finding]]:
    """Return what `new` tells of a drawing, and what the check of its kit finds; nothing where there is no kit."""
    (folder / name).write_bytes(data)
    try:
        source = read_source(folder / name, plugins)
        said = list(listing(source))
        made = first_kit(folder / name, source)
    except KitforgeError:
        return [], []
    kit_folder = folder / "kit"
    kit_folder.mkdir()
    (kit_folder / "kit.yaml").write_text(made.text, encoding="utf-8")
    (kit_folder / source.name).write_bytes(data)
    try:
        found = list(check_kit(kit_folder, plugins).findings)
    except UnreadableKitError as error:
        found = list(error.problems)
    return [*said, *doubted(made.doubts)], found


def _warned(problems: tuple[Finding, ...], said: list[str]) -> bool:
    return any(one.severity is not Severity.NOTE for one in problems) or any("warning [" in one for one in said)


def _told(case: Ugly, said: list[str], *, silent: bool = False) -> Verdict:
    text = "\n".join(said)
    if any(word.casefold() in text.casefold() for word in case.doubts):
        return Verdict("doubt", text)
    return Verdict("silent" if silent else "unclear", text)


def matches(kit: Kit, right: Sequence[Wanted]) -> bool:
    """Return whether the kit's parts are the ones that are meant, each with what is cut in it."""
    return Counter(map(_figures, kit.parts)) == Counter(map(_of_wanted, right))


Figures = tuple[tuple[float, float], tuple[tuple[float, int], ...], int, int, int]


def _figures(part: Part) -> Figures:
    box = part.outline.bounds
    drilled = Counter[float]()
    closed = opened = 0
    for operation in part.operations:
        if operation.does is OperationKind.DRILL:
            drilled[round(operation.cutter.diameter, 2)] += len(operation.points) + len(operation.shapes)
            continue
        inner = [path for path in operation.shapes if path != part.outline]
        closed += sum(path.closed for path in inner)
        opened += sum(not path.closed for path in inner)
    size = (round(box.width, 1), round(box.height, 1))
    return size, tuple(sorted(drilled.items())), closed, opened, part.count


def _of_wanted(one: Wanted) -> Figures:
    return (
        (round(one.size[0], 1), round(one.size[1], 1)),
        tuple(sorted(one.drilled.items())),
        one.closed,
        one.open,
        one.copies,
    )


def shown(part: Part) -> str:
    """Return a part's figures in words."""
    return f"{part.key}: {_figures(part)}"


@dataclass(frozen=True)
class FirstKit:
    """A first kit as made and read again: its text, what is doubted, and its parts; or why there is none."""

    name: str
    text: str = ""
    refused: str = ""
    warnings: int = 0
    told: int = 0
    figures: tuple[Figures, ...] = ()


def first_of(data: bytes, name: str, folder: pathlib.Path, plugins: Plugins) -> FirstKit:
    """Return the first kit of a drawing."""
    (folder / name).write_bytes(data)
    try:
        source = read_source(folder / name, plugins)
        said = list(listing(source))
        made = first_kit(folder / name, source)
    except KitforgeError as error:
        return FirstKit(name, refused=str(error))
    said += doubted(made.doubts)
    try:
        kit = _loaded(made.text, data, name, folder, plugins)
    except UnreadableKitError as error:
        return FirstKit(name, made.text, refused=str(error))
    told = sum(one.severity is not Severity.NOTE for one in kit.problems)
    warnings = told + sum("warning [" in one for one in said)
    return FirstKit(name, made.text, "", warnings, told, tuple(sorted(map(_figures, kit.parts))))


def noticed(kit: FirstKit, data: bytes, folder: pathlib.Path, plugins: Plugins) -> bool:
    """Return whether a kit tells that its drawing has become another one."""
    try:
        found = _loaded(kit.text, data, kit.name, folder, plugins)
    except UnreadableKitError:
        return True
    told = [*found.problems, *(one for part in found.parts for one in (*check_outline(part), *check_shapes(part)))]
    return sum(one.severity is not Severity.NOTE for one in told) > kit.told


def _loaded(text: str, data: bytes, name: str, folder: pathlib.Path, plugins: Plugins) -> Kit:
    made = folder / "kit"
    made.mkdir(exist_ok=True)
    (made / "kit.yaml").write_text(text, encoding="utf-8")
    (made / name).write_bytes(data)
    return load_kit(made, plugins)
