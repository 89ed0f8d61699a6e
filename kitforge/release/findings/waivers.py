"""Waivers: findings that somebody accepts for a while, with the reason, in `waivers.toml` beside kit.yaml.

    [[waiver]]
    code = "thin-floor"        # or fingerprint = "..."
    part = "tray"              # optional, and operation and size likewise
    reason = "the felt carries it"
    by = "A. Maker"
    until = 2027-03-31         # a year ahead at most

Errors cannot be waived. A waiver that is past its date or fits nothing is a finding itself.
"""

from __future__ import annotations

import datetime
import os
import re
import time
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from kitforge.files.reading import read_bounded
from kitforge.model.errors import KitforgeError
from kitforge.model.findings import Finding, Severity, Source
from kitforge.model.messages import Message, msg
from kitforge.model.record import record
from kitforge.release.findings import kinds
from kitforge.release.findings.rows import WordedFinding

WAIVERS = "waivers.toml"
LARGEST = 256 << 10
MOST_WAIVERS = 500
LONGEST_DAYS = 366
"""A waiver is looked at again at least once a year; common practice, no source."""

_REQUIRED = ("reason", "by", "until")
_CHOICE = ("code", "fingerprint")
_KEYS = frozenset({*_REQUIRED, *_CHOICE, "part", "operation", "size"})
_HEAD = re.compile(r"^\s*\[\[\s*(?:waiver|\"waiver\"|'waiver')\s*\]\]")


@record
class Waiver:
    """A waiver: what it fits, why, who answers for it, its last day, and the line where it begins."""

    code: str
    fingerprint: str
    part: str | None
    operation: str | None
    size: str | None
    reason: str
    by: str
    until: datetime.date
    line: int

    def fits(self, row: WordedFinding) -> bool:
        """Return whether the waiver is about this finding, whatever its severity."""
        if self.size not in (None, row.size):
            return False
        if self.fingerprint:
            return row.fingerprint == self.fingerprint
        return row.code == self.code and self.part in (None, row.part) and self.operation in (None, row.operation)


def today() -> datetime.date:
    """Return the day by which waivers end (UTC): that of SOURCE_DATE_EPOCH where it is set, else of the clock.

    Raises KitforgeError for a SOURCE_DATE_EPOCH that is no time.
    """
    epoch = os.environ.get("SOURCE_DATE_EPOCH")
    if not epoch:
        return datetime.datetime.fromtimestamp(time.time(), datetime.UTC).date()
    try:
        return datetime.datetime.fromtimestamp(int(epoch), datetime.UTC).date()
    except (ValueError, OverflowError, OSError):
        raise KitforgeError(f"SOURCE_DATE_EPOCH is '{epoch}'; give whole seconds since 1970-01-01.") from None


def read_waivers(folder: Path) -> tuple[list[Waiver], list[Finding], str]:
    """Return the waivers of a kit, what is wrong with their file, and its text ('' where there is none)."""
    try:
        text = read_bounded(folder / WAIVERS, LARGEST).decode("utf-8-sig")
    except (FileNotFoundError, NotADirectoryError):
        return [], [], ""
    except UnicodeDecodeError:
        return [], [_unreadable(0, msg("The file is not UTF-8 text."))], ""
    except OSError as error:
        return [], [_unreadable(0, msg("The file cannot be read: {why}.", why=str(error)))], ""
    import tomllib

    try:
        document = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        return [], [_unreadable(0, msg("The file cannot be read: {why}.", why=str(error)))], ""
    return *_listed(document, _heads(text)), text


def _listed(document: Mapping[str, object], heads: Sequence[int]) -> tuple[list[Waiver], list[Finding]]:
    entries = document.get("waiver", [])
    if set(document) - {"waiver"} or not isinstance(entries, list) or len(entries) > MOST_WAIVERS:
        why = msg("The file holds something else than up to {most} entries [[waiver]].", most=MOST_WAIVERS)
        return [], [_unreadable(0, why)]
    waivers: list[Waiver] = []
    problems: list[Finding] = []
    for number, entry in enumerate(entries):
        line = heads[number] if len(heads) == len(entries) else 0
        wrong = list(_faults(entry))
        problems += [_unreadable(line, one) for one in wrong]
        if not wrong:
            waivers.append(_waiver(entry, line))
    return waivers, problems


