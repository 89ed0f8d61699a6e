"""What a shop always asks for: kitforge.toml beside the kits, how much is told, and completion in a shell."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Sequence
from pathlib import Path

import pytest
from calling import Call
from starting import Kits

from kitforge.cli.main import _parser
from kitforge.release.defaults import OPTIONS
from kitforge.release.jobs import BuildJob


@pytest.fixture
def kit(kits: Kits) -> Path:
    return kits.starter(("cutting_length: 18 mm", "cutting_length: 8 mm"))


def _write(kit: Path, text: str) -> Path:
    path = kit.parent / "kitforge.toml"
    path.write_text(text)
    return path


def test_the_file_sets_what_is_not_typed(call: Call, kit: Path) -> None:
    plain, german = (call("check", kit, "--language", code)[1] for code in ("en", "de"))
    _write(kit, '[check]\nlanguage = "de"\n')
    assert call("check", kit)[1] == german != plain
    assert call("check", kit / "kit.yaml", "--language", "en")[1] == plain


def test_a_list_that_is_typed_takes_the_place_of_the_list_that_is_written(call: Call, kit: Path) -> None:
    """A class that is none is refused by name: of those that were asked for the first."""
    _write(kit, '[settings]\nmachine = "written"\n[explain]\nmachine = "written"\n')
    assert "written" in call("settings", kit)[2]
    said = call("settings", kit, "--machine", "typed")[2]
    assert "typed" in said and "written" not in said


def test_a_machine_of_ones_own_rules_out_the_class_that_is_written(call: Call, kit: Path) -> None:
    _write(kit, '[explain]\nmachine = "written"\n')
    own = kit.parent / "own.yaml"
    own.write_text("like: medium_router\n")
    assert call("explain", kit, "--machine-file", own)[0] == 0


def test_the_output_lies_below_the_file(call: Call, kit: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Wherever the call is made; a build that findings forbid still says where it would have written."""
    asked: list[Path] = []

    def built(jobs: Sequence[BuildJob], _count: int, _tell: object) -> list[object]:
        asked.extend(one.output for one in jobs)
        return []

    monkeypatch.setattr("kitforge.cli.build._built", built)
    _write(kit, '[build]\noutput = "packs"\nlanguage = ["de", "en"]\npaper = "a4"\nstrict = true\njobs = 2\n')
    assert call("build", kit)[0] == 0 and asked == [kit.parent / "packs"]
    call("build", kit, "-o", "typed")
    assert asked[1:] == [Path("typed")]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("[check]\nstrict = 1\n", "strict in [check] is true or false"),
        ("[check]\nlanguage = 'xx'\n", "language in [check]: 'xx' is none of en, de"),
        ("[check]\njobs = -1\n", "jobs in [check]: '-1' is no number from 1 to 64"),
        ("[check]\nlanguage = 1.5\n", "language in [check] is a text or a number"),
        ("[check]\npaper = 'a4'\n", "'paper' in [check] is none of strict, language"),
        ("[stamp]\n", "[stamp] is none of [check], [settings]"),
        ("[build]\noutput = '../out'\n", "'output' must name a folder below"),
        ("[build]\noutput = '/tmp'\n", "'output' must name a folder below"),
        ("[build]\noutput = 3\n", "'output' must name a folder below"),
        ("check = 1\n", "[check] is none of"),
        ("[check\n", "cannot be read"),
        ("#" * 70_000, "is larger than 64 KiB"),
    ],
)
def test_what_a_stranger_may_write_is_one_plain_message(call: Call, kit: Path, text: str, told: str) -> None:
    _write(kit, text)
    code, out, err = call("check", kit)
    assert (code, out) == (2, "") and told in err and "kitforge.toml" in err and "Traceback" not in err


def test_kits_beside_different_files_are_not_mixed(call: Call, kit: Path, tmp_path: Path) -> None:
    other = tmp_path / "elsewhere" / "kit"
    shutil.copytree(kit, other)
    _write(kit, "[check]\nstrict = true\n")
    code, _out, err = call("check", kit, other)
    assert code == 2 and "do not all lie beside" in err


