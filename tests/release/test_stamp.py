"""A buyer's copy of a finished zip: whom it is licensed to stands on every page, and nothing else changes."""

from __future__ import annotations

import hashlib
import io
import json
import subprocess
import sys
import zipfile
from pathlib import Path
from typing import Any

import pikepdf
import pytest
from pypdf import PdfReader

from kitforge.cli.main import main
from kitforge.model.errors import KitforgeError
from kitforge.pack.sums import sealed
from kitforge.release.stamp import LICENSED_TO, stamp

TOP = "name-signs-1.0.0"
MANIFEST = {
    "schema": 1,
    "kit": {"title": "Name signs", "version": "1.0.0"},
    "tool": {"name": "kitforge", "version": "0.1.0"},
    "options": {"languages": ["en", "de"]},
}
ORDER = "2026-0417"


def _pdf(language: str, pages: int = 2) -> bytes:
    """Return a tagged document as the printer makes them, with a title, a heading, a picture and a table."""
    from weasyprint import HTML

    picture = "<img alt='A square' src='data:image/svg+xml,<svg xmlns=%22http://www.w3.org/2000/svg%22 width=%2240%22 height=%2240%22><rect width=%2240%22 height=%2240%22/></svg>'>"  # noqa: E501
    page = "<h1>Sign</h1><p>Cut it.</p>" + picture + "<table><tr><th>Feed</th><td>1200</td></tr></table>"
    body = "<div style='break-before:page'></div>".join([page] * pages)
    text = f"<html lang='{language}'><head><title>Sign</title></head><body>{body}</body></html>"
    found = HTML(string=text).write_pdf(pdf_variant="pdf/ua-1", pdf_identifier=b"0" * 32)
    assert found is not None
    return bytes(found)


@pytest.fixture(scope="module")
def files() -> dict[str, bytes]:
    return {
        "booklet-a4.pdf": _pdf("en"),
        "heft-a4-de.pdf": _pdf("de"),
        "drawings/sign.dxf": b"0\nEOF\n",
        "page.html": b"<html><body><h1>Sign</h1></body></html>\n",
        "READ-ME-FIRST.txt": b"Read.\n",
    }


def _zip(path: Path, files: dict[str, bytes], top: str = TOP) -> Path:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in files.items():
            archive.writestr(f"{top}/{name}", data)
    return path


@pytest.fixture
def pack(tmp_path: Path, files: dict[str, bytes]) -> Path:
    return _zip(tmp_path / f"{TOP}.zip", sealed(files, MANIFEST))


def _read(path: Path) -> dict[str, bytes]:
    with zipfile.ZipFile(path) as archive:
        return {name.removeprefix(f"{TOP}/"): archive.read(name) for name in archive.namelist()}


def test_every_page_names_the_order_and_all_else_is_as_it_was(pack: Path, files: dict[str, bytes]) -> None:
    found = _read(stamp(pack, ORDER).archive)
    assert {name for name in files if found[name] == files[name]} == {"drawings/sign.dxf", "READ-ME-FIRST.txt"}
    assert f"order {ORDER}" in found[LICENSED_TO].decode() and f"Bestellung {ORDER}" in found[LICENSED_TO].decode()
    assert (
        f'<p class="licensed"><small>Licensed to the buyer of order {ORDER}</small></p>' in found["page.html"].decode()
    )
    for name in ("booklet-a4.pdf", "heft-a4-de.pdf"):
        for page in pikepdf.open(io.BytesIO(found[name])).pages:
            marks = [
                str(one.operands[0])
                for one in pikepdf.parse_content_stream(page)
                if str(one.operator) in ("BMC", "BDC")
            ]
            assert marks[-1] == "/Artifact"


