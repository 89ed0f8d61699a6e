"""Who made the kit, under which licence, and what changed when."""

from __future__ import annotations

from collections.abc import Mapping

from packaging.licenses import InvalidLicenseExpression, canonicalize_license_expression

from kitforge.definition import kinds
from kitforge.definition.positions import Place
from kitforge.definition.schema import KitEntry
from kitforge.model.facts import Change
from kitforge.model.family import Size
from kitforge.model.info import KitInfo
from kitforge.model.messages import msg
from kitforge.model.own_words import joined
from kitforge.resolve.facts import check_date, resolve_uses
from kitforge.resolve.values import ResolveContext, label


def resolve_info(
    sheet: ResolveContext, entry: KitEntry, units: str, files: Mapping[str, bytes], size: Size | None = None
) -> KitInfo:
    """Return what the kit is and who made it; dates and the licence are checked. size: which one it is."""
    licence_text = files[entry.licence_file].decode("utf-8-sig") if entry.licence_file else None
    changes = []
    for index, change in enumerate(entry.changes):
        check_date(sheet, change.date, ("kit", "changes", index, "date"))
        text = (change.text,) if isinstance(change.text, str) else tuple(change.text)
        changes.append(Change(change.version, change.date, text))
    check_date(sheet, entry.released, ("kit", "released"))
    return KitInfo(
        title=joined("{}, {}", entry.title, size.title) if size else entry.title,
        slug=entry.slug,
        version=entry.version,
        author=entry.author,
        licence=_licence(sheet, entry.licence),
        summary=entry.summary,
        skill=entry.skill,
        units=units,
        licence_text=licence_text,
        licence_words=entry.licence_words,
        released=entry.released,
        contact=entry.contact,
        changes=tuple(changes),
        uses=resolve_uses(entry),
        size=size.key if size else "",
        keywords=tuple(entry.keywords),
    )


def _licence(sheet: ResolveContext, written: str) -> str:
    """Return the licence as SPDX writes it (SPDX specification, annex D: licence expressions)."""
    try:
        return canonicalize_license_expression(written)
    except InvalidLicenseExpression:
        place: Place = ("kit", "licence")
        message = msg("{place}: '{written}' is no SPDX licence expression.", place=label(place), written=written)
        advice = msg(
            "Write a known one such as CC-BY-4.0, CC-BY-NC-SA-4.0 or MIT, or LicenseRef-My-Own-Terms for your own."
        )
        sheet.report(kinds.BAD_LICENCE, place, message, advice)
        return written