def test_defaults_shows_what_holds_and_from_where(call: Call, kit: Path) -> None:
    path = _write(kit, '[build]\npaper = "letter"\n')
    lines = call("defaults", kit)[1].splitlines()
    assert lines[0] == f"{path}:" and len(lines) == 1 + sum(map(len, OPTIONS.values()))
    assert [line.split() for line in lines if "(kitforge.toml)" in line] == [
        ["build", "paper", "letter", "(kitforge.toml)"]
    ]
    path.unlink()
    assert "There is no kitforge.toml" in call("defaults", kit)[1]


def test_every_option_that_may_be_written_is_one(call: Call) -> None:
    parsers = _parser()[1]
    for command, names in OPTIONS.items():
        usage = parsers[command].format_help()
        assert [name for name in names if f"--{name}" not in usage] == []


def test_quiet_tells_what_forbids_a_release_and_nothing_else(call: Call, kits: Kits, kit: Path) -> None:
    sound = kits.starter(name="sound")
    assert call("check", sound, "--quiet") == (0, "", "")
    loud, quiet = call("check", kit)[1], call("check", kit, "--quiet")[1]
    errors = [line for line in loud.splitlines() if ": error [" in line]
    assert errors and [line for line in quiet.splitlines() if " [" in line and line[0] != " "] == errors
    strict = call("check", kit, "--quiet", "--strict")[1]
    assert ": note [" not in strict and len(strict) >= len(quiet)
    assert call("check", kit, "--quiet", "--verbose")[0] == 2


# ------------------------------------------------------------------------------------------------------ completion


def _offered(script: str, *words: str, folder: Path) -> list[str]:
    """Return what bash offers for the last of these words."""
    array = " ".join(f"'{word}'" for word in words)
    ask = (
        f"{script}\nCOMP_WORDS=({array}); COMP_CWORD={len(words) - 1}; _kitforge; printf '%s\\n' \"${{COMPREPLY[@]}}\""
    )
    found = subprocess.run(["bash", "-c", ask], cwd=folder, check=True, capture_output=True, text=True)
    assert found.stderr == ""
    return found.stdout.split()


@pytest.mark.skipif(shutil.which("bash") is None, reason="bash")
def test_bash_completes_commands_options_choices_and_files(call: Call, tmp_path: Path) -> None:
    script = call("completion", "bash")[1]
    (tmp_path / "my-signs").mkdir()
    for words, wanted in (
        (("kitforge", "de"), ["defaults"]),
        (("kitforge", "che"), ["check"]),
        (("kitforge", "build", "--pap"), ["--paper"]),
        (("kitforge", "build", "--paper", "l"), ["letter"]),
        (("kitforge", "check", "--language", "d"), ["de"]),
        (("kitforge", "check", "my"), ["my-signs"]),
        (("kitforge", "list", "mach"), ["machines"]),
        (("kitforge", "build", "--output", "my"), ["my-signs"]),
    ):
        assert _offered(script, *words, folder=tmp_path) == wanted, words


def test_every_shell_is_told_every_command_and_option(call: Call) -> None:
    parsers = _parser()[1]
    for shell in ("bash", "zsh", "fish"):
        script = call("completion", shell)[1]
        for command in parsers:
            assert command in script
        for option in ("cutter-file", "no-cache", "errata", "quiet"):
            assert option in script, (shell, option)


@pytest.mark.parametrize("shell", ["zsh", "fish"])
def test_other_shells_read_their_script(call: Call, tmp_path: Path, shell: str) -> None:
    if shutil.which(shell) is None:
        pytest.skip(f"{shell} is not installed")
    (tmp_path / "script").write_text(call("completion", shell)[1])
    assert subprocess.run([shell, "-n", str(tmp_path / "script")], check=False).returncode == 0
