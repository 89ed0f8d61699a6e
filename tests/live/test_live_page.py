"""The live page in a real browser: it follows, lights what belongs together, survives, and runs nothing of a kit.

One browser and one session for all of it; the tests go through the kit's life in the order in which they stand.
"""

from __future__ import annotations

import json
import time
from collections.abc import Iterator
from dataclasses import dataclass
from importlib.resources import files

import pytest
from chrome import Chrome, Page, chrome
from kit_samples import plugins

from kitforge.live.session import LiveSession, following
from kitforge.model.family import AS_WRITTEN
from kitforge.testing import SmallKit

TOOLS = """
  window.one = (name) => document.querySelector(name);
  window.every = (name, say) => [...document.querySelectorAll(name)].map(say);
  window.set = (name, value, event) => {
    one(name).value = value;
    one(name).dispatchEvent(new Event(event, {bubbles: true}));
  };
  window.click = (name) => { one(name).dispatchEvent(new MouseEvent('click', {bubbles: true, cancelable: true})); };
  window.press = (name, key) => { one(name).dispatchEvent(new KeyboardEvent('keydown', {key, bubbles: true})); };
  window.hide = (hidden) => {
    Object.defineProperty(document, 'hidden', {value: hidden, configurable: true});
    dispatchEvent(new Event('visibilitychange'));
  };
  undefined
"""
"""What the tests do in the page; the developer tools put it there past the page's own policy."""
DONE = "document.body.dataset.stage === 'done'"


@dataclass(frozen=True)
class Live:
    """A kit that is followed, and the tab in which it is looked at."""

    kit: SmallKit
    text: str
    session: LiveSession
    browser: Chrome
    page: Page

    def save(self, old: str, new: str) -> int:
        """Save the starter kit with one text changed; return the generation before."""
        before = self.session.follower.generation
        assert self.text.count(old) == 1, old
        self.kit.file.write_text(self.text.replace(old, new), encoding="utf-8")
        return before

    def wait_for_stage(self, stage: str, after: int) -> None:
        self.page.wait_for(
            f"document.body.dataset.stage === {json.dumps(stage)} && Number(document.body.dataset.generation) > {after}"
        )

    def line(self, text: str) -> int:
        return next(number for number, line in enumerate(self.text.split("\n"), 1) if text in line)


@pytest.fixture(scope="module")
def live(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Live]:
    kit = SmallKit(tmp_path_factory.mktemp("live") / "kit")
    session = LiveSession(kit.folder, AS_WRITTEN, plugins())
    with following(session), chrome(tmp_path_factory.mktemp("profile")) as browser:
        page = browser.page()
        page.size(1280, 1000)
        opened(page, session)
        yield Live(kit, kit.file.read_text(encoding="utf-8"), session, browser, page)


def opened(page: Page, session: LiveSession) -> None:
    """Open the page by its token and wait until all of it is there."""
    page.open(session.server.address)
    page.wait_for(f"{DONE} && document.body.dataset.drawn")
    page.run(TOOLS)


def test_it_shows_the_kit(live: Live) -> None:
    page = live.page
    assert page.run("document.title") == "Two name signs – kitforge live"
    assert page.run("location.pathname") == "/"  # the token is in no address that a picture of the screen shows
    assert page.run("one('#step-words').textContent").startswith("1 Recess for the label: Sign")
    classes = page.run("every('#class option', (shown) => shown.textContent)")
    assert classes == ["Light router", "Medium router", "Heavy router"]
    assert page.run("every('#settings > [data-class]', (shown) => shown.hidden)") == [False, True, True]
    assert "Nothing was found here" in page.run("one('#part-1').textContent")


def dots(page: Page) -> int:
    """Return the sum of all colours in the picture of the piece; 0 where it is empty."""
    found: int = page.run(
        """(() => {
          const drawn = one('#solid canvas'), flat = document.createElement('canvas');
          [flat.width, flat.height] = [drawn.width, drawn.height];
          const context = flat.getContext('2d');
          context.drawImage(drawn, 0, 0);
          return context.getImageData(0, 0, flat.width, flat.height).data.reduce((sum, dot) => sum + dot, 0);
        })()"""
    )
    return found


def test_the_slider_goes_through_the_steps(live: Live) -> None:
    page, seen = live.page, []
    for place in (1, 2, 3):
        page.run(f"set('#slider', {place}, 'input')")
        page.wait_for(f"document.body.dataset.drawn.endsWith(':{place}')")
        seen.append(dots(page))
    assert len(set(seen)) == 3
    assert min(seen) > 1e6
    assert page.run("one('#slider').getAttribute('aria-valuetext')") == "step 3, Cut the sign free, Sign"


LIT = "every('.lit', (shown) => shown.id || shown.getAttribute('aria-label') || shown.tagName)"
SELECTED = "one('.lines [aria-selected=\"true\"]').id"