def test_a_page_names_the_order_in_its_own_languages_and_keeps_the_sums_of_its_policy(tmp_path: Path) -> None:
    """start.html of one language and of two: shown with the language that is chosen; neither style nor script added."""
    body = '<main><div class="in en" lang="en">a</div><div class="in de" lang="de">b</div></main>'
    both = f'<html lang="en"><head><style>a</style></head><body>{body}<script>1</script></body></html>'.encode()
    german = b'<!DOCTYPE html>\n<html lang="de"><body>b</body></html>'
    files = {"start.html": both, "deutsch.html": german}
    found = _read(stamp(_zip(tmp_path / f"{TOP}.zip", sealed(files, MANIFEST)), ORDER).archive)
    words = {"en": f"Licensed to the buyer of order {ORDER}", "de": f"Lizenziert für die Bestellung {ORDER}"}
    said = "".join(f'<small class="in {code}" lang="{code}">{words[code]}</small>' for code in words)
    line = f'<p class="licensed">{said}</p>\n'
    assert found["start.html"].decode() == both.decode().replace("</body>", f"{line}</body>")
    assert f'<p class="licensed"><small lang="de">{words["de"]}</small></p>' in found["deutsch.html"].decode()


def _shown(pdf: bytes, folder: Path) -> bytes:
    """Return the first page as it looks, as a picture of grey dots."""
    (folder / "one.pdf").write_bytes(pdf)
    command = ["pdftoppm", "-r", "60", "-gray", "-f", "1", "-l", "1", "one.pdf"]
    return subprocess.run(command, cwd=folder, check=True, capture_output=True).stdout


