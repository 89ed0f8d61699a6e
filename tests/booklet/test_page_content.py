"""start.html without script: all that the booklet says, in every language, for every class, nothing from outside."""

from __future__ import annotations

import base64
import hashlib
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from pathlib import Path

import lxml.html
import morris
import pytest
from browser import counting_server, page_after
from firefox import firefox
from lxml import etree
from test_booklet_content import only_board

from kitforge.language import use_language
from kitforge.model.family import Family, Size
from kitforge.model.kit import Kit
from kitforge.model.lines import Line
from kitforge.model.pack import BuildOptions
from kitforge.model.plan import Plan
from kitforge.pack.sizes import size_facts
from kitforge.print.settings import SettingView
from kitforge_booklet.build import booklet
from kitforge_booklet.page.document import start_page
from kitforge_booklet.records import Booklet, DrawingPage

LANGUAGES = ("en", "de")
OPTIONS = BuildOptions(languages=LANGUAGES)
LEFT_TO_THE_BOOKLET = {"pack", "use", "uncertainty", "scale_bar", "legend", "triangle", "units", "timed_on"} | {
    "step_pages",  # a screen has no pages: each step stands by itself, all of `steps`
    "drawing_choices",  # nor scales to choose from: all of `drawings`
}
NOT_SHOWN = {"alt", "svg", "uses", "cutter_scale", "machine_key", "per_thousand", "direction", "stick_out", "parts"}
"""Fields of records that the booklet's steps do not show either, or that a screen cannot keep, as a full size."""


@pytest.fixture(scope="module")
def booklets(kit: Kit, plan: Plan) -> dict[str, Booklet]:
    found = {}
    for code in LANGUAGES:
        with use_language(code):
            found[code] = booklet(kit, plan, OPTIONS)
    return found


@pytest.fixture(scope="module")
def page(kit: Kit, plan: Plan, booklets: dict[str, Booklet]) -> str:
    return start_page(kit, plan, OPTIONS, booklets).data.decode("utf-8")


@pytest.fixture(scope="module")
def tree(page: str) -> lxml.html.HtmlElement:
    return lxml.html.document_fromstring(page)


def words(value: object) -> Iterator[str]:
    """Yield the words of a booklet that stand on the page."""
    if isinstance(value, str):
        yield from [value] if value.strip() else []
    elif isinstance(value, tuple):
        for item in value:
            yield from words(item)
    elif isinstance(value, Line):
        yield value.text
    elif isinstance(value, SettingView):
        yield from words((value.start, value.span.main))
    elif isinstance(value, DrawingPage):  # a screen keeps no scale
        facts = tuple(fact for fact in value.facts if fact.value != value.scale)
        yield from words((value.title, facts, value.picture, value.rows))
    elif is_dataclass(value):
        for field in fields(value):
            if field.name not in NOT_SHOWN:
                yield from words(getattr(value, field.name))


def squeezed(text: str) -> str:
    return re.sub(r"\s+", "", text)


@pytest.mark.parametrize("code", LANGUAGES)
def test_everything_that_the_steps_and_lists_say_stands_on_the_page(
    tree: lxml.html.HtmlElement, booklets: dict[str, Booklet], code: str
) -> None:
    """Each text of the booklet's own records, every figure of every class among them; what is drawn is not text."""
    shown = squeezed(" ".join(block.text_content() for block in tree.xpath(f'//*[@lang="{code}"]')))
    told = [one for field in fields(Booklet) if field.name not in LEFT_TO_THE_BOOKLET
            for one in words(getattr(booklets[code], field.name))]  # fmt: skip
    assert len(told) > 200
    assert [one for one in told if squeezed(one) not in shown] == []


def test_every_class_has_a_row_in_every_step_of_every_language(
    tree: lxml.html.HtmlElement, booklets: dict[str, Booklet]
) -> None:
    for code, data in booklets.items():
        for step in data.steps:
            (article,) = tree.xpath(f'//article[@id="{code}-step-{step.number}"]')
            rows = [row.get("class") for row in article.xpath('.//tr[contains(@class, "row")]')]
            assert rows == [f"row k{row.number}" for row in step.rows]


def test_classes_and_languages_are_chosen_by_style_alone(page: str, tree: lxml.html.HtmlElement) -> None:
    """For every radio button there is a rule that shows its choice alone, and the first language is chosen."""
    for button in tree.xpath('//input[@type="radio"]'):
        if button.get("id") not in ("k0", "k99"):
            assert f"body:has(#{button.get('id')}:checked)" in page
    assert [one.get("id") for one in tree.xpath("//input[@type='radio'][@checked]")] == ["l-en", "k0"]