def test_a_line_lights_what_it_makes_and_a_cut_lights_its_lines(live: Live) -> None:
    page = live.page
    page.run(f"click('#L{live.line('name: recess')}')")
    found = page.run(LIT)
    assert "Recess for the label: its lines in kit.yaml" in found
    assert f"L{live.line('depth: 2 mm')}" in found
    assert f"L{live.line('name: line')}" not in found
    assert page.run("one('#step-words').textContent").startswith("1 Recess")
    page.run("click('svg .made[aria-label^=\"Line around\"]')")
    found = page.run(LIT)
    assert f"L{live.line('name: line')}" in found
    assert f"L{live.line('depth: 2 mm')}" not in found
    assert page.run(SELECTED) == f"L{live.line('name: line')}"
    page.run("press('.lines', 'ArrowDown')")
    assert page.run(SELECTED) == f"L{live.line('name: line') + 1}"


def test_a_save_is_followed_and_the_reader_stays_where_he_was(live: Live, capsys: pytest.CaptureFixture[str]) -> None:
    """The findings come to their line; class, step, scrolling stay. How long it took is printed, never asserted."""
    page = live.page
    page.run("set('#class', 'heavy_router', 'change')")
    page.run("set('#slider', 2, 'input')")
    page.wait_for("document.body.dataset.drawn.endsWith(':2')")
    page.run("scrollTo(0, 700)")
    page.run("one('.lines').scrollTop = 300")
    started = time.monotonic()
    before = live.save("long: 150 mm", "long: 350 mm")
    page.wait_for(f"document.body.dataset.drawn === '{before + 1}:2'")
    seen = time.monotonic() - started
    live.wait_for_stage("done", before)
    with capsys.disabled():
        stages = ", ".join(f"{name} {seconds:.2f}" for name, seconds in live.session.follower.seconds.items())
        print(f"\nlive: from save to the piece in the browser {seen:.2f} s; seconds after it was noticed: {stages}")
    line = live.line("  sign:")
    assert page.run(f"one('#L{line}').classList.contains('error')")
    assert "part-too-large" in page.run("one('#drawn').textContent")
    assert page.run("one('#class').value") == "heavy_router"
    assert page.run("one('#settings > :not([hidden])').dataset.class") == "heavy_router"
    assert page.run("one('#slider').value") == "2"
    assert page.run("scrollY") == 700
    assert page.run("one('.lines').scrollTop") == 300
    page.run(f"click('#drawn a[href=\"#L{line}\"]')")
    assert page.run(SELECTED) == f"L{line}"


HELD_UP = """
  window.askedOf = [];
  window.asking = window.asking || window.fetch;
  window.fetch = async (address, ...more) => {
    const times = askedOf.filter((one) => one === address).length;
    askedOf.push(address);
    if (times === 0 && LOST.test(address)) throw new TypeError('the answer was lost');
    const answer = await asking(address, ...more);
    if (times === 0 && SLOW.test(address)) await new Promise((over) => setTimeout(over, 1500));
    return answer;
  };
  undefined
"""
"""The first answer for each of some pieces comes late, or never; those after it come at once."""


@pytest.mark.parametrize(("slow", "lost"), [("text|drawn", "$^"), ("$^", "text|drawn")])
def test_it_says_done_when_all_that_was_found_is_in_place(live: Live, slow: str, lost: str) -> None:
    """A later state that changes nothing may come while earlier pieces are on their way, or after they were lost."""
    page, line = live.page, live.line("  sign:")
    before = live.save("count: 2", "count: 3")
    live.wait_for_stage("done", before)
    assert not page.run(f"one('#L{line}').classList.contains('error')")
    page.run(HELD_UP.replace("SLOW", f"/{slow}/").replace("LOST", f"/{lost}/"))
    before = live.save("long: 150 mm", "long: 350 mm")
    live.wait_for_stage("done", before)
    assert page.run(f"one('#L{line}').classList.contains('error')")
    assert "part-too-large" in page.run("one('#drawn').textContent")
    assert len(page.run("askedOf")) > len(set(page.run("askedOf")))
    page.run("window.fetch = asking; undefined")
    before = live.save("count: 2", "count: 1")
    live.wait_for_stage("done", before)


def test_what_cannot_be_read_leaves_the_last_state_in_grey(live: Live) -> None:
    page, words = live.page, "one('#trouble').innerText"
    shown = page.run("one('#drawn').innerHTML.length")
    before = live.save("do: pocket #", "do: pokcet #")
    live.wait_for_stage("trouble", before)
    assert page.run("document.body.classList.contains('old')")
    assert f"kit.yaml, line {live.line('do: pocket')}" in page.run(words)
    assert page.run("one('#drawn').innerHTML.length") == shown
    assert page.run("getComputedStyle(one('main')).filter") == "grayscale(1)"
    before = live.save("count: 2", "count: 1")
    live.wait_for_stage("done", before)
    assert not page.run("document.body.classList.contains('old')")
    assert page.run(words) == ""


