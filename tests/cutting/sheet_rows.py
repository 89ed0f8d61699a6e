"""Single rows of the worksheet, worked with a pocket calculator and held against handbooks and worked examples."""

from __future__ import annotations

from calculator import calculated

from kitforge.cutting.worksheet.expression import names
from kitforge.cutting.worksheet.program import settings_sheet
from kitforge.cutting.worksheet.rows import Case, LimitRow


def row(where: str, /, **numbers: float) -> float:
    """Return a row worked with numbers by their symbols, 'p__kx' for 'p.kx'.

    where: 'c', 'push.Ft' in a block, 'push.Ft#1' for its second case, 's <= wanted cusp' for a limit. Of several cases
    the first whose symbols are all given, and which uses most of them, is worked.
    """
    name, _, case = where.partition("#")
    cases = _cases(name)
    if case:
        cases = [cases[int(case)]]
    given = {symbol.replace("__", "."): value for symbol, value in numbers.items()}
    fitting = [one for one in cases if {str(symbol) for symbol in names(one.formula)} <= set(given)]
    assert fitting, f"no case of {where} is worked from {sorted(given)}: {[one.text for one in cases]}"
    best = max(fitting, key=lambda one: len(names(one.formula)))
    return calculated(best.text, given)


def _cases(name: str) -> list[Case]:
    found: list[Case] = []
    for block, one in settings_sheet().sheet.rows():
        own = f"{block.name}.{one.symbol}" if block else one.symbol
        if isinstance(one, LimitRow):
            own = f"{one.symbol} {one.side} {one.words}"
        if own == name:
            found += one.cases
    assert found, f"there is no row {name}"
    return found
