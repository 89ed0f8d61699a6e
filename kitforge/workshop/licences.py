"""What licences allow, `data/licences.yaml` as records."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from kitforge.model.record import record
from kitforge.workshop.tables import table


@record
class LicenceTerms:
    """What a licence on the files of a kit allows; what each field means stands in the table."""

    money: bool
    changed: bool
    same: bool
    credit: bool
    source: str


@cache
def licence_terms() -> Mapping[str, LicenceTerms]:
    """Return what is known of licences by their SPDX identifier; the table is read once. Raises TableError."""
    top = table("licences")
    rows, found = top.row("licences"), {}
    for name in rows.names():
        row = rows.row(name)
        found[name] = LicenceTerms(
            row.flag("money"), row.flag("changed"), row.flag("same"), row.flag("credit"), row.source()
        )
        row.done()
    rows.done()
    top.done()
    return MappingProxyType(found)