def _faults(entry: object) -> Iterator[Message]:
    if not isinstance(entry, dict):
        yield msg("A waiver is a table of keys and values.")
        return
    for key in sorted(set(entry) - _KEYS):
        yield msg("A waiver has no key '{key}'.", key=key)
    for key in _REQUIRED:
        if key not in entry:
            yield msg("A waiver needs '{key}'.", key=key)
    if sum(key in entry for key in _CHOICE) != 1:
        yield msg("A waiver names either a 'code' or a 'fingerprint'.")
    for key in sorted(set(entry) & (_KEYS - {"until"})):
        if not isinstance(entry[key], str) or not entry[key].strip():
            yield msg("'{key}' of a waiver is a text and not empty.", key=key)
    yield from _date_faults(entry.get("until"))


def _date_faults(until: object) -> Iterator[Message]:
    if until is None:
        return
    if not isinstance(until, datetime.date) or isinstance(until, datetime.datetime):
        yield msg("'until' of a waiver is a date such as 2027-03-31, without quotation marks.")
    elif (until - today()).days > LONGEST_DAYS:
        yield msg("A waiver ends within a year; '{until}' is later.", until=until.isoformat())


def _waiver(entry: Mapping[str, Any], line: int) -> Waiver:
    part, operation, size = entry.get("part"), entry.get("operation"), entry.get("size")
    code, print_of = entry.get("code", ""), entry.get("fingerprint", "")
    reason, by = entry["reason"].strip(), entry["by"].strip()
    return Waiver(code, print_of, part, operation, size, reason, by, entry["until"], line)


def _heads(text: str) -> list[int]:
    return [number for number, line in enumerate(text.splitlines(), 1) if _HEAD.match(line)]


def _unreadable(line: int, why: Message) -> Finding:
    advice = msg(
        "Each waiver has code or fingerprint, reason, by and until; part, operation and size if it needs them."
    )
    return kinds.WAIVERS_UNREADABLE.new(why, advice, source=Source(WAIVERS, line, 1 if line else 0))


def waive(
    rows: Sequence[WordedFinding], waivers: Sequence[Waiver], day: datetime.date, size: str = ""
) -> tuple[list[WordedFinding], list[Finding]]:
    """Return the rows with the reasons of the waivers that fit them, and what is to be said of the waivers.

    size: the one that the rows are about. A waiver of another size is nothing to them, and one of all sizes need not
    fit in each, so it is not called unused.
    """
    waivers = [waiver for waiver in waivers if waiver.size in (None, size)]
    alive = [waiver for waiver in waivers if waiver.until >= day]
    waived = [_waived(row, alive) for row in rows]
    return waived, list(_about(waivers, rows, day, size))


def _waived(row: WordedFinding, waivers: Sequence[Waiver]) -> WordedFinding:
    if row.severity is Severity.ERROR:
        return row
    for waiver in waivers:
        if waiver.fits(row):
            until = waiver.until.isoformat()
            return replace(row, waived=f"{waiver.reason} ({waiver.by}, until {until})", waived_until=until)
    return row


def _about(
    waivers: Sequence[Waiver], rows: Sequence[WordedFinding], day: datetime.date, size: str
) -> Iterator[Finding]:
    for waiver in waivers:
        source = Source(WAIVERS, waiver.line, 1 if waiver.line else 0)
        what = waiver.code or waiver.fingerprint
        fitting = [row for row in rows if waiver.fits(row)]
        if waiver.until < day:
            yield kinds.WAIVER_EXPIRED.new(
                msg("The waiver for '{what}' ended on {until}.", what=what, until=waiver.until.isoformat()),
                msg("Mend what it is about, or look at it again and set a new date."),
                source=source,
            )
        elif not fitting and (not size or waiver.size == size):
            yield kinds.WAIVER_UNUSED.new(
                msg("The waiver for '{what}' fits no finding.", what=what), msg("Take it out."), source=source
            )
        elif fitting and all(row.severity is Severity.ERROR for row in fitting):
            yield kinds.WAIVER_OF_ERROR.new(
                msg("The waiver for '{what}' fits an error, which cannot be waived.", what=what),
                msg("Mend the error and take the waiver out."),
                source=source,
            )
