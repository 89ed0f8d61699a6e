"""manifest.json and SHA256SUMS: complete, in a fixed order, and checkable with the tools people have."""

from __future__ import annotations

import hashlib
import json
import pathlib
import shutil
import subprocess

import pytest

import kitforge_manifest
from kitforge.geometry.biarc import FIT_TOLERANCE
from kitforge.model.kit import Kit
from kitforge.model.pack import BuildOptions, PackFile
from kitforge.model.plan import Plan

FILES = (
    PackFile("read me.txt", b"x", "one"),
    PackFile("drawings/side.dxf", b"0\n" * 9, "two"),
    PackFile("a.pdf", b"", "three"),
)


@pytest.fixture
def sealed(kit: Kit, plan: Plan) -> dict[str, bytes]:
    files = kitforge_manifest.kitforge_seal(kit, plan, FILES, BuildOptions(units="mm"))
    return {file.name: file.data for file in files}


def test_the_pack_gains_a_manifest_and_sums(sealed: dict[str, bytes]) -> None:
    assert list(sealed) == ["manifest.json", "SHA256SUMS"]


def test_the_manifest_names_kit_tool_options_tolerance_and_inputs(sealed: dict[str, bytes], kit: Kit) -> None:
    made = json.loads(sealed["manifest.json"])
    assert made["schema"] == kitforge_manifest.SCHEMA
    assert (made["kit"]["slug"], made["kit"]["version"]) == ("nest-box", "1.2.0")
    assert made["options"] == {
        "machines": ["light_router", "medium_router"],
        "units": "mm",
        "papers": ["a4", "letter"],
        "languages": ["en"],
        "theme": "plain",
    }
    assert made["flattening_tolerance_mm"] == FIT_TOLERANCE
    assert [entry["name"] for entry in made["inputs"]] == ["kit.yaml", "side.svg"]
    assert {"name", "version"} == made["tool"].keys()


def test_the_manifest_lists_this_plugin_with_its_distribution(sealed: dict[str, bytes]) -> None:
    plugins = json.loads(sealed["manifest.json"])["plugins"]
    assert ("manifest", "kitforge") in [(plugin["name"], plugin["distribution"]) for plugin in plugins]
    assert [plugin["name"] for plugin in plugins] == sorted({plugin["name"] for plugin in plugins})


def test_every_file_is_listed_in_order_with_size_and_sum(sealed: dict[str, bytes]) -> None:
    """Sizes and sums computed here again with hashlib."""
    expected = [
        {"name": file.name, "size": len(file.data), "sha256": hashlib.sha256(file.data).hexdigest()}
        for file in sorted(FILES, key=lambda file: file.name)
    ]
    assert json.loads(sealed["manifest.json"])["files"] == expected


def test_sums_cover_every_file_but_themselves(sealed: dict[str, bytes]) -> None:
    names = [line.partition("  ")[2] for line in sealed["SHA256SUMS"].decode().splitlines()]
    assert names == ["a.pdf", "drawings/side.dxf", "manifest.json", "read me.txt"]


@pytest.mark.parametrize("tool", [("sha256sum", "--strict", "-c"), ("shasum", "-a", "256", "-c")])
def test_the_tools_people_have_accept_the_sums(
    tmp_path: pathlib.Path, sealed: dict[str, bytes], tool: tuple[str, ...]
) -> None:
    """GNU coreutils' sha256sum and Perl's shasum, two independent readers of the format."""
    if shutil.which(tool[0]) is None:
        pytest.skip(f"{tool[0]} is not installed")
    for name, data in {**sealed, **{file.name: file.data for file in FILES}}.items():
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_bytes(data)
    done = subprocess.run([*tool, "SHA256SUMS"], cwd=tmp_path, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout.count(": OK")) == (0, 4)
    (tmp_path / "a.pdf").write_bytes(b"changed")
    done = subprocess.run([*tool, "SHA256SUMS"], cwd=tmp_path, capture_output=True, text=True, check=False)
    assert (done.returncode, "a.pdf: FAILED" in done.stdout) == (1, True)


def test_the_order_of_files_does_not_change_a_byte(sealed: dict[str, bytes], kit: Kit, plan: Plan) -> None:
    again = kitforge_manifest.kitforge_seal(kit, plan, FILES[::-1], BuildOptions(units="mm"))
    assert {file.name: file.data for file in again} == sealed


def test_the_manifest_knows_neither_time_nor_place(sealed: dict[str, bytes]) -> None:
    text = sealed["manifest.json"].decode()
    assert [word for word in (str(pathlib.Path.home()), str(pathlib.Path.cwd()), "time", "host") if word in text] == []
