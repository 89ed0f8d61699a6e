"""The three kinds of report: complete, safe, the same every time, whole or not written at all."""

from __future__ import annotations

import hashlib
import io
import os
import pathlib
import re
import subprocess
import sys
from html.parser import HTMLParser
from typing import Any

import pytest
from broken_kits import HOSTILE, broken, finding, hostile, with_findings
from defusedxml import ElementTree
from pypdf import PdfReader

from kitforge.model.errors import KitforgeError
from kitforge.pipeline import CheckedKit
from kitforge.report.gather import report_of
from kitforge.report.write import report_bytes, report_kind, write_report

KINDS = ("html", "pdf", "svg")
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def whole() -> CheckedKit:
    """The broken kit, checked."""
    return broken()


@pytest.fixture(scope="module")
def files(whole: CheckedKit) -> dict[str, bytes]:
    """Its report in all three kinds."""
    return {kind: report_bytes(whole, kind) for kind in KINDS}


class _Page(HTMLParser):
    """What a browser would see of a page: tags with their attributes, and text by the id of the list row around it."""

    def __init__(self, data: bytes) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str]]] = []
        self.rows: dict[str, str] = {}
        self._row = ""
        self.feed(data.decode("utf-8"))

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        found = {name: value or "" for name, value in attrs}
        self.tags.append((tag, found))
        if tag == "li":
            self._row = found.get("id", "")

    def handle_endtag(self, tag: str) -> None:
        self._row = "" if tag == "li" else self._row

    def handle_data(self, data: str) -> None:
        if self._row:
            self.rows[self._row] = self.rows.get(self._row, "") + data

    def ids(self) -> list[str]:
        """Return every id in order."""
        return [found["id"] for _tag, found in self.tags if "id" in found]


def _words(text: str) -> str:
    return "".join(text.split())


def _pdf_text(data: bytes) -> str:
    return "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(data)).pages)


def _entries(checked: CheckedKit) -> list[tuple[int, str, bool]]:
    sections = report_of(checked).sections
    return [(e.number, str(e.finding.message), e.mark is not None) for section in sections for e in section.entries]


def test_html_lists_every_finding_once_with_its_number(whole: CheckedKit, files: dict[str, bytes]) -> None:
    page = _Page(files["html"])
    rows = {name: text for name, text in page.rows.items() if re.fullmatch(r"f\d+", name)}
    assert list(rows) == [f"f{number}" for number, _message, _marked in _entries(whole)]
    for number, message, _marked in _entries(whole):
        assert _words(message) in _words(rows[f"f{number}"])


@pytest.mark.parametrize("kind", ["html", "svg"])
def test_every_finding_with_a_place_has_one_sign_in_a_drawing(
    whole: CheckedKit, files: dict[str, bytes], kind: str
) -> None:
    signs = re.findall(r'id="m(\d+)"', files[kind].decode("utf-8"))
    assert [int(n) for n in sorted(signs, key=int)] == [n for n, _message, marked in _entries(whole) if marked]


@pytest.mark.parametrize("kind", ["html", "svg"])
def test_no_id_is_given_twice(files: dict[str, bytes], kind: str) -> None:
    ids = _Page(files[kind]).ids()
    assert len(ids) == len(set(ids))


def test_svg_lists_every_finding_once_with_its_number(whole: CheckedKit, files: dict[str, bytes]) -> None:
    root = ElementTree.fromstring(files["svg"])
    rows = {g.get("id"): "".join(g.itertext()) for g in root.iter(f"{SVG}g") if re.fullmatch(r"f\d+", g.get("id", ""))}
    assert list(rows) == [f"f{number}" for number, _message, _marked in _entries(whole)]
    for number, message, _marked in _entries(whole):
        assert rows[f"f{number}"].split()[0] == str(number)
        assert _words(message) in _words(rows[f"f{number}"])


def test_svg_text_stays_on_the_sheet(files: dict[str, bytes]) -> None:
    root = ElementTree.fromstring(files["svg"])
    _x, _y, width, height = map(float, root.attrib["viewBox"].split())
    texts = list(root.iter(f"{SVG}text"))
    assert len(texts) > 100
    assert all(0 <= float(t.attrib["x"]) <= width and 0 <= float(t.attrib["y"]) <= height for t in texts)


def test_pdf_says_every_finding_once(whole: CheckedKit, files: dict[str, bytes]) -> None:
    text = _words(_pdf_text(files["pdf"]))
    for _number, message, _marked in _entries(whole):
        wanted = sum(_words(message) in _words(other) for _n, other, _m in _entries(whole))
        assert text.count(_words(message)) == wanted


def test_pdf_pictures_carry_the_numbers(whole: CheckedKit, files: dict[str, bytes]) -> None:
    described = re.findall(r"(?:error|warning|note) (\d+)", _alternative_texts(files["pdf"]))
    assert sorted({int(n) for n in described}) == [n for n, _message, _marked in _entries(whole)]