def test_every_place_that_is_named_is_there_once(tree: lxml.html.HtmlElement) -> None:
    ids = Counter(one.get("id") for one in tree.xpath("//*[@id]"))
    assert [name for name, count in ids.items() if count > 1] == []
    named = {one.get("href") for one in tree.xpath("//a[@href] | //*[local-name()='use']")}
    assert {name for name in named if not name.startswith("#") or name[1:] not in ids} == set()


def test_every_picture_has_words_and_is_in_the_page_once(page: str, tree: lxml.html.HtmlElement) -> None:
    shown = tree.xpath('//*[local-name()="svg"][@role="img"]')
    assert shown
    assert all(one.get("aria-label", "").strip() for one in shown)
    used = Counter(one.get("href") for one in tree.xpath("//*[local-name()='use']"))
    kept = {f"#{one.get('id')}" for one in tree.xpath("//*[local-name()='symbol']")}
    shared = {f"#{one.get('id')}" for one in tree.xpath("//*[local-name()='defs']/*")}
    assert used.keys() == kept | shared
    assert min(used[name] for name in shared) > 1
    drawn = Counter(etree.tostring(one) for one in tree.xpath("//*[local-name()='symbol']/*[local-name()='path']"))
    assert [path for path, count in drawn.items() if count > 1 and len(path) > 100] == []
    held = re.findall(r"data:image/[a-z]+;base64,[A-Za-z0-9+/=]+", page)
    assert len(held) == len(set(held))


def test_nothing_lies_outside_and_no_style_stands_in_the_text(page: str, tree: lxml.html.HtmlElement) -> None:
    assert tree.xpath("//*[@style] | //link | //iframe | //object | //embed | //*[@srcset]") == []
    assert [name for one in tree.iter() for name in one.attrib if name.lower().startswith("on")] == []
    addresses = {one for name in ("src", "href") for one in tree.xpath(f"//@{name}")}
    assert {one[:30] for one in addresses if not one.startswith(("#", "data:image/webp;base64,"))} == set()
    assert "http:" not in page.replace("http://www.w3.org/", "")


def test_the_policy_stands_first_and_knows_style_and_script_by_their_sums(
    page: str, tree: lxml.html.HtmlElement
) -> None:
    head = tree.xpath("//head/*")
    assert (head[0].get("charset"), head[1].get("http-equiv")) == ("utf-8", "Content-Security-Policy")
    policy = head[1].get("content")
    assert policy.startswith("default-src 'none'; ")
    assert "trusted-types 'none'" in policy
    assert "unsafe" not in policy
    for tag, rule in (("style", "style-src"), ("script", "script-src")):
        (text,) = re.findall(rf"<{tag}>(.*?)</{tag}>", page, re.DOTALL)
        digest = base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
        assert f"{rule} 'sha256-{digest}';" in policy


def test_the_same_kit_gives_the_same_bytes(kit: Kit, plan: Plan, booklets: dict[str, Booklet], page: str) -> None:
    assert start_page(kit, plan, OPTIONS, booklets).data.decode("utf-8") == page


def test_a_theme_without_a_page_of_its_own_takes_the_plain_one(
    kit: Kit, plan: Plan, booklets: dict[str, Booklet]
) -> None:
    """And one that has a style for it wears that."""
    large = start_page(kit, plan, replace(OPTIONS, theme="large"), booklets).data.decode("utf-8")
    assert "html { font-size: 125%; }" in large
    assert "<main>" in large


def test_the_page_of_another_size_is_a_click_away(
    kit: Kit, plan: Plan, booklets: dict[str, Booklet], tmp_path: Path
) -> None:
    """Each size in the pack by its title, this one marked; the other page opens in the language that was left."""
    sizes = tuple(Size(key, f"{key} <size>") for key in ("small", "medium", "large"))
    sized = replace(kit, info=replace(kit.info, size="small"), family=Family(sizes, "small"))
    others = [replace(sized, info=replace(kit.info, size=one.key), family=Family(sizes, one.key)) for one in sizes[::2]]
    beside = tuple(size_facts(one, plan) for one in others)
    sized = replace(sized, family=replace(sized.family, together=beside))
    path = tmp_path / "start.html"
    path.write_bytes(start_page(sized, plan, OPTIONS, booklets).data)
    tree = lxml.html.document_fromstring(page_after(path, tmp_path / "profile", "#l-de"))
    name = f"{kit.info.slug}-{kit.info.version}-large"
    for code in LANGUAGES:
        links = tree.xpath(f'//div[@class="in {code}"]/nav[@class="sizes"]//a')
        found = [(one.text_content(), one.get("href"), one.get("aria-current")) for one in links]
        assert found == [("small <size>", None, "page"), ("large <size>", f"../{name}/start.html#l-{code}", None)]
    assert tree.get("lang") == "de"


