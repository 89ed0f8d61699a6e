"""What a booklet says of its kit, read from its printed text: sizes, depths, settings, counts, times and names."""

from __future__ import annotations

import re
from collections.abc import Iterator

from lxml import html
from manuscripts import PLACE, Node, after, cells, parsed, section, size_of, text, together
from said_in_steps import deepest, overview, spoilboard, step_said, steps_of
from sayings import Saying, at_the_machine, counted, is_wood, length, lengths, minutes, of_lengths, of_time, to_buy
from unset_packs import Unset


def said(pack: Unset) -> Iterator[Saying]:
    """Yield what the booklet on A4 says."""
    page = parsed(pack.texts["booklet-a4.pdf"])
    yield from _cover(page)
    yield from _start(page)
    yield from _fits(page)
    yield from _needs(page)
    yield from _stock(page)
    yield from _setups(page, pack)
    yield from overview(page)
    for step in steps_of(page):
        yield from step_said(step, len(page.xpath('//div[@class="drawing"]/h3')) > 1)
    yield from deepest(page)
    yield from spoilboard(page)
    yield from _parts(page)
    yield from _freeing(page)
    yield from _checks(page)
    yield from _drawings(page)
    yield from _finish(page)


# -------------------------------------------------------------------------------------------------------- the opening


def _cover(page: Node) -> Iterator[Saying]:
    place = f"{PLACE}, cover"
    facts = {text(label): after(label) for label in page.xpath('//div[@class="foot"]//span[@class="label"]')}
    time = page.xpath('//div[@class="foot"]//div[@class="cell"][starts-with(., "Time at the machine")]')[0]
    yield from at_the_machine(text(time.xpath('./span[@class="value"]')[0]), place)
    beside = " ".join(text(one) for one in time.xpath('./span[@class="other"]'))
    for about, pattern in (("work by hand", r"(.*?) by hand"), ("days of waiting", r"(\S+) \w+ of waiting")):
        if (found := re.search(pattern, beside)) is not None:
            yield Saying(about, found[1], place)
    for label, words in facts.items():
        if label == "Size":
            yield from size_of("part of the kit", words, place)
        elif (parts := re.match(r"(Finished piece, )?(\w+) parts", label)) is not None:
            yield Saying("count of parts", counted(parts[2]), place)
            yield from size_of("finished piece" if parts[1] else "largest part", words, place)
    maker = re.search(r"Version (\S+)", text(page.xpath('//p[@class="maker"]')[0]))
    assert maker is not None
    yield Saying("version", maker[1], place)
    yield Saying("title", text(page.xpath("//h1")[0]), place)


def _start(page: Node) -> Iterator[Saying]:
    place, words = f"{PLACE}, start", text(section(page, "start"))
    for about, pattern in (
        ("count of cutters", r"Lay out (\w+) cutters?"),
        ("count of steps", r"each of the (\w+) steps"),
        ("kinds of part", r"outlines of (\w+) parts?"),
    ):
        if (found := re.search(pattern, words)) is not None:
            yield Saying(about, counted(found[1]), place)


def _fits(page: Node) -> Iterator[Saying]:
    place, times = f"{PLACE}, fit", []
    for row in section(page, "fit").xpath('.//tr[@class="yes"]'):
        name = text(row.xpath(".//strong")[0])
        yield from of_time(f"time on {name}", cells(row)[3], place)
        times.append(minutes(cells(row)[3]) or (0, 0))
    yield Saying("count of classes", len(times), place)
    yield Saying(
        "names of the classes",
        together(text(one) for one in section(page, "fit").xpath('.//tr[@class="yes"]/td/strong')),
        place,
    )
    if times:
        yield Saying("time at the machine: shortest", times[0][0], f"{place}, the weakest class")
        yield Saying("time at the machine: longest", times[0][1], f"{place}, the weakest class")
    for both in lengths(text(section(page, "fit").xpath('.//p[@class="lead"]')[0])):
        yield from (s for s in _sides("working area", both, place))


def _sides(about: str, both: tuple[object, ...], place: str) -> Iterator[Saying]:
    for side, one in zip(("longer", "shorter"), sorted(both, key=lambda one: -one.value), strict=False):  # type: ignore[attr-defined]
        yield from of_lengths(f"{about}: {side}", [one], place)  # type: ignore[list-item]


# ---------------------------------------------------------------------------------------------------- stock and tools


