"""The forms of findings, by name, and writing them to files."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path

from kitforge.files.reading import UnfitFileError, read_bounded
from kitforge.files.writing import write_whole
from kitforge.model.errors import KitforgeError
from kitforge.model.record import record
from kitforge.release.findings.places import repository_root
from kitforge.release.findings.rows import KitResult

FORMATS = ("text", "json", "sarif", "junit", "code-quality", "annotations")
_LARGEST = 64 << 20
_MARKS = re.compile(
    rb'"name": "kitforge"|name="kitforge"|"kitforge/|title=kitforge|"findings": |: nothing to complain about'
    rb"|: (error|warning|note) \[[a-z0-9-]+\]|^kitforge: "
)
_EMPTY = (b"", b"[]")


@record
class FindingsFile:
    """A file that findings are to be written to, and the form."""

    form: str
    path: Path


def findings_file(typed: str) -> FindingsFile:
    """Return what 'sarif=findings.sarif' means. Raises ValueError for a form that there is not."""
    form, sign, path = typed.partition("=")
    if form not in FORMATS or not sign or not path:
        raise ValueError(typed)
    return FindingsFile(form, Path(path))


def in_form(form: str, results: Sequence[KitResult], *, strict: bool = False, verbose: bool = False) -> str:
    """Return the findings of all kits in one form; paths in forms for programs are those of the repository."""
    root = repository_root(Path.cwd())
    if form == "json":
        from kitforge.release.findings.json_report import as_json

        return as_json(results)
    if form == "sarif":
        from kitforge.release.findings.sarif import as_sarif

        return as_sarif(results, root)
    if form == "junit":
        from kitforge.release.findings.junit import as_junit

        return as_junit(results, root, strict=strict)
    if form == "code-quality":
        from kitforge.release.findings.code_quality import as_code_quality

        return as_code_quality(results, root)
    if form == "annotations":
        from kitforge.release.findings.annotations import as_annotations

        return as_annotations(results, root)
    from kitforge.release.findings.plain import lines_of

    mistakes = [f"kitforge: {result.folder}: {result.mistake}" for result in results if result.mistake]
    return "\n".join([*(line for result in results for line in lines_of(result, verbose=verbose)), *mistakes])


def refuse_foreign_findings(files: Sequence[FindingsFile], read: Sequence[Path] = ()) -> None:
    """Raise KitforgeError where a file is there that kitforge did not write, or the same is named twice."""
    paths = [one.path.resolve() for one in files]
    for one, path in zip(files, paths, strict=True):
        if paths.count(path) > 1:
            raise KitforgeError(f"{one.path} is named for two forms of findings; give each a file of its own.")
        if path in {place.resolve() for place in read} or not _may_replace(one.path):
            raise KitforgeError(f"{one.path} exists and holds no findings of kitforge; choose another name.")


def save(files: Sequence[FindingsFile], results: Sequence[KitResult], *, strict: bool = False) -> None:
    """Write the findings in every form asked for. Raises KitforgeError when a file cannot be written."""
    for one in files:
        data = (in_form(one.form, results, strict=strict, verbose=True) + "\n").encode("utf-8", "backslashreplace")
        try:
            write_whole(one.path, data)
        except OSError as problem:
            raise KitforgeError(f"Cannot write {one.path}: {problem.strerror or problem}.") from None


def _may_replace(path: Path) -> bool:
    try:
        data = read_bounded(path, _LARGEST)
    except FileNotFoundError:
        return True
    except UnfitFileError:
        return False
    except OSError:
        return True  # writing will say why
    return data.strip() in _EMPTY or _MARKS.search(data) is not None
