"""A small kit of an invented nest box, which the tests change line by line."""

from __future__ import annotations

from pathlib import Path

from pydantic import BaseModel

from kitforge.definition.reader import read_definition
from kitforge.model.drawing import Drawing
from kitforge.model.errors import UnreadableKitError
from kitforge.model.findings import Finding
from kitforge.model.kit import Kit
from kitforge.model.workshop import Workshop
from kitforge.stages.read import read
from kitforge.stages.resolve import resolve

SAMPLE = """\
kitforge: 1
kit:
  title: Nest box front
  slug: nest-box-front
  version: 1.0.0
  author: Invented Workshop
  licence: CC-BY-4.0
  summary: The front of a nest box, with an entrance hole and a drip groove.
  released: 2025-03-31
parameters:
  width: 150 mm
  height: = width * 1.5
  hole: 32 mm
stock:
  board:
    material: eastern_white_pine
    thickness: {nominal: 18 mm, actual: 17.6 mm}
    width: 300 mm
    length: 900 mm
cutters:
  end-mill: {kind: up-cut, diameter: 6 mm, cutting_length: 22 mm, shank: 6 mm, overall_length: 50 mm}
  vee: {kind: v-bit, diameter: 12.7 mm, cutting_length: 10 mm, shank: 6 mm, overall_length: 50 mm, angle: 90}
  drill: {kind: drill, diameter: 4 mm, cutting_length: 30 mm, shank: 4 mm, overall_length: 60 mm}
parts:
  front:
    stock: board
    count: 2
    outline: {rectangle: {size: [width, height], corner_radius: 5 mm}}
    operations:
      - do: drill
        name: nail-holes
        cutter: drill
        depth: through
        shapes: [{array: {of: {points: [[10, 10]]}, columns: 2, rows: 2, spacing: [= width - 20, = height - 20]}}]
      - do: groove
        name: drip
        cutter: vee
        width: 4 mm
        shapes: [{polyline: {points: [[10, 30], [= width - 10, 30]]}}]
      - do: profile
        name: entrance
        cutter: end-mill
        shapes: [{circle: {centre: [= width / 2, = height - 60], diameter: hole}}]
      - do: profile
        name: outline
        cutter: end-mill
"""


class NoPlugins:
    """Plugins that add nothing, and read drawings from a table."""

    def __init__(self, drawings: dict[str, Drawing | Exception] | None = None) -> None:
        self.drawings = drawings or {}
        self.asked: list[tuple[str, bytes, str | None]] = []

    def cutting_rows(self) -> tuple[()]:
        return ()

    def keys(self) -> dict[str, type[BaseModel]]:
        """No plugin reads a kit."""
        return {}

    def workshop(self) -> Workshop:
        """No tables."""
        return Workshop()

    def read_drawing(
        self,
        name: str,
        data: bytes,
        unit: str | None,
        join: float = 0.0,  # noqa: ARG002 - drawings of the samples have no gaps
    ) -> Drawing | None:
        """The drawing of that name."""
        self.asked.append((name, data, unit))
        found = self.drawings.get(name)
        if isinstance(found, Exception):
            raise found
        return found


def write(folder: Path, text: str = SAMPLE, **files: str | bytes) -> Path:
    """Write a kit into a folder; a file's name has '__' for its dot."""
    (folder / "kit.yaml").write_text(text, encoding="utf-8")
    for name, held in files.items():
        data = held.encode() if isinstance(held, str) else held
        (folder / name.replace("__", ".")).write_bytes(data)
    return folder


def resolved(folder: Path, text: str = SAMPLE, plugins: object = None, **files: str | bytes) -> Kit:
    """Write, read and resolve a kit."""
    return resolve(read(write(folder, text, **files)), plugins or NoPlugins())  # type: ignore[arg-type]


def refusals(folder: Path, text: str, plugins: object = None, **files: str | bytes) -> list[Finding]:
    """Every problem of a kit that cannot be read or resolved."""
    try:
        resolved(folder, text, plugins, **files)
    except UnreadableKitError as error:
        return list(error.problems)
    raise AssertionError("the kit was resolved")


def changed(*pairs: tuple[str, str], text: str = SAMPLE) -> str:
    """The sample with texts replaced, each of which must be in it."""
    for old, new in pairs:
        assert old in text, old
        text = text.replace(old, new, 1)
    return text


def place(text: str, wanted: str, after: str = "") -> tuple[int, int]:
    """Line and column, from 1, where a text stands, looked for from another text on."""
    start = text.index(wanted, text.index(after))
    return text.count("\n", 0, start) + 1, start - text.rfind("\n", 0, start)


def definition_findings(text: str) -> list[Finding]:
    """What reading the text as kit.yaml finds."""
    return read_definition(text.encode(), "kit.yaml")[2]