def test_a_kit_without_settings_has_a_page_too(kit: Kit, plan: Plan) -> None:
    """Nobody computes any, or those of a plugin come without their calculation: the page says so, and the rest."""
    kit, plan = only_board(kit, plan)
    bare = replace(plan, machines=tuple(replace(one, settings={}, blocked={}, holding={}) for one in plan.machines))
    made = start_page(kit, bare, BuildOptions(), {"en": booklet(kit, bare, BuildOptions())}).data.decode("utf-8")
    assert made.count("<article") == len(plan.steps)
    assert 'class="row k1"' not in made.partition('class="steps"')[2].partition("</section>")[0]


def test_the_page_keeps_its_size(page: str) -> None:
    assert len(page) < 1_500_000


HOSTILE = "</script><img src=http://127.0.0.1:{port}/a onerror=document.title='run'><svg onload=document.title='run'>"


def hostile_page(kit: Kit, plan: Plan, bad: str) -> bytes:
    """Return the page of a kit in which every text that an author writes is a bad one."""
    kit, plan = only_board(kit, plan)
    info = replace(kit.info, title=bad, summary=bad, author=bad, licence_text=bad, contact=bad)
    data = booklet(replace(kit, info=info, notes=(bad,)), plan, BuildOptions())
    steps = tuple(replace(step, title=bad, part=bad, note=bad, shot=replace(step.shot, alt=bad)) for step in data.steps)
    return start_page(replace(kit, info=info), plan, BuildOptions(), {"en": replace(data, steps=steps)}).data


@pytest.mark.soak
def test_a_hostile_kit_runs_nothing_in_firefox_either(kit: Kit, plan: Plan, tmp_path: Path) -> None:
    """Nothing is asked for, no text has become markup, and the page's own script has done its work."""
    path = tmp_path / "start.html"
    with counting_server() as (port, asked), firefox(tmp_path) as browser:
        bad = HOSTILE.format(port=port)
        path.write_bytes(hostile_page(kit, plan, bad))
        browser.open(path)
        browser.click("#own > details > summary")
        found = browser.run("return [document.title, document.querySelectorAll('img, [onload], [onerror]').length];")
        errors = browser.errors()
    assert asked == []
    assert found == [bad, 0]
    assert errors == []


def test_a_hostile_kit_runs_nothing(kit: Kit, plan: Plan, tmp_path: Path) -> None:
    """Every text that an author writes tries to run and to load; the browser asks for nothing."""
    with counting_server() as (port, asked):
        bad = HOSTILE.format(port=port)
        path = tmp_path / "start.html"
        path.write_bytes(hostile_page(kit, plan, bad))
        dom = page_after(path, tmp_path / "profile")
    assert asked == []
    assert lxml.html.document_fromstring(dom).findtext(".//title") == bad
    assert "onerror=document" in dom.replace("&lt;", "<")


def test_what_is_chosen_is_shown_alone(page: str, tmp_path: Path) -> None:
    """In a browser: one language, one class; all classes while none is chosen."""
    script = (
        "const seen = () => document.querySelectorAll('article.step .row').values().filter((one) => "
        "one.getClientRects().length).toArray().length;"
        "const all = seen(); document.getElementById('k2').click(); const one = seen();"
        "document.getElementById('l-de').click();"
        "const main = document.querySelector('main').innerText;"
        "document.title = [all, one, main.includes('Schritt'), main.includes('Look and listen')].join();"
    )
    digest = base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()
    without = re.sub(r"<script.*</script>", "", page, flags=re.DOTALL)
    changed = re.sub(r"script-src [^;]*", f"script-src 'sha256-{digest}'", without, count=1)
    path = tmp_path / "start.html"
    path.write_text(changed.replace("</body>", f"<script>{script}</script></body>"), encoding="utf-8")
    title = lxml.html.document_fromstring(page_after(path, tmp_path / "profile")).findtext(".//title")
    steps = len(morris.plan().steps)
    classes = page.count('name="class"') - 2
    assert title == f"{classes * steps},{steps},true,false"