def test_a_machine_of_ones_own(live: Live) -> None:
    """The speeds that the own machine has bound its settings; a pair of which half is missing is said in words."""
    page = live.page
    page.run("one('#own').open = true")
    page.run("set('#own-fast', '9000', 'input')")
    page.run("one('#own-form').requestSubmit()")
    page.wait_for("one('#own-settings').textContent.includes('give both')")
    page.run("set('#own-slow', '8000', 'input')")
    page.run("one('#own-form').requestSubmit()")
    page.wait_for("one('#own-settings table')")
    speeds = page.run("every('#own-settings .settings td:nth-child(2) strong', (shown) => shown.textContent)")
    assert len(speeds) >= 2
    assert all(8000 <= float("".join(speed.split())) <= 9000 for speed in speeds)


def axe() -> str:
    found: str = files("axe_core_python").joinpath("axe.min.js").read_text(encoding="utf-8")
    return found


AXE = """axe.run(document, {resultTypes: ['violations']}).then(
  (found) => found.violations.map((broken) => [broken.id, broken.nodes[0].html.slice(0, 200)]))"""


@pytest.mark.parametrize(("dark", "width"), [(False, 1280), (True, 1280), (False, 390)])
def test_axe_finds_nothing(live: Live, dark: bool, width: int) -> None:
    """WCAG 2 A and AA and best practice of axe-core, with everything open; nothing has to be scrolled sideways."""
    page = live.page
    page.size(width, 900)
    page.dark(dark)
    if not page.run("Boolean(window.axe)"):
        page.run(f"{axe()}; undefined")
    assert page.run(AXE) == []
    assert page.run("document.documentElement.scrollWidth <= innerWidth")
    page.size(1280, 1000)
    page.dark(False)


EVIL = "</script><img src=x onerror=document.title=1><svg onload=document.title=2><a href=javascript:document.title=3>x"


def test_a_hostile_kit_runs_nothing_and_asks_nothing(live: Live) -> None:
    """Markup in every text that a kit has: it is shown as text, and the policy would stop what got in."""
    page, text = live.page, live.text
    for old in ("Two name signs", "Recess for the label", "Cherry board", "1/4 in up-cut end mill", "title: Sign\n"):
        assert text.count(old) == 1
        text = text.replace(old, f"title: '{EVIL}'\n" if old.startswith("title") else f"'{EVIL}'")
    before = live.session.follower.generation
    live.kit.file.write_text(text.replace("Every word after a #", EVIL), encoding="utf-8")
    live.wait_for_stage("done", before)
    assert page.run("document.title").startswith("</script><img")
    assert page.run("every('main img, header img, aside img, [onerror], [onload]', () => 1)") == []
    assert page.run("[...document.links].filter((link) => link.protocol === 'javascript:').length") == 0
    written = (
        "(() => { try { one('#head').innerHTML = '<b>x</b>'; return ''; } catch (error) { return error.name; } })()"
    )
    assert page.run(written) == "TypeError"  # trusted types: markup only through the page's own policy
    asked = page.run("performance.getEntriesByType('resource').map((entry) => entry.name)")
    assert {one.split("/")[2] for one in asked} == {f"127.0.0.1:{live.session.server.port}"}
    before = live.save("count: 2", "count: 4")
    live.wait_for_stage("done", before)


def test_two_browsers_and_a_sleep(live: Live) -> None:
    """Another browser needs the token too; a tab that is hidden closes its line and comes back up to date."""
    other = live.browser.page()
    other.open(f"http://127.0.0.1:{live.session.server.port}/")
    assert "Open the address" in other.run("document.body.textContent")
    opened(other, live.session)
    live.page.run("hide(true)")
    before = live.save("count: 2", "count: 3")
    other.wait_for(f"{DONE} && Number(document.body.dataset.generation) > {before}")
    assert live.page.run("Number(document.body.dataset.generation)") == before
    live.page.run("hide(false)")
    live.wait_for_stage("done", before)
    assert "3 pieces" in live.page.run("one('#head').textContent")
    other.close()
    before = live.save("count: 2", "count: 1")
    live.wait_for_stage("done", before)


def test_eight_tabs_of_one_browser(live: Live) -> None:
    """Six lines to a host is what a browser allows: tabs in the background give theirs back."""
    context = live.browser.context()
    tabs = [live.browser.tab(context) for _ in range(8)]
    for tab in tabs:
        tab.to_front()
        opened(tab, live.session)
    for tab in tabs:
        tab.close()


WITHOUT = """
  const asked = HTMLCanvasElement.prototype.getContext;
  HTMLCanvasElement.prototype.getContext = function (kind, ...more) {
    return kind === 'webgl2' ? null : asked.call(this, kind, ...more);
  };
"""


def test_without_three_dimensions_it_is_drawn_from_above(live: Live) -> None:
    page = live.browser.page()
    page.call("Page.enable")
    page.call("Page.addScriptToEvaluateOnNewDocument", source=WITHOUT)
    opened(page, live.session)
    assert dots(page) > 1e6
    assert page.run("one('#turns').hidden")
    page.close()
