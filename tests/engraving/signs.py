"""A sign with engraved text, in a few lines. Invented data."""

from __future__ import annotations

from pathlib import Path

from kitforge.model.errors import UnreadableKitError
from kitforge.model.findings import Finding
from kitforge.model.kit import Kit
from kitforge.pipeline import CheckedKit, check_kit, load_kit
from kitforge.plugins import load_plugins

KIT = """\
kitforge: 1
kit: {title: House sign, slug: house-sign, version: 1.0.0, author: Invented, licence: CC0-1.0, summary: A number.}
machines: [heavy_router]
stock: {board: {material: black_cherry, thickness: 18 mm, width: 200 mm, length: 400 mm}}
cutters:
  mill: {kind: up-cut, diameter: 6 mm, cutting_length: 22 mm, shank: 6 mm, overall_length: 50 mm}
  v60: {kind: v-bit, diameter: 12.7 mm, cutting_length: 11 mm, shank: 6 mm, overall_length: 45 mm, angle: 60%(tip)s}
parts:
  sign:
    stock: board
    outline: {rectangle: {size: [240, 120]}}
    operations:
      - {%(operation)s}
      - {do: profile, name: outline, cutter: mill}
"""
ENGRAVE = "do: engrave, name: letters, cutter: v60"


def text(write: str = "I", **more: str) -> str:
    """A text shape in YAML, 25 mm high unless told otherwise."""
    keys = {"write": f"'{write}'", "height": "25 mm", "at": "[60, 40]", **more}
    if "on_arc" in more:
        del keys["at"]
    return "{text: {" + ", ".join(f"{key}: {value}" for key, value in keys.items()) + "}}"


def operation(*shapes: str, does: str = ENGRAVE) -> str:
    """An operation in YAML."""
    return f"{does}, shapes: [{', '.join(shapes)}]"


def write(folder: Path, what: str, tip: str = "", **files: bytes) -> Path:
    """Write the kit; a file's name has '__' for its dot."""
    (folder / "kit.yaml").write_text(KIT % {"operation": what, "tip": tip and f", tip: {tip}"})
    for name, data in files.items():
        (folder / name.replace("__", ".")).write_bytes(data)
    return folder


def resolved(folder: Path, what: str, tip: str = "", **files: bytes) -> Kit:
    """The kit, resolved."""
    return load_kit(write(folder, what, tip, **files), load_plugins())


def checked(folder: Path, what: str, tip: str = "") -> CheckedKit:
    """The kit, planned and checked."""
    return check_kit(write(folder, what, tip), load_plugins())


def refused(folder: Path, what: str, **files: bytes) -> list[Finding]:
    """Every problem of a kit that cannot be read or resolved."""
    try:
        resolved(folder, what, "", **files)
    except UnreadableKitError as error:
        return list(error.problems)
    raise AssertionError("the kit was resolved")


def serious(found: CheckedKit) -> list[str]:
    """The codes of errors and warnings."""
    return sorted(one.code for one in found.findings if one.severity.value != "note")
