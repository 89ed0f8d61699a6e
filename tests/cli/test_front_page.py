"""README.md says what the program does: commands, exit codes, the example, the files, the classes, the links."""

from __future__ import annotations

import pathlib
import re

import pytest
from calling import Call
from starting import Kits

from kitforge.cli import codes
from kitforge.workshop.load import load_workshop

ROOT = pathlib.Path(__file__).parents[2]
PAGE = (ROOT / "README.md").read_text()
PAGES = ["README.md", "DEVELOPERS.md", "plugins/README.md"]


def test_the_finding_on_the_page_is_what_the_starter_kit_gives(
    call: Call, kits: Kits, monkeypatch: pytest.MonkeyPatch
) -> None:
    kit = kits.starter(("long: 150 mm", "long: 350 mm"), name="my-signs")
    monkeypatch.chdir(kit.parent)
    code, out, _ = call("check", "my-signs")
    shown = re.search(r"(?:^       .*\n)+", PAGE, re.MULTILINE)
    assert shown is not None
    assert (code, [line[7:] for line in shown[0].splitlines()]) == (1, out.splitlines())


def test_the_two_commands_that_need_nothing_before_them_stand_first() -> None:
    """After the opening paragraph and before any heading; the Makefile says of both that they set everything up."""
    opening, block = PAGE.partition("\n## ")[0].split("\n\n", 3)[1:3]
    assert opening.startswith("You design")
    assert re.findall(r"^    (make \w+) +# sets everything up", block, re.MULTILINE) == ["make demo", "make test"]
    makefile = (ROOT / "Makefile").read_text()
    assert re.findall(r"^# (make \w+) +sets everything up", makefile, re.MULTILINE) == ["make demo", "make test"]


@pytest.mark.parametrize("page", ["README.md", "Makefile"])
def test_a_number_of_example_kits_is_the_true_one(page: str) -> None:
    words = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
    told = re.findall(r"\b(\w+) (?:example|demo) kits", (ROOT / page).read_text())
    numbers = {words.index(word) for word in told if word in words} | {int(word) for word in told if word.isdigit()}
    assert numbers <= {len(list((ROOT / "kits").glob("*/kit.yaml")))}


def test_the_page_says_whose_the_pack_is() -> None:
    said = PAGE.partition("### What you may do with it")[2].partition("\n## ")[0]
    assert "yours to change and to sell, under any terms" in " ".join(said.split())
    assert "A font of your own" in said


@pytest.mark.parametrize("command", ["check", "settings", "explain", "build", "new", "list", "plugins", "schema"])
def test_every_option_of_a_command_is_on_the_page(call: Call, command: str) -> None:
    usage = call(command, "--help")[1]
    line = next(line for line in PAGE.splitlines() if re.match(rf"    kitforge {command}\b", line))
    options = set(re.findall(r"--[a-z-]+", usage)) - {"--help", "--output"}
    assert sorted(option for option in options if option not in line) == []


def test_every_exit_code_is_on_the_page() -> None:
    known = {value for name, value in vars(codes).items() if name.isupper()}
    rows = re.findall(r"^\| (\d+(?:, \d+)*) \|", PAGE, re.MULTILINE)
    assert {int(code) for row in rows for code in row.split(", ")} == known


def test_every_machine_class_is_on_the_page() -> None:
    assert [key for key in load_workshop().machines if f"`{key}`" not in PAGE] == []


def test_every_file_of_a_pack_is_on_the_page() -> None:
    names = (ROOT / "tests" / "cli" / "golden" / "name-signs-0.1.0.txt").read_text().splitlines()
    table = re.findall(r"`([^`]+)`", PAGE.partition("## What is in the zip")[2].partition("##")[0])
    rules = [re.compile(re.escape(rule).replace(r"\*", ".*").replace(r"\.\.\.", ".*")) for rule in table]
    left = [name for name in names if not any(rule.fullmatch(name.partition("/")[2]) for rule in rules)]
    assert left == []


@pytest.mark.parametrize("page", PAGES)
def test_every_link_and_path_on_a_page_leads_somewhere(page: str) -> None:
    text = (ROOT / page).read_text()
    links = [link.partition("#")[0] for link in re.findall(r"\]\(([^)]+)\)", text) if "://" not in link]
    assert [link for link in links if link and not ((ROOT / page).parent / link).exists()] == []
    paths = re.findall(r"`((?:kitforge|plugins|templates|tests|kits)/[a-z_./]*)`", text)
    assert [path for path in paths if not (ROOT / path).exists()] == []


def test_every_room_is_described_for_developers() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text()
    rooms = [path.name for path in (ROOT / "kitforge").iterdir() if path.is_dir() and not path.name.startswith("_")]
    assert [room for room in rooms if f"`kitforge/{room}/`" not in text] == []
