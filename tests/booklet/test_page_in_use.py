"""start.html in a browser with its script: an own machine, refusals, one step at a time, what is kept, what is told."""

from __future__ import annotations

import io
import json
import os
import re
from html import unescape
from importlib.resources import files
from pathlib import Path

import pytest
from browser import page_after
from kit_samples import plugins
from page_browser import driven, printed
from pypdf import PdfReader
from small_pictures import small

from kitforge.language import use_language
from kitforge.model.pack import BuildOptions
from kitforge.pipeline import check_kit
from kitforge.testing import SmallKit
from kitforge_booklet.build import booklet
from kitforge_booklet.page.document import start_page

CODES = ("en", "de")


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> str:
    """The page of the starter kit in two languages."""
    kit = SmallKit(tmp_path_factory.mktemp("kit") / "kit")
    checked, options = check_kit(kit.folder, plugins()), BuildOptions(languages=CODES)
    found = {}
    with small():
        for code in CODES:
            with use_language(code):
                found[code] = booklet(checked.kit, checked.plan, options)
    return start_page(checked.kit, checked.plan, options, found).data.decode("utf-8")


def test_an_own_machine_gets_its_own_row_in_steps_and_sheet(page: str, tmp_path: Path) -> None:
    """A spindle of 8000 to 20 000 min-1 on a machine that feeds 2200 mm/min; nothing else is known."""
    answer = driven(
        page,
        """set("slowest", "8000"); set("fastest", "20 000".replace(" ", "")); set("feed", "2200"); submit();
        const shown = [...document.querySelectorAll("#en-step-3 .row")].filter((one) => one.getClientRects().length);
        return {fits: document.querySelector(".verdicts strong").textContent, told: told(), row: figures(row("en", 3)),
          rows: shown.length, sheet: document.querySelectorAll("#en-sheet .row.k99:not(.detail)").length,
          chosen: document.getElementById("k99").checked, kept: localStorage.length};""",
        tmp_path,
    )
    assert answer["fits"] == "The kit fits"
    assert answer["told"][0] == "What is not given is taken from: Light router."
    assert re.fullmatch(r"Cherry board: .*: Yes, \d+ of \d+ N( upwards)?", answer["told"][1])
    speed, feed, *_rest = answer["row"]
    assert speed.startswith("18 000 8000–20 000")
    assert re.fullmatch(r"\d+ \d+ \d+–2200", feed)
    assert (answer["rows"], answer["sheet"], answer["chosen"], answer["kept"]) == (2, 3, True, 1)


REFUSED: tuple[tuple[dict[str, str], str], ...] = (
    ({"feed": "fast"}, "Fastest feed: “fast” is no number."),
    ({"feed": "3"}, "Fastest feed: 3 is not between 10 and 200000 mm/min."),
    ({"units": "in", "feed": "0.1"}, "Fastest feed: 0.1 is not between 0.3937 and 7874 in/min."),
    ({"slowest": "20000", "fastest": "8000"}, "Lowest speed, rpm: write the lower number first."),
    ({"slowest": "9000"}, "Lowest speed, rpm: give both, or leave both empty."),
    ({"dial": "1: 9000, 2: 8000"}, "Dial positions with their speeds: write positions with rising speeds, as 1: 10000"),
    ({"collets": "6, ER7"}, "Collets, by shank or size: “ER7” is not known; known are "),
    ({"cutter-0-diameter": "6.6"}, "1/4 in up-cut end mill: 6.6 mm (0.260 in) is wider than 6.35 mm (0.250 in), the "),
    ({"cutter-1-diameter": "1"}, "60 degree V-bit: 1 mm (0.039 in) is narrower than 1.5 mm (0.059 in), the narrowest "),
    ({"cutter-0-edge": "10"}, "1/4 in up-cut end mill: its edge of 10 mm (0.394 in) is shorter than the deepest cut, "),
    ({"stock-0-thickness": "12.6"}, "Cherry board: at 12.6 mm (0.496 in) the cuts that go through would not come out"),
    ({"stock-0-thickness": "18"}, "Cherry board: 18 mm (0.709 in) is too far from 12 mm (0.472 in), for which "),
)