def test_the_line_is_seen_at_the_foot_and_nowhere_else(pack: Path, files: dict[str, bytes], tmp_path: Path) -> None:
    found = _read(stamp(pack, ORDER).archive)
    before, after = (_shown(one["booklet-a4.pdf"], tmp_path) for one in (files, found))
    width, height = (int(number) for number in before.split(b"\n", 3)[1].split())
    start = len(before) - width * height
    rows = {index // width for index in range(width * height) if before[start + index] != after[start + index]}
    assert rows and min(rows) > height * (1 - 9 / 297) and max(rows) < height * (1 - 5 / 297)


def test_the_tags_and_the_text_are_those_of_before(pack: Path, files: dict[str, bytes]) -> None:
    """The tree of tags, marked as before, with as many marked places; text that is read out does not change."""
    found = _read(stamp(pack, ORDER).archive)
    for name in ("booklet-a4.pdf", "heft-a4-de.pdf"):
        old, new = (pikepdf.open(io.BytesIO(one[name])) for one in (files, found))
        assert bool(new.Root.MarkInfo.Marked)
        assert _tree(new.Root.StructTreeRoot) == _tree(old.Root.StructTreeRoot)
        assert new.Root.Metadata.read_bytes() == old.Root.Metadata.read_bytes()
        pages = [[page.extract_text() for page in PdfReader(io.BytesIO(one[name])).pages] for one in (files, found)]
        assert pages[0] == pages[1]
        assert all("/Type3" not in str(page.get("/Resources")) for page in new.pages)  # no face was added
        assert [page.Resources.get("/Font", {}).keys() for page in new.pages] == [
            page.Resources.get("/Font", {}).keys() for page in old.pages
        ]


def _tree(node: Any) -> list[object]:
    """Return the kinds of tags with their children and the numbers of marked places."""
    if isinstance(node, int):
        return [node]
    children = node.get("/K", [])
    listed = list(children) if isinstance(children, pikepdf.Array) else [children]
    return [str(node.get("/S", "")), [_tree(child) for child in listed if isinstance(child, int) or "/S" in child]]


def test_the_sums_are_those_of_the_copy(pack: Path) -> None:
    found = _read(stamp(pack, ORDER).archive)
    lines = {name: value for value, name in (line.split("  ", 1) for line in found["SHA256SUMS"].decode().splitlines())}
    assert lines == {name: hashlib.sha256(data).hexdigest() for name, data in found.items() if name != "SHA256SUMS"}
    manifest = json.loads(found["manifest.json"])
    listed = {one["name"]: (one["size"], one["sha256"]) for one in manifest["files"]}
    left_out = ("SHA256SUMS", "manifest.json")
    assert listed == {name: (len(data), lines[name]) for name, data in found.items() if name not in left_out}
    assert manifest["licensed_to"] == ORDER and manifest["kit"] == MANIFEST["kit"]


def test_the_same_order_gives_the_same_bytes_in_another_process(pack: Path, tmp_path: Path) -> None:
    first = stamp(pack, ORDER)
    command = [sys.executable, "-m", "kitforge", "stamp", str(pack), "--to", ORDER, "-o", str(tmp_path / "again")]
    assert subprocess.run(command, capture_output=True, check=False).returncode == 0
    again = tmp_path / "again" / first.archive.name
    assert again.read_bytes() == first.archive.read_bytes()
    assert stamp(pack, "2026-0418").sha256 != first.sha256


def test_the_command_says_where_the_copy_is(pack: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["stamp", str(pack), "--to", ORDER]) == 0
    assert f"{TOP}-{ORDER}.zip: licensed to order {ORDER} on the pages of 3 documents" in capsys.readouterr().out


@pytest.mark.parametrize("order", ["", "a b", "../x", "-x", "x.", "ä", "x" * 41, "a/b", "a\n"])
def test_an_order_number_is_plain(pack: Path, order: str) -> None:
    with pytest.raises(KitforgeError, match="is no order number"):
        stamp(pack, order)


def test_a_copy_is_not_stamped_again(pack: Path) -> None:
    with pytest.raises(KitforgeError, match="was stamped before"):
        stamp(stamp(pack, ORDER).archive, "2")


def _hostile(files: dict[str, bytes]) -> dict[str, dict[str, bytes]]:
    whole = sealed(files, MANIFEST)
    broken = sealed({**files, "booklet-a4.pdf": b"%PDF-1.7\nno more"}, MANIFEST)
    return {
        "is not as SHA256SUMS says": {**whole, "READ-ME-FIRST.txt": b"Read!\n"},
        "'more.txt' is not as SHA256SUMS says": {**whole, "more.txt": b""},
        "outside the pack": {**whole, "../../out.txt": b""},
        "are one name where case": {**whole, "read-me-first.TXT": b""},
        "booklet-a4.pdf cannot be read as a PDF": broken,
        "is no pack of kitforge": {**whole, "manifest.json": b"{}"},
        "cannot be read as a pack": {**whole, "manifest.json": b'{"tool": NaN}'},
    }


@pytest.mark.parametrize("number", range(7))
def test_a_strangers_zip_is_one_plain_message(tmp_path: Path, files: dict[str, bytes], number: int) -> None:
    told, content = list(_hostile(files).items())[number]
    with pytest.raises(KitforgeError) as caught:
        stamp(_zip(tmp_path / "x.zip", content), ORDER)
    assert told in str(caught.value) and len(str(caught.value)) < 400
    assert [path.name for path in tmp_path.iterdir()] == ["x.zip"]


def test_links_and_bombs_are_refused(tmp_path: Path, files: dict[str, bytes], monkeypatch: pytest.MonkeyPatch) -> None:
    path = _zip(tmp_path / "x.zip", sealed(files, MANIFEST))
    monkeypatch.setattr("kitforge.release.whole_pack.LARGEST_PACK", 5000)
    with pytest.raises(KitforgeError, match="unpacks to more than"):
        stamp(path, ORDER)
    with zipfile.ZipFile(path, "a") as archive:
        link = zipfile.ZipInfo(f"{TOP}/link")
        link.external_attr = 0o120777 << 16
        archive.writestr(link, "/etc/passwd")
    with pytest.raises(KitforgeError, match="is no ordinary file"):
        stamp(path, ORDER)


def test_without_the_library_it_is_said_what_to_install(pack: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("kitforge.release.stamp.find_spec", lambda _name: None)
    with pytest.raises(KitforgeError, match=r"kitforge\[stamp\]"):
        stamp(pack, ORDER)
