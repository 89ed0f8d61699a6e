"""One piece of work on one kit, from plain values to plain values, so that any process can do it."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from kitforge.files.artefacts import Artefacts, kept_in
from kitforge.files.cache import FileCache, ReadingCache, users_cache, users_folder
from kitforge.language import language
from kitforge.model.errors import KitforgeError, PluginError, UnreadableKitError
from kitforge.model.findings import in_words
from kitforge.release.findings.rows import KitResult, with_mistake
from kitforge.release.jobs import BuildJob, CheckJob
from kitforge.release.record import remember, unchanged

if TYPE_CHECKING:
    from kitforge.model.info import KitInfo
    from kitforge.pipeline import Built, CheckedKit
    from kitforge.plugins import Plugins

Progress = Callable[[str], None]


def quiet(_stage: str) -> None:
    """Report no progress."""


def check_one(job: CheckJob, progress: Progress = quiet) -> KitResult:
    """Return the findings of a kit, readable or not, and write the report if one is asked for.

    Raises KitforgeError for a report that must not or cannot be written.
    """
    from kitforge.pipeline import check_kit
    from kitforge.release.beside import of_releases
    from kitforge.release.findings.gather import checked_result, unreadable_result

    begun = time.monotonic()
    try:
        checked = check_kit(job.folder, plugins(), progress, choice=job.choice)
    except UnreadableKitError as error:
        if job.report:
            from kitforge.report.write import write_unreadable

            words = language(job.language).wording(error.units)
            write_unreadable(job.folder, in_words(error.problems, words), job.report, job.language)
        return unreadable_result(job.folder, error, job.most, job.language, job.choice.size)
    if job.report:
        from kitforge.pack.targets import refuse_what_is_read
        from kitforge.report.write import write_report

        refuse_what_is_read(job.report, job.folder, checked.kit.files)
        write_report(checked, job.report, job.language)
    result = checked_result(job.folder, checked, of_releases(job.folder, checked), job.most, job.language)
    return replace(result, seconds=time.monotonic() - begun)


def build_one(job: BuildJob, progress: Progress = quiet) -> KitResult:
    """Return what became of a kit that was to be built: its findings, and its zip unless they forbid one.

    A mistake of the user's that is no finding is told in the result, so that it stops no other kit. Raises PluginError.
    """
    begun = time.monotonic()
    cache = users_cache() if job.cached and not _inside(job) else None
    if job.choice.private:
        return _of_order(job, progress, cache, begun)
    if cache is not None and (found := unchanged(job, cache)) is not None:
        return found
    try:
        with kept_in(_artefacts(cache)):
            if job.together:
                from kitforge.release.together import built_together

                return built_together(job, plugins(), progress, cache, begun)
            return _built(job, progress, cache, begun)
    except PluginError:
        raise
    except KitforgeError as mistake:
        return with_mistake(KitResult(job.folder, of=job.choice.size), str(mistake))


def _of_order(job: BuildJob, progress: Progress, cache: FileCache | None, begun: float) -> KitResult:
    """Build what a buyer ordered: what others made is found in the cache, nothing with the buyer's words is kept."""
    label = job.choice.label
    try:
        with kept_in(_artefacts(ReadingCache(cache.folder) if cache is not None else None)):
            found = _built(job, progress, None, begun)
    except PluginError:
        raise
    except KitforgeError as mistake:
        return with_mistake(KitResult(job.folder, of=label), str(mistake))
    return replace(found, of=label, rows=tuple(replace(row, size=label) for row in found.rows))


def last_result(job: BuildJob) -> KitResult | None:
    """Return the result of a build that would be the same again, without doing it; None where it must be done."""
    cache = users_cache() if job.cached and not job.choice.private and not _inside(job) else None
    return unchanged(job, cache) if cache is not None else None


def _inside(job: BuildJob) -> bool:
    """Return whether the cache lies in the kit, where its files would be taken for files of the kit."""
    folder = users_folder()
    return folder is not None and folder.resolve().is_relative_to(job.folder.resolve())


def _artefacts(cache: FileCache | None) -> Artefacts | None:
    from kitforge.files.builder import builder
    from kitforge.print.parallel import expect_documents

    if cache is None or not (made_by := builder()):
        return None
    return Artefacts(cache, made_by, expect_documents)


def _built(job: BuildJob, progress: Progress, cache: FileCache | None, begun: float) -> KitResult:
    from kitforge.pipeline import build_kit
    from kitforge.release.beside import of_releases
    from kitforge.release.findings.gather import checked_result, unreadable_result

    found: list[KitResult] = []

    def allowed(checked: CheckedKit) -> bool:
        found.append(checked_result(job.folder, checked, of_releases(job.folder, checked), job.most))
        return not found[-1].fails(strict=job.strict)

    try:
        built = build_kit(
            job.folder,
            job.output,
            plugins(),
            job.options,
            progress,
            job.machine,
            job.keep,
            allowed,
            _released_sum,
            job.cutters,
            job.choice,
        )
    except UnreadableKitError as error:
        return unreadable_result(job.folder, error, job.most, size=job.choice.size)
    result = replace(_with_archive(found[-1], built), seconds=time.monotonic() - begun)
    if cache is not None:
        remember(job, cache, result, built.checked.kit.files)
        cache.trim()
    return result


def _released_sum(folder: Path, info: KitInfo) -> str:
    from kitforge.release.released import released_as

    found = released_as(folder, info.version, info.size)
    return found.sha256 if found else ""


def _with_archive(result: KitResult, built: Built) -> KitResult:
    if built.archive is None:
        return result
    return replace(
        result,
        archive=built.archive,
        sha256=built.sha256,
        size=built.archive.stat().st_size,
        files=len(built.files),
    )


@cache
def plugins() -> Plugins:
    """Return the plugins, loaded once in a process. Raises PluginError."""
    from kitforge.plugins import load_plugins

    return load_plugins()