def test_what_cannot_be_is_refused_in_words(page: str, tmp_path: Path) -> None:
    """One sentence for each, and no figures beside it."""
    script = f"""
      const found = [];
      for (const fields of {json.dumps([fields for fields, _words in REFUSED])}) {{
        for (const one of document.querySelectorAll("#own input, #own select")) one.value = "";
        set("units", "mm");
        for (const [name, value] of Object.entries(fields)) set(name, value);
        submit();
        found.push([told(), row("en", 1) === null]);
      }}
      return found;
    """
    for (fields, words), (lines, empty) in zip(REFUSED, driven(page, script, tmp_path), strict=True):
        assert len(lines) == 1, fields
        assert lines[0].startswith(words)
        assert empty


def test_every_length_and_feed_of_the_form_says_its_unit(page: str, tmp_path: Path) -> None:
    """A reader in mm of a kit in inches writes 2200 for mm, not for inches; what is neither has no such unit."""
    answer = driven(
        page,
        """const labels = () => [...document.querySelectorAll("#own .field label")].map((one) => one.textContent);
        const metric = labels();
        set("units", "in");
        document.getElementById("f-units").dispatchEvent(new Event("change", {bubbles: true}));
        return [metric, labels()];""",
        tmp_path,
    )
    metric, inches = answer
    assert [one for one in metric if one.endswith((", mm", ", mm/min"))] == [
        "Travel along X, mm", "Travel along Y, mm", "Travel along Z, mm",
        "Fastest feed, mm/min", "Fastest plunge, mm/min", *["Diameter, mm", "Cutting length, mm"] * 2, "Thickness, mm",
    ]  # fmt: skip
    assert inches == [re.sub(r", mm(/min)?$", r", in\1", one) for one in metric]


def test_a_weak_machine_is_told_why_it_has_no_settings(page: str, tmp_path: Path) -> None:
    """A board that is larger than the table, a shank that no collet takes, a spindle too fast for the feed."""
    answer = driven(
        page,
        """set("x", "200"); set("y", "80"); set("collets", "3.175"); set("slowest", "24000"); set("fastest", "24000");
        set("feed", "500"); submit();
        return [document.querySelector(".verdicts strong").textContent, told(), row("en", 3).innerText];""",
        tmp_path,
    )
    assert answer[0] == "The kit does not fit"
    assert "Cherry board (360 × 90 mm) is larger than the table (200 × 80 mm)" in answer[1]
    assert "1/4 in up-cut end mill has a 6.35 mm shank; collets of the class: 3.175 mm" in answer[1]
    assert "No sound settings." in answer[2]


def test_every_figure_is_explained_when_it_is_asked_for(page: str, tmp_path: Path) -> None:
    """Limits and lines with formula, unit and source; the limit that rules is the end of the row's range."""
    answer = driven(
        page,
        """set("feed", "2200"); submit();
        const how = document.querySelector("#en-step-3 details.how");
        how.open = true;
        await new Promise((done) => setTimeout(done, 100));
        const rows = [...how.querySelectorAll("tbody tr")];
        const lines = rows.map((one) => [...one.cells].map((cell) => cell.textContent));
        return {titles: [...how.querySelectorAll("h4")].map((one) => one.textContent), lines,
          limits: [...how.querySelectorAll("li")].map((one) => one.textContent)};""",
        tmp_path,
    )
    assert answer["titles"] == ["Speed", "Feed", "Plunge", "Depth per pass"]
    assert any(one.startswith("at most 2200 mm/min: machine feed") for one in answer["limits"])
    assert len(answer["lines"]) > 60
    assert all(words and formula and result and source for words, formula, result, source in answer["lines"])


def test_one_step_at_a_time_by_buttons_and_keys(page: str, tmp_path: Path) -> None:
    """One step is shown, large; focus goes to its heading, which a status says too; every target is 48 px or more."""
    answer = driven(
        page,
        """document.getElementById("k2").click();
        document.querySelector(".tools .main").click();
        const shown = () => seen("article.step").map((one) => one.id);
        const first = [shown(), document.activeElement.id, document.getElementById("said").textContent];
        press("ArrowRight");
        document.querySelector("#bar .on").click();
        const last = [shown(), document.activeElement.id, document.querySelector("#bar .on").disabled];
        const figure = document.querySelector("#en-step-3 .row.k2 td b");
        const size = parseFloat(getComputedStyle(figure).fontSize);
        const small = seen("#bar button, #en-step-3 label:has(input), #en-step-3 textarea, summary")
          .filter((one) => one.getBoundingClientRect().height < 48);
        press("Escape");
        const next = document.querySelector("#bar .then").textContent;
        return {first, last, size, small: small.length, back: shown().length, next};""",
        tmp_path,
    )
    assert answer["first"] == [["en-step-1"], "en-name-1", "Step 1 of 3"]
    assert answer["last"] == [["en-step-3"], "en-name-3", True]
    assert answer["size"] >= 40
    assert (answer["small"], answer["back"], answer["next"]) == (0, 3, "")


