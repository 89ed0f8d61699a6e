"""What the command line answers to each kind of mistake: exit code, finding code and line."""

from __future__ import annotations

import json
import os
import pathlib
import signal
import subprocess
import sys
from collections.abc import Sequence
from typing import Any

import pytest
from calling import Call
from smaller import BARE
from starting import Kits, line_of

import kitforge.pipeline

BOMB = "a: &a [x, x]\nb: &b [*a, *a]\nc: &c [*b, *b]\nkitforge: *c\n"
DEEP = "kitforge: " + "[" * 200 + "]" * 200 + "\n"

UNREADABLE = [
    ("no mapping", "- kitforge: 1\n", "yaml-root", 1),
    ("plain text", "just words\n", "yaml-root", 1),
    ("broken yaml", "kitforge: 1\nkit: [\n", "yaml-syntax", None),
    ("a tab", "kitforge: 1\nkit:\n\ttitle: x\n", "yaml-syntax", 3),
    ("duplicate key", "kitforge: 1\nkit: {}\nkitforge: 1\n", "yaml-duplicate-key", 3),
    ("alias bomb", BOMB, "yaml-alias", 1),
    ("tag", "kitforge: !!python/object/apply:os.system ['true']\n", "yaml-tag", 1),
    ("deep", DEEP, "yaml-too-deep", None),
    ("two documents", "kitforge: 1\n---\nkitforge: 1\n", "yaml-documents", None),
    ("not utf-8", "kitforge: \udcff\n", "yaml-encoding", None),
    ("empty", "", "yaml-root", None),
]

# (what, text of the starter kit, what it becomes, finding code, text of the line that is told)
MISTAKES = [
    ("material", "material: black_cherry", "material: black_chery", "unknown-name", "black_chery"),
    ("cutter", "        cutter: v60", "        cutter: v06", "unknown-name", "v06"),
    ("stock", "    stock: board", "    stock: bored", "unknown-name", "bored"),
    ("machine", "[light_router, ", "[belt_trimmer, ", "unknown-name", "belt_trimmer"),
    ("hold-down", "[masking_tape_glue, ", "[chewing_gum, ", "unknown-name", "chewing_gum"),
    ("finish", "finish: hardwax_oil", "finish: hardwax_oyl", "unknown-name", "hardwax_oyl"),
    ("negative", "cutting_length: 18 mm", "cutting_length: -18 mm", "bad-number", "-18"),
    ("zero", "  length: 360 mm", "  length: 0 mm", "bad-number", "length: 0 mm"),
    ("unknown key", "grain: length", "grian: length", "unknown-key", "grian"),
    ("missing key", "    length: 360 mm\n", "", "missing-key", "board:"),
    ("no length", "long: 150 mm", "long: 5 ells", "wrong-value", "long:"),
    ("bad expression", "[= long - border, = tall - border]", "[= long - (bordr), = tall]", "bad-expression", "bordr)"),
    (
        "division by zero",
        "[= long - border, = tall - border]",
        "[= long / (tall - tall), = tall]",
        "bad-expression",
        "tall - tall",
    ),
    ("code", "= long - border, = tall - border", "= tall, = __import__('os').getcwd()", "bad-expression", "__import__"),
    ("outside", "licence: CC-BY-4.0", "licence_file: ../../x\n  licence: CC-BY-4.0", "path-outside-kit", "../../x"),
    ("absolute", "licence: CC-BY-4.0", "licence_file: /etc/passwd\n  licence: MIT", "path-outside-kit", "/etc"),
    ("no file", "licence: CC-BY-4.0", "licence_file: terms.txt\n  licence: MIT", "file-missing", "terms.txt"),
    ("licence", "licence: CC-BY-4.0", "licence: free for friends", "bad-licence", "free for friends"),
    ("version", "kitforge: 1 ", "kitforge: 2 ", "wrong-value", "kitforge: 2"),
]


def _findings(call: Call, kit: pathlib.Path, *options: str) -> tuple[int, list[dict[str, Any]]]:
    code, out, err = call("check", kit, "--format", "json", *options)
    assert err == ""
    return code, json.loads(out)["findings"]


def _told(findings: list[dict[str, Any]]) -> set[tuple[str, int]]:
    return {(finding["code"], finding["source"]["line"]) for finding in findings}


def test_the_starter_kit_is_fine(call: Call, kits: Kits) -> None:
    """`kitforge new` must not start anyone with an error or a warning."""
    code, findings = _findings(call, kits.starter(), "--strict")
    assert (code, [finding for finding in findings if finding["severity"] != "note"]) == (0, [])


