"""start.html of every demo kit, as it lies in the pack: complete without script, nothing outside, small."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import demo_kits
import lxml.html
import pytest
from firefox import Firefox, firefox
from page_browser import driven, printed
from poppler import texts_of

from kitforge.print.settings import class_numbers, shown_machines

MOST = 1_500_000


def tree_of(made: demo_kits.Demo) -> lxml.html.HtmlElement:
    return lxml.html.document_fromstring(made.files["start.html"].decode("utf-8"))


def test_every_step_stands_there_with_its_files_layers_and_classes(made: demo_kits.Demo) -> None:
    tree, plan = tree_of(made), made.checked.plan
    rows = list(csv.DictReader(io.StringIO(made.files["settings.csv"].decode("utf-8"))))
    numbers = class_numbers(plan)
    fitting = [machine for machine in shown_machines(plan, ()) if machine.fits]
    for step in plan.steps:
        (article,) = tree.xpath(f'//article[@id="en-step-{step.number}"]')
        text = article.text_content()
        own = [row for row in rows if row["step_key"] == step.key]
        for row in own:
            assert all(name in text for name in (*row["drawing"].split(), *row["layer"].split()))
        found = [one.get("class") for one in article.xpath('.//tr[contains(@class, "row")]')]
        assert found == [f"row k{numbers[one.machine.key]}" for one in fitting if step.key in one.settings]


def test_nothing_lies_outside_and_every_place_is_there_once(made: demo_kits.Demo) -> None:
    tree = tree_of(made)
    ids = [one.get("id") for one in tree.xpath("//*[@id]")]
    assert len(ids) == len(set(ids))
    addresses = {one for name in ("src", "href") for one in tree.xpath(f"//@{name}")}
    outside = {one[:40] for one in addresses if not one.startswith(("#", "data:image/webp;base64,"))}
    assert outside == set()
    assert {one[1:] for one in addresses if one.startswith("#")} <= set(ids)


def test_the_page_is_small_enough_to_be_sent(made: demo_kits.Demo) -> None:
    assert len(made.files["start.html"]) <= MOST


READER = """
  const set = (name, value) => { document.getElementById(`f-${name}`).value = value; };
  set("units", "mm"); set("slowest", "8000"); set("fastest", "20000"); set("feed", "2200");
  document.querySelector("#own form").requestSubmit();
"""
FOUND = """
  const step = document.getElementById("en-step-3") || document.getElementById("en-step-1");
  const shown = (one) => one.getClientRects().length > 0;
  const seen = (name) => [...document.querySelectorAll(name)].filter(shown);
  return {
    number: Number(step.dataset.step),
    buy: seen("#en-needs ul.ticks li").length,
    load: step.querySelector(".load").innerText,
    rows: [...step.querySelectorAll("tr.row")].filter(shown).map((one) => one.className),
    row: step.querySelector(".row.k99").innerText,
    drawings: seen("#en-drawings .drawn svg").length,
    sheet: document.querySelectorAll("#en-sheet .row.k99:not(.detail)").length,
    steps: seen(".in.en article.step").length,
    verdict: seen(".verdicts strong").map((one) => one.innerText),
  };
"""
ALONE = 'document.querySelector(".in.en .alone").click();'


def require_a_readers_answers(made: demo_kits.Demo, found: dict[str, Any]) -> None:
    """What to buy, file and layer of a step, settings of one's own in every step and in the table of all."""
    step = next(one for one in made.checked.plan.steps if one.number == found["number"])
    rows = csv.DictReader(io.StringIO(made.files["settings.csv"].decode("utf-8")))
    own = next(row for row in rows if row["step_key"] == step.key)
    assert found["buy"] > 3
    assert all(name in found["load"] for name in (*own["drawing"].split(), *own["layer"].split()))
    assert found["rows"]
    assert all("k99" in name for name in found["rows"])
    assert re.search(r"\d", found["row"]) or "No sound settings." in found["row"]
    assert found["sheet"] == found["steps"] == len(made.checked.plan.steps)
    assert found["drawings"] == len(made.booklet.drawings)
    assert found["verdict"]


def require_one_page(made: demo_kits.Demo, paper: bytes) -> None:
    """The table alone, with every step, whose figures they are, and no figure of a class."""
    (text,) = texts_of(paper)
    assert "8000" in text
    assert "2200 mm/min" in text
    assert made.checked.kit.info.title in text
    assert all(step.title in text for step in made.booklet.steps)
    assert "Yours" not in text


@pytest.mark.soak
def test_a_reader_finds_what_to_buy_a_step_and_settings_of_their_own(made: demo_kits.Demo, tmp_path: Path) -> None:
    """In Chromium, from the unpacked folder: a spindle of 8000 to 20 000 min-1, 2200 mm/min, all else unknown."""
    page = made.files["start.html"].decode("utf-8")
    require_a_readers_answers(made, driven(page, READER + FOUND, tmp_path))
    require_one_page(made, printed(page, READER + ALONE, tmp_path))


@pytest.fixture(scope="module")
def reader(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Firefox]:
    with firefox(tmp_path_factory.mktemp("reader")) as browser:
        yield browser


@pytest.mark.soak
def test_a_reader_in_firefox_finds_the_same(made: demo_kits.Demo, folder: Path, reader: Firefox) -> None:
    """In Firefox as it is shipped, by clicks and keys, on both papers; no file beside the page can be read."""
    reader.open(folder / "start.html")
    neighbour = "try { await fetch('settings.csv'); return true; } catch { return false; }"
    assert reader.run(neighbour) is False
    reader.click('.in.en nav a[href="#en-needs"]')
    reader.click("#own > details > summary")
    reader.click('#f-units option[value="mm"]')
    for name, text in (("slowest", "8000"), ("fastest", "20000"), ("feed", "2200")):
        reader.write(f"#f-{name}", text)
    reader.click("#own form button.main")
    require_a_readers_answers(made, reader.run(FOUND))
    reader.click(".in.en .alone")
    for width, height in ((210.0, 297.0), (215.9, 279.4)):
        require_one_page(made, reader.paper(width, height))
    reader.click(".in.en .alone")
    reader.click(".in.en .tools .main")
    reader.click("#bar .on")
    assert "Step 2" in reader.run("return document.activeElement.innerText;")
    reader.click("#bar .leave")
    reader.open(folder / "start.html")
    assert reader.run("return document.getElementById('f-feed').value;") == "2200"
    assert reader.run("return document.getElementById('k99').checked;") is True
    assert [one for one in reader.errors() if "settings.csv" not in one] == []


_VIEWS = re.compile(r'<div class="plan">(.*?)</div>', re.DOTALL)
_WIDE = re.compile(r'viewBox="0 0 ([\d.]+) [\d.]+"')


def test_the_section_of_a_step_has_the_scale_of_its_plan(made: demo_kits.Demo) -> None:
    """Both are as wide as their column: in a narrower box the section's words would be larger."""
    page = made.files["start.html"].decode()
    pairs = [list(map(float, _WIDE.findall(views))) for views in _VIEWS.findall(page)]
    assert pairs
    assert [pair for pair in pairs if len(pair) != 2 or pair[1] < pair[0]] == []