def test_what_is_noted_is_kept_under_one_name_and_comes_back(page: str, tmp_path: Path) -> None:
    """Ticks hold in every language; another language shows the own row and the notes too; a second visit finds them.

    Both visits are of one browser: what a browser keeps is on the disk some seconds after it was kept, and is not if
    the browser ends before that.
    """
    first, again = driven(
        page,
        """const visit = sessionStorage.getItem("visit");
        if (visit) {
          return [JSON.parse(visit), [document.documentElement.lang, document.getElementById("de-t1").checked,
            document.getElementById("n-step-2").value, document.getElementById("k99").checked, row("de", 3) !== null]];
        }
        document.getElementById("en-t1").click();
        const area = document.getElementById("n-step-2");
        area.value = "<b>mine</b>"; area.dispatchEvent(new Event("input", {bubbles: true}));
        set("feed", "2200"); submit();
        document.getElementById("l-de").click();
        const key = localStorage.key(0), kept = JSON.parse(localStorage.getItem(key));
        const note = document.getElementById("n-step-2").value, tick = document.getElementById("de-t1").checked;
        const lang = document.documentElement.lang, german = row("de", 3).innerText;
        const found = {key, kept, note, tick, lang, count: localStorage.length, german};
        sessionStorage.setItem("visit", JSON.stringify(found));
        location.reload();
        return new Promise(() => {});""",
        tmp_path,
    )
    assert re.fullmatch(r"kitforge:name-signs@0\.1\.0#[0-9a-f]{8}", first["key"])
    assert (first["count"], first["tick"], first["note"], first["lang"]) == (1, True, "<b>mine</b>", "de")
    assert first["kept"]["ticks"] == {"t1": "1"}
    assert "Ihre" in first["german"] or "Eigene" in first["german"]
    assert again == ["de", True, "<b>mine</b>", True, True]


def test_a_store_that_throws_or_holds_rubbish_stops_nothing(page: str, tmp_path: Path) -> None:
    """It is said once that notes are lost with the page."""
    broken = "Object.defineProperty(window, 'localStorage', {get() { throw new Error('no store'); }});"
    script = """set("feed", "2200"); submit(); return [row("en", 3) !== null,
      [...document.querySelectorAll(".tools .fine")].map((one) => one.textContent)];"""
    (tmp_path / "one").mkdir()
    assert driven(page, script, tmp_path / "one", before=broken) == [
        True, ["This browser keeps nothing: notes last until the page is closed. Save them as a file."]
    ]  # fmt: skip
    kept = json.dumps({"ticks": [1], "notes": 3, "form": {"feed": {}, "z": 7}, "chosen": {"class": "x"}})
    rubbish = f"Storage.prototype.getItem = () => {json.dumps(kept)};"
    (tmp_path / "two").mkdir()
    assert driven(page, script, tmp_path / "two", before=rubbish)[0] is True


