"""Values within a calculation that its results do not hold, by the symbols of the worksheet."""

from __future__ import annotations

from random_cuts import Case

from kitforge.cutting.worksheet.generated.settings_computed import computed
from kitforge.cutting.worksheet.results import Refusal
from kitforge.cutting.worksheet.tables import tables_of
from kitforge.workshop.cutting_data import cutting_data

_SYMBOLS = (
    "c", "cs", "Af", "Ap", "n_ref", "vf_cap", "deep.De", "deep.x", "deep.xw", "deep.S", "deep.e", "fz_range", "fz_0",
    "vz_thrust",
)  # fmt: skip
_TRIED = ("ap_0", "first.fz", "first.Fs", "first_P.P")


def inner_values(case: Case) -> dict[str, float]:
    """Return stiffness, force constants, the engagement and chips of the deepest pass, the loads of the first depth."""
    data = cutting_data()
    found = computed(case.cut, case.cutter, case.material, case.machine, data, tables_of(data), case.wish)
    assert not isinstance(found, Refusal)
    symbols = _SYMBOLS if found.first is None else (*_SYMBOLS, *_TRIED)
    return {"fz_min": found.fz_floor} | {symbol: _at(found, symbol) for symbol in symbols}


def _at(record: object, symbol: str) -> float:
    for part in symbol.split("."):
        record = getattr(record, part)
    assert isinstance(record, float)
    return record
