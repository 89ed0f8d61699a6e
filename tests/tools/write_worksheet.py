"""Writes the programs that are generated from the worksheets: run this file in the project's folder."""

from __future__ import annotations

from pathlib import Path

import kitforge.cutting.worksheet
from kitforge.cutting.worksheet.program import settings_sheet
from kitforge.cutting.worksheet.python_writer import write_modules
from kitforge.cutting.worksheet.script_writer import write_script

FOLDER = Path(kitforge.cutting.worksheet.__file__).parent / "generated"
NOTE = "Generated from the worksheet by tests/tools/write_worksheet.py; do not edit."


def generated() -> dict[str, str]:
    """Return the text of every generated file by its name."""
    sheet = settings_sheet()
    return {
        **write_modules(sheet, "settings", NOTE),
        "settings.js": write_script(sheet),
        "settings_traced.js": write_script(sheet, traced=True),
    }


def main() -> None:
    """Write the files."""
    for name, text in generated().items():
        (FOLDER / name).write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
