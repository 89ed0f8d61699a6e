"""A release: built cold and strictly, with its provenance statement beside it, and written into releases.toml."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

from kitforge import __version__
from kitforge.files.reading import read_bounded
from kitforge.files.writing import write_whole
from kitforge.model.errors import KitforgeError
from kitforge.release.findings.rows import KitResult
from kitforge.release.jobs import BuildJob
from kitforge.release.released import (
    LARGEST,
    RELEASES,
    Released,
    inputs_sum,
    read_releases,
    require_ready,
    with_release,
)
from kitforge.release.work import Progress, build_one, plugins, quiet

ENDING = ".provenance.json"


@dataclass(frozen=True, slots=True)
class Publication:
    """What became of a release: the build, the statement beside the zip, and whether it is in releases.toml since now.

    statement is None, and added False, where findings forbid the release.
    """

    result: KitResult
    statement: Path | None = None
    added: bool = False


def release_kit(job: BuildJob, progress: Progress = quiet) -> Publication:
    """Build a kit's release and note it. A version that was released already must give the same bytes again.

    Raises KitforgeError unless version, date, changelog and lock agree, and UnreadableKitError.
    """
    from kitforge.pack.facts import library_versions, tables_sum
    from kitforge.pipeline import load_kit
    from kitforge.release.lock import LOCK, read_locks
    from kitforge.release.provenance import statement

    kit = load_kit(job.folder, plugins(), choice=job.choice)
    size = "" if job.together else kit.info.size
    releases = read_releases(job.folder)
    day = require_ready(kit.info, releases)
    if read_locks(job.folder) is None:
        raise KitforgeError(f"The kit has no {LOCK}. Write it with `kitforge lock {job.folder}` and look at it.")
    result = build_one(replace(job, strict=True, cached=False), progress)
    if result.archive is None:
        return Publication(result)
    beside = result.archive.with_name(f"{result.archive.stem}{ENDING}")
    known = next((one for one in releases if (one.version, one.size) == (kit.info.version, size)), None)
    if known is not None and known.sha256 != result.sha256:
        raise KitforgeError(
            f"Version {known.version} was released with other bytes: made with {_words(known)}, now kitforge "
            f"{__version__}. Release it with the same versions, or raise the version."
        )
    _write(beside, statement(result.archive.name, result.sha256, kit.files, job.options, library_versions()))
    if known is None:
        made_with = {"kitforge": __version__, "tables": tables_sum()[:16], **library_versions()}
        sums = inputs_sum(kit.files), result.archive.name, result.sha256
        new = Released(kit.info.version, day, *sums, made_with, size)
        _append(job.folder / RELEASES, new)
    return Publication(result, beside, added=known is None)


def _words(known: Released) -> str:
    return f"kitforge {known.made_with.get('kitforge', '?')}"


def _append(path: Path, new: Released) -> None:
    try:
        text = read_bounded(path, LARGEST).decode("utf-8")
    except FileNotFoundError:
        text = ""
    _write(path, with_release(text, new).encode())


def _write(path: Path, data: bytes) -> None:
    try:
        write_whole(path, data)
    except OSError as problem:
        raise KitforgeError(f"Cannot write {path}: {problem.strerror or problem}.") from None