def _cases(cases: Sequence[tuple[object, ...]]) -> list[object]:
    return [pytest.param(*case[1:], id=str(case[0])) for case in cases]


@pytest.mark.parametrize(("text", "code", "line"), _cases(UNREADABLE))
def test_a_file_that_is_no_kit_is_told_and_gives_2(
    call: Call, kits: Kits, text: str, code: str, line: int | None
) -> None:
    kit = kits.written("x")
    (kit / "kit.yaml").write_bytes(text.encode("utf-8", "surrogateescape"))
    exit_code, findings = _findings(call, kit)
    codes = {finding["code"] for finding in findings}
    assert (exit_code, code in codes) == (2, True), findings
    assert line is None or (code, line) in _told(findings)


@pytest.mark.parametrize(("old", "new", "code", "marker"), _cases(MISTAKES))
def test_a_mistake_in_a_kit_is_told_with_its_line_and_gives_2(
    call: Call, kits: Kits, old: str, new: str, code: str, marker: str
) -> None:
    kit = kits.starter((old, new))
    exit_code, findings = _findings(call, kit)
    assert (exit_code, (code, line_of(kit, marker)) in _told(findings)) == (2, True), findings


def test_several_mistakes_are_told_at_once(call: Call, kits: Kits) -> None:
    kit = kits.starter(("material: black_cherry", "material: cheese"), ("        cutter: v60", "        cutter: w"))
    assert _told(_findings(call, kit)[1]) >= {
        ("unknown-name", line_of(kit, "cheese")),
        ("unknown-name", line_of(kit, "cutter: w")),
    }


@pytest.mark.parametrize("missing", ["nowhere", "empty", "empty/kit.yaml"])
def test_a_folder_without_a_kit_gives_2(call: Call, tmp_path: pathlib.Path, missing: str) -> None:
    (tmp_path / "empty").mkdir()
    code, findings = _findings(call, tmp_path / missing)
    assert (code, [finding["code"] for finding in findings]) == (2, ["kit-missing"])


def test_the_kit_file_itself_may_be_named(call: Call, kits: Kits) -> None:
    assert call("check", kits.starter() / "kit.yaml")[0] == 0


ERRORS = [
    ("a cut past the cutting length", "cutting_length: 18 mm", "cutting_length: 8 mm", "free"),
    ("a part too large for its stock", "width: 90 mm", "width: 70 mm", None),
    ("a pocket deeper than its stock", "depth: 2 mm", "depth: 13 mm", "recess"),
    (
        "a pocket too narrow for its cutter",
        "diameter: 1/4 in\n    cutting_length: 18",
        "diameter: 2 in\n    cutting_length: 18",
        None,
    ),
]


@pytest.mark.parametrize(("old", "new", "operation"), _cases(ERRORS))
def test_a_kit_that_cannot_be_made_gives_1_and_points_into_the_file(
    call: Call, kits: Kits, old: str, new: str, operation: str | None
) -> None:
    code, findings = _findings(call, kits.starter((old, new)))
    errors = [finding for finding in findings if finding["severity"] == "error"]
    assert (code, bool(errors)) == (1, True), findings
    assert [finding for finding in errors if not finding["source"]["line"] or not finding["advice"]] == []
    assert operation is None or operation in {finding["operation"] for finding in errors}


def test_an_open_outline_is_an_error(call: Call, kits: Kits) -> None:
    outline = "{ polyline: { points: [[0, 0], [60, 0], [60, 60]], closed: false } }"
    kit = kits.starter(("{ rectangle: { centre: [0, 0], size: [= long, = tall], corner_radius: 12 mm } }", outline))
    code, findings = _findings(call, kit)
    assert (code, ("outline-open", line_of(kit, "polyline")) in _told(findings)) == (1, True), findings


def test_warnings_fail_only_when_they_are_asked_to(call: Call, kits: Kits) -> None:
    """A 12 mm board that measures 15 mm is odd, but not forbidden."""
    kit = kits.starter(("actual: 12 mm", "actual: 15 mm"))
    severities = {finding["severity"] for finding in _findings(call, kit)[1]}
    assert severities - {"note"} == {"warning"}
    assert (call("check", kit)[0], call("check", kit, "--strict")[0]) == (0, 1)


