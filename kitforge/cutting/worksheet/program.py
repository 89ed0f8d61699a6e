"""The worksheets of this package: their text, what goes in, and the programs that were generated from them."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from importlib.resources import files
from typing import Any, NamedTuple

from kitforge.cutting.worksheet.added import with_added
from kitforge.cutting.worksheet.checker import check_sheet
from kitforge.cutting.worksheet.generated.settings_values import Values
from kitforge.cutting.worksheet.reader import read_sheet
from kitforge.cutting.worksheet.results import Refusal
from kitforge.cutting.worksheet.symbols import CheckedSheet, Inputs
from kitforge.cutting.worksheet.tables import Tables
from kitforge.model.settings import AddedRows, Cut, CutterGeometry, RequestedSettings
from kitforge.model.workshop import MachineClass, Material
from kitforge.workshop.cutting_data import CuttingData

SETTINGS: Inputs = (
    ("cut", Cut),
    ("cutter", CutterGeometry),
    ("material", Material),
    ("machine", MachineClass),
    ("data", CuttingData),
    ("tables", Tables),
    ("wish", RequestedSettings),
)
"""What the worksheet of the settings takes."""


@lru_cache(maxsize=8)
def settings_sheet(added: tuple[AddedRows, ...] = ()) -> CheckedSheet:
    """Return the worksheet of the settings, with the rows of plugins. Raises SheetError when these are wrong."""
    return check_sheet(with_added(read_sheet(sheet_texts("settings")), added), SETTINGS)


class Program(NamedTuple):
    """The functions of a worksheet."""

    computed: Callable[..., Values | Refusal]
    traced: Callable[..., Values | Refusal]


@lru_cache(maxsize=8)
def settings_program(added: tuple[AddedRows, ...]) -> Program:
    """Return the functions of the worksheet of the settings with the rows of plugins.

    Raises SheetError when these are wrong. A plugin is code that the user has installed; rows never come from a kit.
    """
    from kitforge.cutting.worksheet.python_writer import write_module

    space: dict[str, Any] = {"__name__": "kitforge worksheet with rows of plugins"}
    exec(compile(write_module(settings_sheet(added)), space["__name__"], "exec"), space)
    return Program(space["computed"], space["traced"])


def sheet_texts(folder: str) -> list[tuple[str, str]]:
    """Return name and text of the files of a worksheet, in their order."""
    found = files(__package__).joinpath("sheet", folder).iterdir()
    texts = [(path.name, path.read_text(encoding="utf-8")) for path in found if path.name.endswith(".txt")]
    return sorted(texts)


def generated_text(name: str) -> str:
    """Return the text of a generated file."""
    return files(f"{__package__}.generated").joinpath(name).read_text(encoding="utf-8")
