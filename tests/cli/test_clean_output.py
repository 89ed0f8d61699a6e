"""Nothing that the command line prints steers a terminal or fails to be encoded, whatever stands in the input."""

from __future__ import annotations

import ast
import os
import pathlib
import re
import subprocess
import sys

import pytest
from calling import Call
from hypothesis import given
from hypothesis import strategies as st
from starting import Kits

from kitforge.model.characters import clean, steers

CLI = pathlib.Path(__file__).parents[2] / "kitforge"
ESCAPE, OVERRIDE = "\x1b[31m", "\u202e"
EVIL = f"a{ESCAPE}b{OVERRIDE}c\r\x07d"


def _steering(text: str) -> list[str]:
    return sorted({repr(one) for one in text if steers(one) and one != "\n"})


def test_text_is_printed_in_one_place_only() -> None:
    """`print` is called by kitforge/cli/lines.py alone; tables go through the console."""
    found = [
        f"{path.relative_to(CLI)}:{node.lineno}"
        for path in sorted(CLI.rglob("*.py"))
        if "print(" in (text := path.read_text(encoding="utf-8"))
        for node in ast.walk(ast.parse(text))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "print"
    ]
    assert {place.partition(":")[0] for place in found} == {"cli/lines.py"}, found


@given(st.text(st.characters(exclude_categories=())))
def test_a_cleaned_text_can_be_encoded_and_steers_nothing(text: str) -> None:
    cleaned = clean(text)
    assert cleaned.encode("utf-8") and _steering(cleaned) == [] if text else cleaned == ""
    assert len(cleaned) == len(text)


@given(st.text(st.characters(categories=["L", "N", "P", "Zs"])))
def test_plain_text_stays_as_it_is(text: str) -> None:
    assert clean(text) == text


def test_a_kit_with_evil_texts_is_told_cleanly(call: Call, kits: Kits) -> None:
    """Titles, keys and names that turn the direction of reading; YAML itself refuses the escape character."""
    kit = kits.starter(("title: Recess for the label", f'title: "Re{OVERRIDE}cess"'), name=f"x{OVERRIDE}y")
    calls = [
        ("check", kit),
        ("check", kit, "--format", "json"),
        ("settings", kit),
        ("settings", kit, "--format", "csv"),
        ("settings", kit, "--format", "json"),
        ("explain", kit),
        ("explain", kit, "1"),
        ("explain", kit, EVIL),
        ("build", kit, "-o", kit.parent / "out"),
        ("check", kit, "--report", kit.parent / f"r{ESCAPE}.txt"),
        ("check", kits.starter(("  grain: length", f'  "gr{OVERRIDE}ain": length'), name="z")),
        ("check", kit.parent / EVIL),
        ("build", kit, "--machine", EVIL),
        ("build", kit, "--machine-file", kit.parent / EVIL),
        ("build", kit, "--theme", EVIL),
        ("new", kit.parent / "n", "--from", kit.parent / f"{EVIL}.dxf"),
        ("check", kit, "--format", EVIL),
        (EVIL,),
        ("check", kit, f"--{EVIL}"),
    ]
    for arguments in calls:
        _code, out, err = call(*arguments)
        assert _steering(out + err) == [], arguments
        assert "Traceback" not in err


def test_a_drawing_with_evil_layers_is_listed_cleanly(call: Call, tmp_path: pathlib.Path) -> None:
    svg = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="80mm" viewBox="0 0 100 80">'
        f'<g id="b{OVERRIDE}oard"><path d="M5 5 H90 V70 H5 Z" stroke="black"/></g></svg>'
    )
    drawing = tmp_path / f"d{OVERRIDE}.svg"
    drawing.write_text(svg, encoding="utf-8")
    _code, out, err = call("new", tmp_path / f"k{ESCAPE}", "--from", drawing)
    assert _steering(out + err) == []


@pytest.mark.skipif(sys.platform != "linux", reason="names of files are bytes on Linux")
def test_names_that_are_no_utf8_are_printed(tmp_path: pathlib.Path) -> None:
    """Such a name is a text with lone surrogates inside Python, which no encoding takes."""
    folder = os.path.join(os.fsencode(tmp_path), b"kit-\xff")  # noqa: PTH118 - bytes
    script = (
        "import sys; from kitforge.cli.main import main\n"
        "kit = sys.argv[1]\n"
        "for words in (['new', kit], ['check', kit], ['check', kit + '-no'], ['new', kit, '--from', kit]):\n"
        "    print(main(words))\n"
    )
    done = subprocess.run([sys.executable, "-c", script, folder], capture_output=True, check=False)
    said = (done.stdout + done.stderr).decode("utf-8")
    assert re.findall(r"^\d$", done.stdout.decode("utf-8"), re.MULTILINE) == ["0", "0", "2", "2"], said
    assert "Traceback" not in said
    assert _steering(said) == []


@pytest.mark.parametrize("style", ["text", "json"])
def test_an_author_in_inches_reads_findings_in_inches(call: Call, kits: Kits, style: str) -> None:
    """The same fault in a kit whose bare numbers are mm and in one where they are inches; the report says it too."""
    fault = ("cutting_length: 18 mm", "cutting_length: 8 mm")
    told = {}
    for unit in ("mm", "in"):
        kit = kits.starter(fault, ("units: mm", f"units: {unit}"), name=unit)
        report = kit.parent / f"{unit}.svg"
        told[unit] = (call("check", kit, "--format", style, "--report", report)[1], report.read_text(encoding="utf-8"))
    assert ["12.5 mm" in text or "12 mm" in text for text in told["mm"]] == [True, True]
    assert [" in deep" in text for text in told["in"]] == [True, True]
