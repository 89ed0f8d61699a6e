"""The record of a whole build, so that one in which nothing has changed ends at once.

It holds the sums of every file that was read, the builder's, the sum of the zip and what was told. All of them are
compared; the zip is read too, else one that was edited or deleted would pass. This module and what it imports load
nothing heavy, neither plugins nor NumPy nor the typesetter.
"""

from __future__ import annotations

import dataclasses
import datetime
import hashlib
import json
import os
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kitforge.files.builder import builder
from kitforge.files.cache import FileCache, key_of
from kitforge.files.reading import LARGEST_PACK, read_bounded
from kitforge.model.findings import OnSheet, Severity, Source
from kitforge.release.findings.rows import KitResult, WordedFinding
from kitforge.release.findings.waivers import today

if TYPE_CHECKING:
    from kitforge.release.jobs import BuildJob

BESIDE = ("waivers.toml", "kit.lock", "releases.toml", "layout.lock")
"""Files beside kit.yaml that a build reads, or would read if they were there."""

_LARGEST_INPUT = 64 << 20


def unchanged(job: BuildJob, cache: FileCache) -> KitResult | None:
    """Return the result of the last build of this job if it would be the same again, else None."""
    key = _key(job)
    body = cache.get(key) if key else None
    if body is None:
        return None
    try:
        record = json.loads(body)
        result = result_from(record["result"])
        ends = record["valid_until"]
        if ends is not None and datetime.date.fromisoformat(ends) < today():
            return None
        if any(_sum_of(job.folder / name, _LARGEST_INPUT) != found for name, found in record["inputs"].items()):
            return None
    except (ValueError, KeyError, TypeError, AttributeError):
        return None
    if result.archive is None or _sum_of(result.archive, LARGEST_PACK) != result.sha256:
        return None
    return dataclasses.replace(result, folder=job.folder, unchanged=True)


def remember(job: BuildJob, cache: FileCache, result: KitResult, files: Mapping[str, bytes]) -> None:
    """Keep the record of a build that wrote its zip. files: what was read of the kit, by name."""
    key = _key(job)
    if not key or result.archive is None:
        return
    inputs: dict[str, str | None] = {name: hashlib.sha256(data).hexdigest() for name, data in files.items()}
    beside = {*BESIDE, *(f"layout-{size}.lock" for size in (job.choice.size, *job.together) if size)}
    inputs |= {name: _sum_of(job.folder / name, _LARGEST_INPUT) for name in sorted(beside)}
    ends = min((row.waived_until for row in result.rows if row.waived_until), default=None)
    record = {"inputs": inputs, "valid_until": ends, "result": plain(result)}
    cache.put(key, json.dumps(record, ensure_ascii=True).encode())


def plain(result: KitResult) -> dict[str, Any]:
    """Return a result as JSON can hold it."""
    values = dataclasses.asdict(result)
    return values | {"folder": str(result.folder), "archive": str(result.archive) if result.archive else None}


def result_from(values: Mapping[str, Any]) -> KitResult:
    """Return the result that `plain` has turned into values. Raises TypeError, KeyError or ValueError for others."""
    rows = tuple(_row(one) for one in values["rows"])
    archive = Path(values["archive"]) if values["archive"] else None
    return KitResult(**{**values, "folder": Path(values["folder"]), "rows": rows, "archive": archive})


def _row(values: Mapping[str, Any]) -> WordedFinding:
    found = dict(values)
    found["severity"] = Severity(found["severity"])
    found["source"] = Source(**found["source"])
    found["at"] = tuple(found["at"]) if found["at"] else None
    found["on_sheet"] = OnSheet(**found["on_sheet"]) if found["on_sheet"] else None
    return WordedFinding(**found)


def _key(job: BuildJob) -> str:
    """Return the key of a job's record, '' where the builder cannot be told: everything that the call says."""
    made_by = builder()
    if not made_by:
        return ""
    epoch = os.environ.get("SOURCE_DATE_EPOCH", "")
    places = [os.path.abspath(os.fspath(one)) for one in (job.folder, job.output)]  # noqa: PTH100 - links stay
    call = [
        places,
        dataclasses.asdict(job.options),
        job.strict,
        job.most,
        epoch,
        repr((job.machine, job.cutters, job.choice, job.together)),
    ]
    return key_of("record", made_by.encode(), json.dumps(call, sort_keys=True).encode("utf-8", "surrogatepass"))


def _sum_of(path: Path, largest: int) -> str | None:
    try:
        return hashlib.sha256(read_bounded(path, largest)).hexdigest()
    except OSError:
        return None
