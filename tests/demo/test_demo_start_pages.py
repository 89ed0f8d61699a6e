"""start.html of every demo kit, as it lies in the pack: complete without script, nothing outside, small."""

from __future__ import annotations

import csv
import io
import re
from pathlib import Path

import demo_kits
import lxml.html
import pytest
from page_browser import driven, printed

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
  set("slowest", "8000"); set("fastest", "20000"); set("feed", "2200");
  document.querySelector("#own form").requestSubmit();
  const step = document.getElementById("en-step-3") || document.getElementById("en-step-1");
  const shown = (one) => one.getClientRects().length > 0;
  return {
    buy: document.querySelectorAll("#en-needs ul.ticks li").length,
    load: step.querySelector(".load").textContent,
    rows: [...step.querySelectorAll("tr.row")].filter(shown).map((one) => one.className),
    row: step.querySelector(".row.k99").textContent,
    sheet: document.querySelectorAll("#en-sheet .row.k99:not(.detail)").length,
    steps: document.querySelectorAll(".in.en article.step").length,
  };
"""


@pytest.mark.soak
def test_a_reader_finds_what_to_buy_a_step_and_settings_of_their_own(made: demo_kits.Demo, tmp_path: Path) -> None:
    """Opened from the unpacked folder: a spindle of 8000 to 20 000 min-1, 2200 mm/min, all else unknown."""
    answer = driven(made.files["start.html"].decode("utf-8"), READER, tmp_path)
    assert answer["buy"] > 3
    assert re.search(r"\.dxf", answer["load"])
    assert all("k99" in name for name in answer["rows"])
    assert answer["sheet"] == answer["steps"]
    script = READER.partition("const step")[0] + 'document.querySelector(".in.en .alone").click();'
    assert len(printed(made.files["start.html"].decode("utf-8"), script, tmp_path).pages) == (
        1 if answer["steps"] <= 18 else 2
    )
