"""How settings were computed, line by line: worked again with a trace, and only when it is asked for."""

from __future__ import annotations

from kitforge.cutting.worksheet.tables import tables_of
from kitforge.model.settings import AddedRows, Cut, CutterGeometry, RequestedSettings, Trail
from kitforge.model.workshop import MachineClass, Material
from kitforge.workshop.cutting_data import CuttingData, cutting_data

Taken = tuple[Cut, CutterGeometry, Material, MachineClass, CuttingData, RequestedSettings, tuple[AddedRows, ...]]
Packed = tuple[
    Cut, CutterGeometry, Material, MachineClass, CuttingData | None, RequestedSettings, tuple[AddedRows, ...]
]
Symbols = tuple[str, ...] | None


class Working:
    """The calculation behind some settings or a refusal.

    symbols: what it is printed for; None: what the sheet shows. limits: the cases of the limits that rule.
    """

    __slots__ = ("_limits", "_symbols", "_taken", "_trail")

    def __init__(self, taken: Taken, symbols: Symbols, limits: tuple[int, ...]) -> None:
        self._taken, self._symbols, self._limits = taken, symbols, limits
        self._trail: Trail | None = None

    @property
    def taken(self) -> Taken:
        """What the settings were computed from."""
        return self._taken

    def __call__(self) -> Trail:
        """Return the lines, kept after the first time."""
        if self._trail is None:
            self._trail = self._worked()
        return self._trail

    def _worked(self) -> Trail:
        from kitforge.cutting.worksheet.explain import Asked, explained
        from kitforge.cutting.worksheet.generated.settings_traced import traced
        from kitforge.cutting.worksheet.program import settings_program, settings_sheet
        from kitforge.cutting.worksheet.trace import Trace

        cut, cutter, material, machine, data, wish, added = self._taken
        checked, trace = settings_sheet(added), Trace()
        evaluate = settings_program(added).traced if added else traced
        evaluate(trace, cut, cutter, material, machine, data, tables_of(data), wish)
        symbols = checked.sheet.shows if self._symbols is None else self._symbols
        records = {"material": material, "machine": machine, "data": data}
        before = cut.keeping.lines if cut.keeping else ()
        return explained(checked, trace, records, Asked(symbols, self._limits), before)

    def __getstate__(self) -> tuple[Packed, Symbols, tuple[int, ...]]:
        """Leave the shop's own tables out, which cannot be packed; they are read again where this is unpacked."""
        cut, cutter, material, machine, data, wish, added = self._taken
        own = None if data is cutting_data() else data
        return (cut, cutter, material, machine, own, wish, added), self._symbols, self._limits

    def __setstate__(self, state: tuple[Packed, Symbols, tuple[int, ...]]) -> None:
        (cut, cutter, material, machine, data, wish, added), self._symbols, self._limits = state
        self._taken = cut, cutter, material, machine, data or cutting_data(), wish, added
        self._trail = None