def test_the_worst_kit_decides_and_every_kit_is_told(call: Call, kits: Kits) -> None:
    good, bad = kits.starter(name="good"), kits.starter(("material: black_cherry", "material: cheese"), name="bad")
    code, out, _ = call("check", good, bad, good, "--format", "json")
    reports = json.loads(out)
    assert (code, [report["kit"] for report in reports]) == (2, [str(good), str(bad), str(good)])
    assert [report["counts"]["error"] for report in reports] == [0, 1, 0]


@pytest.mark.parametrize(
    "arguments",
    [
        *((), ("check",), ("settings",), ("new",), ("frobnicate",), ("settings", "a", "b")),
        *(("build", "x", "--units", "furlong"), ("build", "x", "--paper", "a5"), ("check", "x", "--format", "xml")),
    ],
)
def test_a_call_that_cannot_be_read_gives_2_and_says_how(call: Call, arguments: tuple[str, ...]) -> None:
    code, out, err = call(*arguments)
    assert (code, out, "usage: kitforge" in err) == (2, "", True)


@pytest.mark.parametrize("command", ["settings", "build"])
def test_a_machine_class_the_kit_is_not_for_is_refused_naming_those_it_is_for(
    call: Call, kits: Kits, tmp_path: pathlib.Path, command: str
) -> None:
    more = ("-o", tmp_path / "out") if command == "build" else ()
    code, _, err = call(command, kits.starter(), "--machine", "extra_light_router", *more)
    assert (code, "'extra_light_router'" in err, "light_router" in err) == (2, True, True)
    assert not (tmp_path / "out").exists()


def test_a_class_by_its_key_of_older_kits_is_understood(call: Call, kits: Kits) -> None:
    """Scripts that were written before the classes had their names of today go on working."""
    folder = kits.starter()
    assert call("settings", folder, "--machine", "belt_trim_router") == call(
        "settings", folder, "--machine", "light_router"
    )


def test_a_bug_shows_its_traceback_and_gives_3(call: Call, kits: Kits, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: object, **_more: object) -> None:
        raise ZeroDivisionError("planted")

    monkeypatch.setattr(kitforge.pipeline, "check_kit", fail)
    code, _, err = call("check", kits.starter())
    assert (code, "Traceback" in err, "ZeroDivisionError: planted" in err, "bug" in err) == (3, True, True, True)


def test_an_interruption_is_one_line_and_gives_130(call: Call, kits: Kits, monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupt(*_: object, **_more: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(kitforge.pipeline, "check_kit", interrupt)
    code, _, err = call("check", kits.starter())
    assert (code, len(err.splitlines()), "Traceback" in err) == (130, 1, False)


@pytest.mark.skipif(os.name != "posix", reason="signals and /dev/full are POSIX")
def test_a_reader_that_leaves_early_is_no_bug(kits: Kits) -> None:
    kit = kits.starter(("material: black_cherry", "material: cheese"))  # there is less to do, and as much to tell
    code = f"import sys; from kitforge.cli.main import main; sys.exit(main(['check', {str(kit)!r}]))"
    with subprocess.Popen([sys.executable, "-c", code], stdout=subprocess.PIPE, stderr=subprocess.PIPE) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        said = process.stderr.read()
    assert (process.returncode, said) == (141, b"")


@pytest.mark.skipif(os.name != "posix", reason="signals are POSIX")
@pytest.mark.parametrize(
    ("number", "code"), [(signal.SIGINT, 130), pytest.param(signal.SIGTERM, 143, marks=pytest.mark.soak)]
)
def test_a_signal_while_a_zip_is_written_leaves_nothing_behind(
    kits: Kits, tmp_path: pathlib.Path, number: signal.Signals, code: int
) -> None:
    """The process sends the signal to itself in the middle of the write, where a person could only try to hit it.

    A job in the background of a shell starts with SIGINT ignored; the test must not depend on how it was started.
    """
    out = tmp_path / "out"
    script = BARE + (
        "import os, signal, zipfile\n"
        "signal.signal(signal.SIGINT, signal.default_int_handler)\n"
        "from kitforge.cli.main import entry\n"
        "import sys\n"
        f"sys.argv = ['kitforge', 'build', {str(kits.starter())!r}, '-o', {str(out)!r}, '--paper', 'a4']\n"
        "plain = zipfile.ZipFile.writestr\n"
        "def stop(self, *rest):\n"
        "    plain(self, *rest)\n"
        f"    os.kill(os.getpid(), {int(number)})\n"
        "zipfile.ZipFile.writestr = stop\n"
        "entry()\n"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=False)
    assert (done.returncode, list(out.iterdir()), "Traceback" in done.stderr) == (code, [], False), done.stderr
