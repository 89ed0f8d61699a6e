"""Findings as JUnit XML, the form in which build servers read the results of tests.

After the schema `junit-10.xsd` (MIT), by which readers of build servers go: `file` and `line` are no attributes of a
test case there, so the place stands in the text.
"""

from __future__ import annotations

import xml.etree.ElementTree as Xml
from collections.abc import Sequence
from pathlib import Path

from kitforge.model.characters import clean
from kitforge.model.findings import Severity
from kitforge.release.findings.places import path_in
from kitforge.release.findings.plain import place
from kitforge.release.findings.rows import KitResult, WordedFinding


def as_junit(results: Sequence[KitResult], root: Path, *, strict: bool = False) -> str:
    """Return a suite for each kit, a test case for each finding; one that passes where a kit has none.

    Errors fail, with `strict` warnings too; waived findings are skipped; the others pass and say so in their output.
    """
    suites = Xml.Element("testsuites", name="kitforge")
    for result in results:
        _add_suite(suites, result, root, strict=strict)
    total = [sum(int(suite.get(key, 0)) for suite in suites) for key in ("tests", "failures", "errors")]
    for key, count in zip(("tests", "failures", "errors"), total, strict=True):
        suites.set(key, str(count))
    Xml.indent(suites, " ")
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + Xml.tostring(suites, encoding="unicode")


def _add_suite(suites: Xml.Element, result: KitResult, root: Path, *, strict: bool) -> None:
    place_of = path_in(root, result)
    name, rows = clean(f"{place_of} ({result.of})" if result.of else place_of), result.told(background=False)
    failed = sum(_fails(row, strict=strict) for row in rows)
    suite = Xml.SubElement(
        suites, "testsuite", name=name, tests=str(max(1, len(rows))), failures=str(failed), errors="0",
        skipped=str(sum(bool(row.waived) for row in rows)),
    )  # fmt: skip
    for row in rows:
        _add_case(suite, name, result, row, strict=strict)
    if not rows:
        Xml.SubElement(suite, "testcase", name="check", classname=name)


def _add_case(suite: Xml.Element, name: str, result: KitResult, row: WordedFinding, *, strict: bool) -> None:
    words = " / ".join(word for word in (row.code, row.part, row.operation, row.fingerprint.rpartition(":")[2]) if word)
    case = Xml.SubElement(suite, "testcase", name=clean(words), classname=name)
    text = clean(f"{place(result.folder, row.source)}: {row.severity}: {row.said} {row.advice}".strip())
    if row.waived:
        Xml.SubElement(case, "skipped", message=clean(row.waived))
    elif _fails(row, strict=strict):
        Xml.SubElement(case, "failure", type=row.code, message=clean(row.said)).text = text
    else:
        Xml.SubElement(case, "system-out").text = text


def _fails(row: WordedFinding, *, strict: bool) -> bool:
    return not row.waived and (row.severity is Severity.ERROR or (strict and row.severity is Severity.WARNING))