def _needs(page: Node) -> Iterator[Saying]:
    place = f"{PLACE}, needs"
    lists = {text(h3).partition(" drawn ")[0]: h3.getnext() for h3 in section(page, "needs").xpath(".//h3")}
    for row in lists["Stock"].xpath(".//tr"):
        _tick, count, title, detail = cells(row)
        yield Saying(f"stock {title}: count", int(count.rstrip(" ×")), place)
        yield from size_of(f"stock {title}", detail, place)
        thick = re.search(r"(\S+ (?:mm|in) \(\S+ \w+\)) thick", detail)
        assert thick is not None, detail
        yield from (one for size in lengths(thick[1]) for one in of_lengths(f"stock {title}: thickness", size, place))
    for row in lists["To try it out"].xpath(".//tr") if "To try it out" in lists else ():
        if "coupon" in (detail := cells(row)[3]):
            yield from size_of("stock of the fit coupon", detail, place)
    amounts = [cells(row) for row in section(page, "needs").xpath('.//table[@class="amounts"]/tbody/tr')]
    woods = [(row[0], row[2]) for row in amounts if is_wood(row[2])]
    for title, words in woods:
        yield from to_buy(title if len(woods) > 1 else "", words, place)
    racks = section(page, "needs").xpath('.//div[@class="cutter"]')
    yield Saying("count of cutters", len(racks), place)
    yield Saying("names of the cutters", together(text(row.xpath(".//strong")[0]) for row in racks), place)
    for row in racks:
        name, detail = text(row.xpath(".//strong")[0]), text(row)
        of, shank = detail.partition("shank ")[::2]
        yield from of_lengths(f"cutter {name}: diameter", length(of.split("corner")[0]), place)
        yield from of_lengths(f"cutter {name}: shank", length(shank.partition(")")[0]), place)
        steps = re.search(r"\bSteps? ([\d, and]+)", detail)
        for step in re.findall(r"\d+", steps[1]) if steps else ():
            yield Saying(f"step {step}: cutter", name, place)
    for row in lists["Hardware and glue"].xpath(".//tr") if "Hardware and glue" in lists else ():
        if (count := cells(row)[1].rstrip(" ×")).isdigit():
            yield Saying(f"bought {cells(row)[2]}: count", int(count), place)
    grits = [text(row) for row in section(page, "needs").xpath('.//li[strong="Abrasive paper"]')]
    yield from (Saying("grits", " ".join(re.findall(r"\d+", found)), place) for found in grits)


def _stock(page: Node) -> Iterator[Saying]:
    for head in section(page, "stock").xpath(".//h3"):
        steps = head.getnext()
        if steps is None or head.getnext().tag != "ol" or head.xpath("./span"):
            continue
        place, words = f"{PLACE}, preparing", text(steps)
        for title in text(head).split(" and ") if " of " in text(head) else [text(head)]:
            drawn = re.search(r"(?:The kit is drawn for|This booklet shows) ([^.]*(?:\.\d[^.]*)*)\.", words)
            assert drawn is not None, words
            yield from of_lengths(f"stock {title}: thickness", length(drawn[1]), place)
            for one in lengths(drawn[1]):
                yield from of_lengths(f"stock {title}: thickness", one, place)
            cut = re.search(r"Cut the piece to (.*?\))", words)
            if cut is not None:
                yield from size_of(f"stock {title}", cut[1], place)


def _setups(page: Node, pack: Unset) -> Iterator[Saying]:
    for head in section(page, "setup").xpath('.//h3[not(contains(., "Turning it over"))]'):
        place, box = f"{PLACE}, setting up {text(head)}", head.getparent().getparent()
        title = text(head).partition(", underside up")[0]
        crosses = re.search(r"crosses? marks? (\w+) places?", text(box))
        spots = re.search(r"X, Y of each cross \(\w+\): ([\d., ;]*\d)", text(box))
        if crosses is not None and spots is not None:
            yield Saying(f"{text(head)}: screws", counted(crosses[1]), place)
            yield Saying(f"{text(head)}: screws", len(spots[1].split(";")), f"{place}, list")
        for picture in box.xpath('.//img[contains(@src, ".svg")]')[:1]:
            drawn = html.fromstring(pack.pictures[picture.get("src")].encode())
            sides = [one for words in drawn.xpath("//*[local-name()='text']") for one in lengths(text(words))]
            yield from _sides(f"stock {title}, sides", tuple(one[0] for one in sides[::2]), f"{place}, picture")
    for row in section(page, "needs").xpath('.//h3[.="Stock"]/following-sibling::table[1]//tr'):
        found = next(lengths(cells(row)[3]))
        yield from _sides(f"stock {cells(row)[2]}, sides", found, f"{PLACE}, needs")


def _parts(page: Node) -> Iterator[Saying]:
    place = f"{PLACE}, the parts and where they go"
    for row in page.xpath('//table[@class="legend"]/tbody/tr'):
        count, title, size, _stock = cells(row)
        yield Saying(f"part {title}: count", int(count.rstrip(" ×")), place)
        yield from size_of(f"part {title}", size, place)


# ------------------------------------------------------------------------------------------------- after the cutting