def _alternative_texts(data: bytes) -> str:
    import pikepdf

    with pikepdf.open(io.BytesIO(data)) as pdf:
        return "\n".join(
            str(item["/Alt"]) for item in pdf.objects if isinstance(item, pikepdf.Dictionary) and "/Alt" in item
        )


@pytest.mark.parametrize("kind", KINDS)
def test_the_same_kit_gives_the_same_bytes(whole: CheckedKit, files: dict[str, bytes], kind: str) -> None:
    assert report_bytes(whole, kind) == files[kind]


def test_the_same_kit_gives_the_same_bytes_in_another_process(files: dict[str, bytes], tmp_path: pathlib.Path) -> None:
    here = pathlib.Path(__file__).parent
    code = (
        "import sys; sys.path[:0] = sys.argv[1:3]\n"
        "from broken_kits import broken\nfrom kitforge.report.write import report_bytes\n"
        "import hashlib; c = broken()\n"
        "print([hashlib.sha256(report_bytes(c, k)).hexdigest() for k in ('html', 'pdf', 'svg')])"
    )
    paths = [str(here), str(here.parent / "plugins")]
    env = {**os.environ, "PYTHONHASHSEED": "12345", "TZ": "Asia/Tokyo", "LC_ALL": "C"}
    done = subprocess.run(
        [sys.executable, "-c", code, *paths], capture_output=True, text=True, cwd=tmp_path, env=env, check=True
    )

    assert done.stdout.strip() == str([hashlib.sha256(files[kind]).hexdigest() for kind in KINDS])


def test_text_from_a_kit_is_never_markup_in_html() -> None:
    page = _Page(report_bytes(hostile(), "html"))
    assert {"img", "iframe", "object", "link", "form"} & {tag for tag, _attrs in page.tags} == set()
    assert [tag for tag, _attrs in page.tags].count("script") == 1
    assert [tag for tag, _attrs in page.tags].count("style") == 1
    attributes = [(name, value) for _tag, attrs in page.tags for name, value in attrs.items()]
    assert [name for name, _value in attributes if name.startswith("on") or name == "src"] == []
    assert [value for name, value in attributes if name == "href" and not value.startswith("#")] == []


def test_text_from_a_kit_is_never_markup_in_svg() -> None:
    root = ElementTree.fromstring(report_bytes(hostile(), "svg"))
    tags = {item.tag.removeprefix(SVG) for item in root.iter()}
    assert tags <= {"svg", "g", "title", "desc", "rect", "path", "text", "clipPath"}


@pytest.mark.parametrize("kind", KINDS)
def test_signs_that_are_not_seen_are_written_out(kind: str) -> None:
    data = report_bytes(hostile(), kind)
    text = _pdf_text(data) if kind == "pdf" else data.decode("utf-8")
    assert "‹U+202E›" in text.replace("\n", "")
    assert not {"\u202e", "\x1b", "\x00"} & set(text)


def test_the_hostile_text_is_shown_as_it_was_written() -> None:
    page = _Page(report_bytes(hostile(), "html"))
    start = _words(HOSTILE.split("\u202e", maxsplit=1)[0])
    assert all(start in _words(page.rows[name]) for name in ("f1", "f2"))


@pytest.mark.parametrize(("name", "kind"), [("a.html", "html"), ("a.HTM", "html"), ("b.pdf", "pdf"), ("c.svg", "svg")])
def test_the_ending_of_the_name_says_the_kind(name: str, kind: str) -> None:
    assert report_kind(pathlib.Path(name)) == kind


def test_another_ending_is_refused_in_plain_words() -> None:
    with pytest.raises(KitforgeError, match=r"'report\.docx'.*\.html, \.pdf or \.svg"):
        report_kind(pathlib.Path("report.docx"))


def test_a_report_replaces_an_older_one_and_leaves_nothing_beside_it(whole: CheckedKit, tmp_path: pathlib.Path) -> None:
    path = tmp_path / "report.svg"
    path.write_text("<!-- an older kitforge check report -->")
    write_report(whole, path)
    assert path.read_bytes().startswith(b"<?xml")
    assert [found.name for found in tmp_path.iterdir()] == ["report.svg"]


def test_a_pdf_without_end_is_refused_in_plain_words(whole: CheckedKit) -> None:
    many = with_findings(whole.kit, [finding(number) for number in range(2001)])
    with pytest.raises(KitforgeError, match=r"2001 findings.*\.html or \.svg"):
        report_bytes(many, "pdf")


def test_a_report_that_cannot_be_written_is_a_plain_mistake(whole: CheckedKit, tmp_path: pathlib.Path) -> None:
    with pytest.raises(KitforgeError, match="Cannot write"):
        write_report(whole, tmp_path / "missing" / "report.svg")


def test_pdf_is_tagged_titled_and_embeds_only_the_shipped_typeface(files: dict[str, bytes]) -> None:
    reader = PdfReader(io.BytesIO(files["pdf"]))
    assert reader.metadata is not None
    assert reader.metadata.title == "Check report: Kit"
    marked: Any = reader.root_object["/MarkInfo"]
    assert marked["/Marked"]
    assert not re.search(rb"/JavaScript|/Launch|/URI", files["pdf"])
