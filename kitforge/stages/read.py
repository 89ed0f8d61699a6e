"""The first stage: the only one that reads the kit's folder. It hands on what was written and every file's bytes."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from kitforge.definition import kinds
from kitforge.definition.positions import Place, Positions
from kitforge.definition.reader import nearest, read_definition
from kitforge.definition.schema import Definition
from kitforge.definition.shapes import DrawingLayer, Shape
from kitforge.definition.yaml_reader import LARGEST_FILE
from kitforge.lettering.typeface import MOST_BYTES
from kitforge.model.errors import UnreadableKitError
from kitforge.model.family import ONE_SIZE, Family
from kitforge.model.findings import KIT_FILE, Finding, FindingType, Source, sort_findings
from kitforge.model.layout import layout_file
from kitforge.model.messages import Message, msg
from kitforge.model.record import record

LARGEST_DRAWING = 32 << 20
LARGEST_TEXT = 1 << 20
LARGEST_FONT = MOST_BYTES
LARGEST_KIT = 128 << 20
MOST_FILES = 200
_LISTED = 2000


@dataclass(frozen=True)
class ReadKit:
    """What the author wrote: the definition, where everything stands in it, and every file by its relative name.

    family: its sizes and the one that was chosen, once one is; texts: those that may be set, as they are.
    """

    definition: Definition
    where: Positions
    folder: str
    text: str = field(repr=False)
    files: Mapping[str, bytes] = field(default_factory=dict, repr=False)
    family: Family = ONE_SIZE
    texts: Mapping[str, str] = field(default_factory=dict, repr=False)


@record
class _Named:
    """A file that kit.yaml names, and where. largest: bytes; missing: the finding if there is none."""

    name: str
    place: Place
    largest: int
    missing: FindingType = kinds.FILE_MISSING
    text: bool = False


def _drawing(name: str, place: Place) -> _Named:
    return _Named(name, place, LARGEST_DRAWING, kinds.DRAWING_MISSING)


class _RefusedError(Exception):
    """A file that may not or cannot be read."""

    def __init__(self, kind: FindingType, message: Message, advice: Message) -> None:
        super().__init__(str(message))
        self.kind, self.message, self.advice = kind, message, advice


def read(folder: Path) -> ReadKit:
    """Read kit.yaml and every file that it names. Raises UnreadableKitError with every problem found."""
    try:
        root = folder.resolve(strict=True)
        data = _bytes(root, KIT_FILE, LARGEST_FILE)
    except (OSError, RuntimeError):
        raise UnreadableKitError([_no_folder(folder)]) from None
    except _RefusedError as refused:
        raise UnreadableKitError([_no_kit(folder, refused)]) from None
    definition, where, problems = read_definition(data, KIT_FILE)
    if definition is None:
        raise UnreadableKitError(sort_findings(problems))
    files = {KIT_FILE: data}
    for named in _named_files(definition):
        if named.name not in files:
            problems += _add(root, named, where, files)
    problems += _add_layouts(root, definition.sizes or ("",), files)
    if problems:
        raise UnreadableKitError(sort_findings(problems))
    return ReadKit(definition, where, root.name, data.decode("utf-8-sig"), files)


def _no_folder(folder: Path) -> Finding:
    message = msg("There is no folder '{name}'.", name=folder.name)
    return kinds.KIT_MISSING.new(
        message, msg("Name the folder that holds {kit_file}.", kit_file=KIT_FILE), source=Source(folder.name)
    )


def _no_kit(folder: Path, refused: _RefusedError) -> Finding:
    if folder.is_file():
        message = msg("'{name}' is a file, not a folder.", name=folder.name)
        return kinds.KIT_MISSING.new(
            message, msg("Name the folder that holds {kit_file}.", kit_file=KIT_FILE), source=Source(folder.name)
        )
    kind = refused.kind if refused.kind is kinds.FILE_TOO_LARGE else kinds.KIT_MISSING
    advice = refused.advice or msg("Every kit has a {kit_file} in its folder.", kit_file=KIT_FILE)
    return kind.new(refused.message, advice, source=Source(KIT_FILE))


def _named_files(definition: Definition) -> Iterator[_Named]:
    if definition.kit.licence_file is not None:
        yield _Named(definition.kit.licence_file, ("kit", "licence_file"), LARGEST_TEXT, text=True)
    for key, part in definition.parts.items():
        if part.drawing is not None:
            yield _drawing(part.drawing, ("parts", key, "drawing"))
        yield from _files_of(part.outline, ("parts", key, "outline"))
        for number, operation in enumerate(part.operations):
            for index, shape in enumerate(operation.shapes):
                yield from _files_of(shape, ("parts", key, "operations", number, "shapes", index))


def _files_of(shape: Shape, place: Place) -> Iterator[_Named]:
    if isinstance(shape.layer, DrawingLayer) and shape.layer.drawing is not None:
        yield _drawing(shape.layer.drawing, (*place, "layer", "drawing"))
    if shape.text is not None and shape.text.font_file is not None:
        yield _Named(shape.text.font_file, (*place, "text", "font"), LARGEST_FONT)
    for key, pattern in (("array", shape.array), ("ring", shape.ring), ("mirror", shape.mirror)):
        if pattern is not None:
            yield from _files_of(pattern.of, (*place, key, "of"))


def _add(root: Path, named: _Named, where: Positions, files: dict[str, bytes]) -> list[Finding]:
    """Read one named file into `files`; return what is wrong with it."""
    try:
        if len(files) > MOST_FILES:
            raise _RefusedError(
                kinds.TOO_MUCH,
                msg("The kit names more than {most_files} files.", most_files=MOST_FILES),
                msg("Join some drawings."),
            )
        data = _bytes(root, named.name, named.largest, named.missing)
        if sum(map(len, files.values())) + len(data) > LARGEST_KIT:
            message = msg(
                "The files of the kit hold more than {largest_kit} MiB together.", largest_kit=LARGEST_KIT >> 20
            )
            raise _RefusedError(kinds.FILE_TOO_LARGE, message, msg("Simplify the drawings."))
        if named.text:
            _check_text(named.name, data)
    except _RefusedError as refused:
        return [refused.kind.new(refused.message, refused.advice, source=where.of(*named.place))]
    files[named.name] = data
    return []


def _add_layouts(root: Path, sizes: Iterable[str], files: dict[str, bytes]) -> list[Finding]:
    """Read the layout that lies beside kit.yaml, if one does, or those of its sizes."""
    problems = []
    for name in map(layout_file, sizes):
        if os.path.lexists(root / name):
            try:
                files[name] = _bytes(root, name, LARGEST_TEXT)
            except _RefusedError as refused:
                problems.append(refused.kind.new(refused.message, refused.advice, source=Source(name)))
    return problems


def _check_text(name: str, data: bytes) -> None:
    try:
        data.decode("utf-8-sig")
    except UnicodeDecodeError:
        message = msg("The file '{name}' is not UTF-8 text.", name=name)
        raise _RefusedError(kinds.FILE_UNREADABLE, message, msg("Save it as plain text in UTF-8.")) from None


def _bytes(root: Path, name: str, largest: int, missing: FindingType = kinds.FILE_MISSING) -> bytes:
    """Return the bytes of a regular file inside `root`. Raises _RefusedError."""
    path = _inside(root, name, missing)
    # not blocking: opening a named pipe would otherwise wait for its writer
    flags = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_BINARY", 0)
    try:
        descriptor = os.open(path, flags)
    except OSError as error:
        reason = error.strerror or "unknown reason"
        message = msg("The file '{name}' cannot be opened ({reason}).", name=name, reason=reason)
        raise _RefusedError(kinds.FILE_UNREADABLE, message, msg("Check its rights.")) from None
    if not stat.S_ISREG(os.fstat(descriptor).st_mode):
        os.close(descriptor)
        raise _RefusedError(
            kinds.FILE_UNREADABLE, msg("'{name}' is not an ordinary file.", name=name), msg("Name a file.")
        )
    with os.fdopen(descriptor, "rb") as file:
        data = file.read(largest + 1)
    if len(data) > largest:
        message = msg("The file '{name}' is larger than {largest} KiB.", name=name, largest=largest >> 10)
        raise _RefusedError(kinds.FILE_TOO_LARGE, message, msg("Simplify it, or split it."))
    return data


def _inside(root: Path, name: str, missing: FindingType) -> Path:
    """Return the path of a name relative to `root`, with links followed. Raises _RefusedError if it leads outside."""
    outside = msg("Put the file into the kit's folder and write its name with '/' between folders.")
    steps = name.split("/")
    if name.startswith("/") or "\\" in name or ":" in name or not name.isprintable() or {"", ".", ".."} & set(steps):
        raise _RefusedError(
            kinds.PATH_OUTSIDE_KIT, msg("'{name}' is no plain name inside the kit's folder.", name=name), outside
        )
    try:
        path = root.joinpath(*steps).resolve(strict=True)
    except (OSError, RuntimeError, ValueError):
        advice = _near_file(root, name) or msg("Check the name; small and capital letters differ.")
        raise _RefusedError(missing, msg("There is no file '{name}' in the kit's folder.", name=name), advice) from None
    if not path.is_relative_to(root):
        raise _RefusedError(
            kinds.PATH_OUTSIDE_KIT, msg("'{name}' is a link that leads out of the kit's folder.", name=name), outside
        )
    return path


def _near_file(root: Path, name: str) -> Message:
    names: list[str] = []
    for folder, folders, found in os.walk(root):
        folders[:] = sorted(inner for inner in folders if not inner.startswith("."))
        names += [Path(folder, file).relative_to(root).as_posix() for file in sorted(found)]
        if len(names) > _LISTED:
            break
    return nearest(name, names[:_LISTED])