def _freeing(page: Node) -> Iterator[Saying]:
    for found in page.xpath('//section[@id="freeing"]'):
        for feature, part, skin in re.findall(r"“([^”]+)” of ([^:“]+): a skin of (\S+ \w+)", text(found)):
            yield from of_lengths(f"feature {part}/{feature}: skin", length(skin), f"{PLACE}, freeing")
        for part, count in re.findall(r"(?:Still held: |, | and )([^,:]+?) by (\w+) tabs?", text(found)):
            yield Saying(f"part {part}: tabs", counted(count), f"{PLACE}, freeing")


def _checks(page: Node) -> Iterator[Saying]:
    place = f"{PLACE}, measuring"
    for row in page.xpath('//table[@class="checks"]/tbody/tr'):
        part, what, should = cells(row)[:3]
        sizes = [one for size in lengths(should) for one in size]
        sides = {"Length, left to right": ("length",), "Width, front to back": ("width",)}
        both = {"Across, both ways": ("length", "width"), "Diameter": ("length", "width")}
        for side in (sides | both).get(what, ()):
            yield from of_lengths(f"part {part}: {side}", sizes, place)
        if what == "Thinnest floor":
            yield from of_lengths(f"part {part}: thinnest floor", sizes, place)
        elif what.endswith(": depth"):
            yield from of_lengths(f"feature {part}/{what.removesuffix(': depth')}: depth", sizes, place)
        elif (narrow := re.fullmatch(r"(.*): (?:across|short side)", what)) is not None:
            yield from of_lengths(f"feature {part}/{narrow[1]}: narrowest", sizes, place)


def _drawings(page: Node) -> Iterator[Saying]:
    titles = [text(head) for head in page.xpath('//div[contains(@class, "drawing")]//h3')]
    yield Saying("names of the parts", together(map(_of_face, titles)), f"{PLACE}, drawings")
    for drawn in page.xpath('//div[contains(@class, "drawing")]'):
        title = text(drawn.xpath(".//h3")[0])
        place, part = f"{PLACE}, drawing of {title}", _of_face(title)
        facts = text(drawn.xpath('.//p[@class="caption"]')[0]).split(" · ")
        thick = next(one.removeprefix("Thickness ") for one in facts if one.startswith("Thickness"))
        yield from (one for size in lengths(thick) for one in of_lengths(f"part {part}: thickness", size, place))
        yield Saying(f"part {part}: count", int(facts[0].removeprefix("Count ")), place)
        if title.endswith("underside"):
            yield Saying(f"part {part}: cut from below", "True", place)
        for row in drawn.xpath('.//table[@class="features"]/tbody/tr'):
            what = row[1].text.strip()
            _mark, _what, count, x, _y, size, depth = cells(row)
            about = f"feature {part}/{what}"
            if x == "–":
                yield Saying(f"{about}: bevel", "True", place)
            yield Saying(f"{about}: count", int(count), place)
            yield Saying(f"{about}: size", size, place)
            yield Saying(f"{about}: open when finished", str(depth == "through"), place)
            yield from (one for deep in lengths(depth) for one in of_lengths(f"{about}: depth", deep, place))
            yield from _narrowest(about, size, place)


def _of_face(title: str) -> str:
    return re.sub(r", (?:upper face|underside)$", "", title)


def _narrowest(about: str, size: str, place: str) -> Iterator[Saying]:
    plain = list(lengths(size.partition(", with")[0]))
    if len(plain) == 1 and ";" not in size:
        yield from of_lengths(f"{about}: narrowest", [min(plain[0], key=lambda one: one.value)], place)
    wide = re.search(r"(?:^|, )(?:Ø )?([\d.]+ (?:mm|in))(?: wide)?$", size)
    if wide is not None:
        yield from of_lengths(f"{about}: measures", next(lengths(wide[1])), place)


def _finish(page: Node) -> Iterator[Saying]:
    for found in page.xpath('//section[@id="finish"]'):
        place = f"{PLACE}, finish"
        grits = [text(one) for one in found.xpath('.//table[@class="grits"]/tbody/tr/*[1]')]
        if grits:
            yield Saying("grits", " ".join(grits), place)
        facts = {text(row[0]): text(row[1]) for row in found.xpath('.//table[@class="facts"]//tr')}
        steps = " ".join(text(line) for line in found.xpath(".//ol/li"))
        if "Coats" in facts:
            yield Saying("coats", int(facts["Coats"]), place)
        if (coats := re.search(r"in the same way: (\w+) in all", steps)) is not None:
            yield Saying("coats", counted(coats[1]), f"{place}, steps")
        if (waits := re.search(r"Between two coats let it dry for (.*?)[,.](?:\s|$)", steps)) is not None:
            yield Saying("drying between coats", waits[1], f"{place}, steps")
            yield Saying("drying between coats", facts["Drying between coats"], place)
