"""The HTML report in a real browser: numbers lead to their rows, and nothing is asked of the network."""

from __future__ import annotations

import base64
import hashlib
import pathlib
import re
from dataclasses import replace

import pytest
from broken_kits import broken, finding, hostile, with_findings
from browser import counting_server, page_after

from kitforge.report.write import report_bytes


@pytest.fixture(scope="module")
def report_page(tmp_path_factory: pytest.TempPathFactory) -> str:
    """The report of the broken kit as HTML."""
    return report_bytes(broken(), "html").decode("utf-8")


def _lit(dom: str) -> list[tuple[str, str]]:
    """Return (tag, id) of what is picked out."""
    tags = re.findall(r"<(\w+)\b([^>]*)>", dom)
    marked = [(tag, text) for tag, text in tags if re.search(r'class="[^"]*\blit\b', text)]
    return sorted((tag, re.search(r'\bid="(\w+)"', text)[1]) for tag, text in marked)  # type: ignore[index]


def _with_script(page: str, script: str) -> str:
    """Return the page with a script of the test's own, let in by its hash."""
    digest = base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()
    page = page.replace("script-src ", f"script-src 'sha256-{digest}' ", 1)
    return page.replace("</body>", f"<script>{script}</script></body>")


def test_opening_the_page_at_a_finding_picks_out_row_and_number(report_page: str, tmp_path: pathlib.Path) -> None:
    path = tmp_path / "report.html"
    path.write_text(report_page)
    assert _lit(page_after(path, tmp_path / "profile", "#f2")) == [("a", "m2"), ("li", "f2")]


def test_clicking_a_number_in_the_drawing_picks_out_its_row(report_page: str, tmp_path: pathlib.Path) -> None:
    click = "document.getElementById('m3').dispatchEvent(new MouseEvent('click', {bubbles: true, cancelable: true}));"
    path = tmp_path / "report.html"
    path.write_text(_with_script(report_page, click))
    assert _lit(page_after(path, tmp_path / "profile")) == [("a", "m3"), ("li", "f3")]


def test_clicking_a_number_in_the_list_picks_out_its_sign(report_page: str, tmp_path: pathlib.Path) -> None:
    click = "document.querySelector('#f5 a.number').click();"
    path = tmp_path / "report.html"
    path.write_text(_with_script(report_page, click))
    assert _lit(page_after(path, tmp_path / "profile")) == [("a", "m5"), ("li", "f5")]


def test_nothing_is_picked_out_when_the_page_is_opened(report_page: str, tmp_path: pathlib.Path) -> None:
    path = tmp_path / "report.html"
    path.write_text(report_page)
    assert _lit(page_after(path, tmp_path / "profile")) == []


def test_nothing_is_asked_of_the_network_whatever_the_kit_says(tmp_path: pathlib.Path) -> None:
    with counting_server() as (port, asked):
        evil = f"<img src=http://127.0.0.1:{port}/img><link rel=stylesheet href=http://127.0.0.1:{port}/css>"
        evil += f"<style>body{{background:url(http://127.0.0.1:{port}/bg)}}</style>"
        kit = hostile().kit
        kit = replace(kit, info=replace(kit.info, title=evil))
        path = tmp_path / "report.html"
        path.write_bytes(report_bytes(with_findings(kit, [finding(message=evil, at=(5.0, 5.0))]), "html"))
        page_after(path, tmp_path / "profile")
        assert asked == []
        (tmp_path / "control.html").write_text(f"<p>{evil}</p>")
        page_after(tmp_path / "control.html", tmp_path / "profile")
        assert {"/img", "/css"} <= set(asked)


def test_even_markup_that_got_in_may_load_and_run_nothing(report_page: str, tmp_path: pathlib.Path) -> None:
    with counting_server() as (port, asked):
        evil = f"<img src=http://127.0.0.1:{port}/img><script>document.title='run'</script>"
        path = tmp_path / "report.html"
        path.write_text(report_page.replace("</main>", f"{evil}</main>"))
        dom = page_after(path, tmp_path / "profile")
        assert (asked, "<title>run" in dom) == ([], False)
