"""From findings that know what mends them to a changed kit.yaml, as a text or as the difference to what is written."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from kitforge.definition.edit import with_value
from kitforge.model.findings import KIT_FILE

if TYPE_CHECKING:
    from kitforge.definition.positions import Place
    from kitforge.definition.schema import Definition
    from kitforge.model.findings import Finding, MendValue
    from kitforge.stages.read import ReadKit


def mended(written: ReadKit, findings: Iterable[Finding]) -> str:
    """Return the text of kit.yaml with what mends the findings; as it is where none of them knows it.

    Where several ask for the same key, the last one counts that asks for the largest figure.
    """
    changes: dict[Place, MendValue] = {}
    for finding in findings:
        for place, value in _changes(written.definition, finding):
            changes[place] = max(changes.get(place, value), value, key=_size)
    text = written.text
    for place, value in changes.items():
        text = with_value(text, place, as_yaml(value))
    return text


def difference(written: ReadKit, text: str) -> str:
    """Return what a text changes in kit.yaml as a unified difference, '' for nothing."""
    old, new = (one.replace("\r\n", "\n").splitlines(keepends=True) for one in (written.text, text))
    return "".join(difflib.unified_diff(old, new, f"a/{KIT_FILE}", f"b/{KIT_FILE}"))


def _changes(definition: Definition, finding: Finding) -> Iterator[tuple[Place, MendValue]]:
    mend = finding.mend
    if mend is None:
        return
    for entry in _entries(definition, finding):
        place = (*entry, *mend.keys)
        if mend.beside and isinstance(mend.value, tuple):
            yield from (((*place, key), length) for key, length in mend.value)
        else:
            yield place, mend.value


def _entries(definition: Definition, finding: Finding) -> Iterator[Place]:
    """Yield where what a finding asks for is written."""
    drawing = finding.mend.drawing if finding.mend is not None else ""
    if finding.mend is not None and finding.mend.stock:
        yield ("stock", finding.mend.stock)
    elif drawing:
        yield from (("parts", key) for key, part in definition.parts.items() if part.drawing == drawing)
    elif finding.part in definition.parts:
        names = [one.name for one in definition.parts[finding.part].operations]
        if finding.operation in names:
            yield ("parts", finding.part, "operations", names.index(finding.operation))


def _size(value: MendValue) -> tuple[float, ...]:
    """Return the lengths of a value, to compare two of them."""
    match value:
        case str():
            return ()
        case float():
            return (value,)
        case _:
            return tuple(length for _key, length in value)


def as_yaml(value: MendValue) -> str:
    """Return a value as it is written on one line."""
    match value:
        case str():
            return value
        case float():
            return f"{value:g} mm"
        case _:
            return f"{{{', '.join(f'{key}: {length:g} mm' for key, length in value)}}}"
