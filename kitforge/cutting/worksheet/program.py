"""The worksheets of this package: their text, what goes in, and the programs that were generated from them."""

from __future__ import annotations

from functools import cache
from importlib.resources import files

from kitforge.cutting.records import Cut, CutterGeometry, Wish
from kitforge.cutting.worksheet.checker import Checked, Inputs, check_sheet
from kitforge.cutting.worksheet.reader import read_sheet
from kitforge.cutting.worksheet.tables import Tables
from kitforge.workshop.cutting_data import CuttingData
from kitforge.workshop.records import MachineClass, Material

SETTINGS: Inputs = (
    ("cut", Cut),
    ("cutter", CutterGeometry),
    ("material", Material),
    ("machine", MachineClass),
    ("data", CuttingData),
    ("tables", Tables),
    ("wish", Wish),
)
"""What the worksheet of the settings takes."""


@cache
def settings_sheet() -> Checked:
    """Return the worksheet of the settings, read once in a process."""
    return check_sheet(read_sheet(sheet_texts("settings")), SETTINGS)


def sheet_texts(folder: str) -> list[tuple[str, str]]:
    """Return name and text of the files of a worksheet, in their order."""
    found = files(__package__).joinpath("sheet", folder).iterdir()
    texts = [(path.name, path.read_text(encoding="utf-8")) for path in found if path.name.endswith(".txt")]
    return sorted(texts)


def generated_text(name: str) -> str:
    """Return the text of a generated file."""
    return files(f"{__package__}.generated").joinpath(name).read_text(encoding="utf-8")
