"""The forms of findings for programs: against the schemas of their publishers, escapes, and what each must hold."""

from __future__ import annotations

import gzip
import json
from collections.abc import Sequence
from dataclasses import fields, replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitforge.model.findings import FindingType, Severity, Source
from kitforge.model.messages import msg
from kitforge.release.findings.annotations import as_annotations
from kitforge.release.findings.code_quality import as_code_quality
from kitforge.release.findings.junit import as_junit
from kitforge.release.findings.rows import KitResult, WordedFinding, result_of, rows_of, with_mistake
from kitforge.release.findings.sarif import FINGERPRINT, as_sarif

HERE = Path(__file__).parent
ROOT = Path("/invented")
TEXTS = st.text(st.characters(exclude_categories=()), max_size=40)


def _finding(severity: Severity, message: str, line: int = 3, file: str = "kit.yaml") -> WordedFinding:
    kind = FindingType(f"odd-{severity}", severity, "An invented kind.")
    return rows_of([kind.new(msg(message), msg("Mend it."), source=Source(file, line, 2 if line else 0))], "tray", {})[
        0
    ]


def _results(messages: Sequence[str]) -> list[KitResult]:
    rows = [_finding(severity, text) for text in messages for severity in Severity]
    return [
        result_of(ROOT / "kits" / "tray", rows),
        result_of(ROOT / "kits" / "bench", []),
        with_mistake(KitResult(Path("elsewhere")), "There is no room."),
    ]


def _schema() -> Any:
    return json.loads(gzip.decompress((HERE / "schemas" / "sarif-2.1.0.json.gz").read_bytes()))


def test_sarif_fits_the_schema_of_its_publisher() -> None:
    """OASIS, SARIF 2.1.0, JSON schema (tests/release/schemas)."""
    from jsonschema import Draft4Validator

    rows = [_finding(Severity.WARNING, "Too thin."), _finding(Severity.NOTE, "a", 0, "tray")]
    waived = replace(rows[0], waived="the felt carries it")
    log = json.loads(as_sarif([*_results(["Bad.", "Ü ß „x“"]), result_of(ROOT / "a b", [waived, rows[1]])], ROOT))
    assert [error.message for error in Draft4Validator(_schema()).iter_errors(log)] == []
    assert log["runs"][0]["results"][-2]["suppressions"][0]["justification"] == "the felt carries it"
    assert (
        log["runs"][0]["results"][-2]["locations"][0]["physicalLocation"]["artifactLocation"]["uri"] == "a%20b/kit.yaml"
    )


def _fields(row: WordedFinding) -> dict[str, object]:
    return {name: getattr(row, name) for name in (one.name for one in fields(WordedFinding))}


def test_the_schema_sees_a_fault() -> None:
    from jsonschema import Draft4Validator

    log = json.loads(as_sarif(_results(["Bad."]), ROOT))
    log["runs"][0]["results"][0]["level"] = "notice"
    assert not Draft4Validator(_schema()).is_valid(log)


@cache
def _junit_schema() -> Any:
    from lxml import etree

    return etree.XMLSchema(etree.parse(str(HERE / "schemas" / "junit-10.xsd")))


@given(st.lists(TEXTS, max_size=3))
def test_any_message_gives_junit_that_fits_its_schema(messages: list[str]) -> None:
    """junit-10.xsd, tests/release/schemas; read back with lxml, an independent parser."""
    from lxml import etree

    schema = _junit_schema()
    for strict in (False, True):
        document = etree.fromstring(as_junit(_results(messages), ROOT, strict=strict).encode("utf-8", "strict"))
        assert schema.validate(document), schema.error_log
        failed = len(document.findall(".//failure"))
        assert failed == len(messages) * (2 if strict else 1) + 1 == int(document.get("failures"))


@given(st.lists(TEXTS, min_size=1, max_size=3))
def test_any_message_is_one_line_of_annotations(messages: list[str]) -> None:
    """Escapes after the public description of workflow commands."""
    lines = as_annotations(_results(messages), ROOT).split("\n")
    assert len(lines) == 3 * len(messages) + 1
    assert [line for line in lines if not line.startswith(("::error ", "::warning ", "::notice "))] == []
    assert [line.partition(" ")[0] for line in lines] == sorted(
        (line.partition(" ")[0] for line in lines), key=["::error", "::warning", "::notice"].index
    )


def test_annotations_are_as_agreed() -> None:
    """Golden lines: every escape that a property and a text need."""
    row = _finding(Severity.ERROR, "50 % too deep,\nso: no.")
    found = as_annotations([result_of(ROOT / "a,b:c%", [row])], ROOT)
    assert found == (
        "::error file=a%2Cb%3Ac%25/kit.yaml,line=3,col=2,title=kitforge odd-error::50 %25 too deep,%0Aso: no. Mend it."
    )


def test_code_quality_has_the_six_fields_and_no_twin() -> None:
    """Own schema after the public description; only the first of equal fingerprints is shown, so there are none."""
    results = _results(["Bad."])
    issues = json.loads(as_code_quality([*results, results[0]], ROOT))
    fields = {"description", "check_name", "fingerprint", "severity", "location"}
    assert [issue for issue in issues if issue.keys() != fields or issue["location"].keys() != {"path", "lines"}] == []
    assert {issue["severity"] for issue in issues} == {"critical", "major", "info", "blocker"}
    prints = [issue["fingerprint"] for issue in issues]
    assert (len(prints), len(set(prints))) == (7, 7)
    assert issues[0]["location"] == {"path": "kits/tray/kit.yaml", "lines": {"begin": 3}}


@pytest.mark.parametrize("count", [0, 5, 40_000])
def test_more_findings_than_are_told_are_counted(count: int) -> None:
    kind = FindingType("odd", Severity.WARNING, "")
    found = [kind.new(msg(f"{number}"), msg(""), source=Source("kit.yaml", number + 1)) for number in range(count)]
    result = result_of(ROOT, rows_of(found, "tray", {}), most=5)
    assert (len(result.rows), result.more, result.counts["warning"]) == (min(5, count), max(0, count - 5), count)
    assert len({row.fingerprint for row in result.rows}) == len(result.rows)


def test_a_line_put_in_above_changes_no_fingerprint() -> None:
    kind = FindingType("odd", Severity.WARNING, "")
    before = "a: 1\nb:   2\nb: 2\n"

    def prints(text: str, shift: int) -> list[str]:
        found = [
            kind.new(msg(f"{n}.5 mm"), msg(""), source=Source("kit.yaml", n + shift, 1), part="tray") for n in (1, 2, 3)
        ]
        return [row.fingerprint for row in rows_of(found, "kit", {"kit.yaml": text})]

    assert prints(before, 0) == prints(f"# a word\n{before}", 1)
    assert len(set(prints(before, 0))) == 3, "equal lines are told apart by their number"
    assert prints(before.replace("a: 1", "a: 2"), 0)[0] != prints(before, 0)[0]


def test_sarif_keeps_the_fingerprint_under_a_name_of_its_own() -> None:
    log = json.loads(as_sarif(_results(["Bad."]), ROOT))
    first = log["runs"][0]["results"][0]["partialFingerprints"]
    assert first == {FINGERPRINT: _finding(Severity.ERROR, "Bad.").fingerprint}
