"""One pack for all sizes of a kit: a folder for each, one file to read first, one manifest over everything."""

from __future__ import annotations

import json
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from kitforge.model.errors import UnreadableKitError
from kitforge.model.pack import BuildOptions, PackFile
from kitforge.pack.sums import MANIFEST, SUMS, sealed
from kitforge.release.findings.rows import KitResult
from kitforge.release.record import remember

if TYPE_CHECKING:
    from kitforge.files.cache import FileCache
    from kitforge.pipeline import CheckedKit
    from kitforge.plugins import Plugins
    from kitforge.release.jobs import BuildJob

_TABLES = ("parts", "stock", "cutters", "joints")


def built_together(
    job: BuildJob, plugins: Plugins, progress: Callable[[str], None], cache: FileCache | None, begun: float
) -> KitResult:
    """Return what became of the pack of all sizes: the findings of every size, and the zip unless one forbids it.

    Every size is checked though one fails. Raises KitforgeError where the zip cannot be written.
    """
    from kitforge.pack.archive import write_zip
    from kitforge.pack.targets import require_room
    from kitforge.pipeline import archive_of, ready_options
    from kitforge.stages.sizes_shown import with_sizes_shown

    require_room(job.output)
    checked, results = _checked(job, plugins, progress)
    result = merged(results)
    if job.told:
        result = replace(result, rows=(), more=sum(result.counts.values()))
    if len(checked) < len(job.together) or result.fails(strict=job.strict):
        return result
    archive = archive_of(checked[0], job.output, None, job.keep, together=True)
    options = ready_options(checked[0], job.options)
    progress("render")
    kits = with_sizes_shown(job.folder, [one.kit for one in checked], plugins)
    files = family_files([replace(one, kit=kit) for one, kit in zip(checked, kits, strict=True)], plugins, options)
    progress("pack")
    released = _released_sum(job, checked[0])
    sha256 = write_zip(archive, archive.stem, files, released)
    size = archive.stat().st_size
    result = replace(result, archive=archive, sha256=sha256, size=size, files=len(files))
    if cache is not None:
        remember(job, cache, result, checked[0].kit.files)
        cache.trim()
    return replace(result, seconds=time.monotonic() - begun)


def _checked(
    job: BuildJob, plugins: Plugins, progress: Callable[[str], None]
) -> tuple[list[CheckedKit], list[KitResult]]:
    from kitforge.pipeline import check_kit
    from kitforge.release.beside import of_releases
    from kitforge.release.findings.gather import checked_result, unreadable_result

    checked, results = [], []
    for size in job.together:
        choice = replace(job.choice, size=size)
        try:
            one = check_kit(job.folder, plugins, progress, job.machine, job.cutters, choice, job.options.languages)
        except UnreadableKitError as error:
            results.append(unreadable_result(job.folder, error, job.most, size=size))
        else:
            checked.append(one)
            results.append(checked_result(job.folder, one, of_releases(job.folder, one), job.most))
    return checked, results


def merged(results: Sequence[KitResult]) -> KitResult:
    """Return the results of all sizes of a kit as one, worst findings first; each row says of which size it is."""
    rows = sorted((row for one in results for row in one.rows), key=lambda row: row.severity.rank)
    counts = {key: sum(one.counts.get(key, 0) for one in results) for key in results[0].counts}
    more = sum(one.more for one in results)
    return KitResult(results[0].folder, tuple(rows), counts, more, all(one.readable for one in results))


def family_files(checked: Sequence[CheckedKit], plugins: Plugins, options: BuildOptions) -> list[PackFile]:
    """Return every file of the pack of all sizes; those of a size lie in a folder that is named as its own pack is."""
    from kitforge.language import use_language
    from kitforge.model.own_words import in_language
    from kitforge.pack.family_readme import family_read_me
    from kitforge.pack.names import pack_name
    from kitforge.pack.readme import licence_file
    from kitforge.pipeline import render_files

    title, kit = checked[0].kit.family.title, checked[0].kit
    files: list[PackFile] = [licence_file(replace(kit, info=replace(kit.info, title=title)))]
    manifests: dict[str, dict[str, Any]] = {}
    beside = _beside(checked, options)
    for one in beside:
        info = one.kit.info
        folder = pack_name(info.slug, info.version, size=info.size)
        for file in render_files(one, plugins, options):
            if file.name == MANIFEST:
                manifests[info.size] = json.loads(file.data)
            elif file.name != SUMS:
                files.append(replace(file, name=f"{folder}/{file.name}"))
    for code in options.languages:
        with use_language(code):
            files.append(family_read_me(*in_language((title, kit.info, beside[0].kit.family.together), code)))
    whole = sealed({file.name: file.data for file in files}, _manifest(title, manifests))
    files += [PackFile(name, whole[name], "") for name in (MANIFEST, SUMS)]
    return sorted(files, key=lambda file: file.name)


def _beside(checked: Sequence[CheckedKit], options: BuildOptions) -> list[CheckedKit]:
    """Return the sizes, each knowing what those come to that lie beside it."""
    from kitforge.pack.options import chosen_machines
    from kitforge.pack.sizes import timed_facts

    facts = tuple(timed_facts(one.kit, one.plan, chosen_machines(one.plan, options.machines)) for one in checked)
    return [replace(one, kit=replace(one.kit, family=replace(one.kit.family, together=facts))) for one in checked]


def _manifest(title: str, manifests: Mapping[str, dict[str, Any]]) -> dict[str, Any]:
    """Return one manifest over those of all sizes: what they share, and facts whose names begin with their size."""
    first = next(iter(manifests.values()))
    facts = {table: dict(_prefixed(manifests, table)) for table in _TABLES}
    steps = [f"{size}/{step}" for size, one in manifests.items() for step in one["facts"]["steps"]]
    settings: dict[str, dict[str, Any]] = {}
    for size, one in manifests.items():
        for machine, found in one["facts"]["settings"].items():
            settings.setdefault(machine, {}).update({f"{size}/{step}": values for step, values in found.items()})
    kit = {**first["kit"], "title": title, "sizes": list(manifests)}
    kit.pop("size", None)
    return {**first, "kit": kit, "facts": {**facts, "steps": steps, "settings": settings}}


def _prefixed(manifests: Mapping[str, dict[str, Any]], table: str) -> Iterator[tuple[str, Any]]:
    for size, one in manifests.items():
        for key, value in one["facts"][table].items():
            names = {name: f"{size}/{value[name]}" for name in ("part", "takes")} if table == "joints" else {}
            yield f"{size}/{key}", {**value, **names} if names else value


def _released_sum(job: BuildJob, checked: CheckedKit) -> str:
    from kitforge.release.released import released_as

    found = released_as(job.folder, checked.kit.info.version)
    return found.sha256 if found else ""