def test_nothing_runs_over_the_edge_of_a_screen_of_320_px(page: str, tmp_path: Path) -> None:
    """In both languages, with an own machine, in the page and at the machine (WCAG 2.2, 1.4.10)."""
    wrapper = tmp_path / "narrow.html"
    script = """
      const frame = document.createElement("iframe");
      frame.style.cssText = "width: 320px; height: 800px; border: 0";
      frame.srcdoc = JSON.parse(document.getElementById("page").textContent);
      frame.addEventListener("load", () => {
        const inside = frame.contentDocument, found = [inside.documentElement.clientWidth];
        const look = () => {
          for (const one of inside.querySelectorAll("body *")) {
            const there = one.getClientRects().length && !one.closest(".wide, svg svg, use, .unseen, .files");
            if (there && one.getBoundingClientRect().right > 320.5) found.push(`${one.tagName}.${one.className}`);
          }
        };
        look();
        inside.getElementById("f-feed").value = "2200";
        inside.querySelector("#own form").requestSubmit();
        look();
        inside.getElementById("l-de").click();
        look();
        [...inside.querySelectorAll(".de .tools .main")][0].click();
        look();
        document.title = JSON.stringify(found);
      });
      document.body.append(frame);
    """
    text = json.dumps(page).replace("<", "\\u003c")
    wrapper.write_text(
        f'<!DOCTYPE html><meta charset="utf-8"><title>none</title><body>'
        f'<script type="application/json" id="page">{text}</script><script>{script}</script>',
        encoding="utf-8",
    )
    title = re.search(r"<title>(.*?)</title>", page_after(wrapper, tmp_path / "profile"), re.DOTALL)
    assert title is not None
    assert json.loads(unescape(title[1])) == [320]


def test_every_figure_of_an_own_row_stands_under_its_heading(page: str, tmp_path: Path) -> None:
    """In steps and sheet, where a row of a class has each, counting cells that are wider than one column."""
    answer = driven(
        page,
        """set("feed", "2200"); submit();
        const span = (cells) => cells.reduce((sum, one) => sum + one.colSpan, 0);
        const place = (cell) => span([...cell.parentNode.cells].slice(0, cell.cellIndex));
        const found = [];
        for (const table of document.querySelectorAll(".in.en :is(.step, .sheet) table.settings")) {
          const heads = [...table.tHead.rows[0].cells].map((one) => one.textContent.trim());
          for (const line of table.querySelectorAll(".row:not(.detail)")) {
            for (const cell of line.querySelectorAll('td[class^="c"]')) {
              const name = getComputedStyle(cell).getPropertyValue("--name").replaceAll('"', "");
              if (heads[place(cell)] !== name) found.push([name, heads[place(cell)]]);
            }
          }
          for (const line of table.querySelectorAll("tbody tr")) {
            const width = span([...line.cells]);
            if (width !== heads.length) found.push(["width", width, line.textContent]);
          }
        }
        return [document.querySelectorAll('#en-sheet .k99 td[class^="c"]').length, found];""",
        tmp_path,
    )
    assert answer[0] > 12
    assert answer[1] == []


def test_the_settings_for_my_machine_print_on_one_page(page: str, tmp_path: Path) -> None:
    """Without the rest of the page, and in its columns."""
    script = """set("slowest", "8000"); set("fastest", "20000"); set("feed", "2200"); submit();
      document.querySelector(".in.en .alone").click();"""
    paper = PdfReader(io.BytesIO(printed(page, script, tmp_path)))
    assert len(paper.pages) == 1
    text = paper.pages[0].extract_text()
    assert "Cut the sign free" in text
    assert "machine feed" in text
    assert "Fastest feed 2200 mm/min. What is not given is taken from: Light router." in " ".join(text.split())
    assert "Yours" not in text
    assert "Safety" not in text


@pytest.mark.parametrize("at_work", [False, True])
def test_axe_finds_nothing(page: str, tmp_path: Path, at_work: bool) -> None:
    """WCAG 2.1 A and AA and best practice of axe-core, in the page with all of the form open, and at the machine."""
    script = f"""
      set("feed", "2200"); submit();
      document.querySelectorAll("#own details, #en-step-3 details").forEach((one) => {{ one.open = true; }});
      if ({json.dumps(at_work)}) document.querySelector(".tools .main").click();
      await new Promise((done) => setTimeout(done, 100));
      const found = await axe.run(document, {{resultTypes: ["violations"]}});
      return found.violations.map((one) => [one.id, one.nodes.map((node) => [node.html, node.failureSummary])]);
    """
    free = re.sub(r'<meta http-equiv="Content-Security-Policy"[^>]*>', "", page)  # axe itself is no part of the page
    assert driven(free, script, tmp_path, before=axe()) == []


def axe() -> str:
    """Return the script of axe-core; without it the test is skipped, except where everything must run."""
    try:
        return files("axe_core_python").joinpath("axe.min.js").read_text(encoding="utf-8")
    except ModuleNotFoundError:
        if os.environ.get("CI"):
            pytest.fail("axe-core-python is not installed, and CI must run this")
        pytest.skip("axe-core-python is not installed: make test installs it")
