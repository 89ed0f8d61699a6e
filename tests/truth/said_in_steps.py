"""What a booklet says of its steps of cutting."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator

from divided_passes import divided
from manuscripts import PLACE, Node, after, cells, section, size_of, text
from sayings import Saying, counted, length, lengths, minutes, number, of_lengths, of_time


def overview(page: Node) -> Iterator[Saying]:
    place, cutter = f"{PLACE}, overview", ""
    timed = text(page.xpath('//table[@class="overview"]/thead//th')[-1]).removeprefix("Time").strip()
    yield Saying("class whose time is stated", timed.lower(), place)
    rows = [row for row in page.xpath('//table[@class="overview"]/tbody/tr') if len(row) > 1]
    yield Saying("count of steps", len(rows), place)
    for row in rows:
        step, title, part, named, depth, time = cells(row)
        cutter = cutter if named == "same cutter" else named
        yield Saying(f"step {step}: title", _title(title), place)
        if title.endswith("(roughing)"):
            yield Saying(f"step {step}: is roughing", "yes", place)
        yield Saying(f"step {step}: part", part, place)
        yield Saying(f"step {step}: cutter", cutter, place)
        yield from of_time(f"step {step}: time", time, place)
        yield Saying(f"step {step}: goes through", str(depth == "through"), place)
        yield from of_lengths(f"step {step}: depth", length(depth), place)


def _title(words: str) -> str:
    return re.sub(r" \((?:roughing|finishing(?: the (?:floor|walls))?)\)$", "", words)


def step_said(step: Node, many: bool) -> Iterator[Saying]:
    """Yield what is said of a step in its block, or in its part of a page that it shares with others."""
    key = text(step.xpath('.//span[@class="number"]')[0])
    place, about = f"{PLACE}, step {key}", f"step {key}"
    shared = next(iter(step.xpath('ancestor::div[@class="sharing"]')), None)
    around = step if shared is None else shared
    head = step.xpath(".//h3" if shared is None else ".//h4")[0]
    titled = (head.text or "").strip() or head[0].tail.strip()
    named = head.xpath('./span[@class="of"]')
    where = text(around.xpath('.//p[@class="where"]')[0]).split(" · ")
    part = text(named[0]) if named else (titled.split(" of ")[-1] if many else where[0])
    if named or not many:
        yield Saying(f"{about}: part", part, place)
    yield Saying(f"{about}: title", _title(titled), place)
    yield Saying(f"{about}: cutter", text(around.xpath('.//p[@class="where"]/strong')[0]), place)
    fit = re.search(r"Fit: (.*?)\. Let it stand (.*?) out of the collet", text(around))
    if fit is not None:
        yield Saying(f"{about}: cutter", fit[1], f"{place}, before")
        yield from (one for size in lengths(fit[2]) for one in of_lengths(f"{about}: stick-out", size, place))
    yield from _loaded(about, text(step.xpath('.//p[@class="load"]')[0]), place)
    said = [step] if shared is None else [step, *said_of(shared, int(key))]
    facts = facts_of(said)
    yield from _depths(about, facts, place)
    for plan in step.xpath('.//img[starts-with(@alt, "Plan of ")]'):
        sized = re.match(r"Plan of (.*?), (\d.*?), with", plan.get("alt"))
        if sized is not None:
            yield from size_of(f"part {sized[1]}", sized[2], f"{place}, words of the picture")
    if shared is None:
        yield from _rows(about, step, facts, place)
        yield from _done(about, text(step.xpath('.//div[@class="compare"]/p')[1]), place)
    else:
        yield from _columns(about, int(key), shared, facts, place)
        done = [one for node in said for one in node.xpath('.//span[@class="ended"]')]
        yield from _done(about, after(done[0].xpath('./span[@class="label"]')[0]), place)


def facts_of(nodes: list[Node]) -> dict[str, str]:
    """Return the labelled facts that stand in these nodes."""
    return {
        text(label): after(label)
        for node in nodes
        for label in node.xpath('.//span[@class="fact"]/span[@class="label"]')
    }


def said_of(shared: Node, step: int) -> list[Node]:
    """Return what the head of a page of several steps says of one of them."""
    return [
        group
        for group in shared.xpath('./div[@class="step shared"]//span[starts-with(@class, "group")]')
        if step in (numbers(group.xpath('./span[@class="which"]')) or [step])
    ]


def numbers(which: list[Node]) -> list[int]:
    """Return the steps that a mark names, none where it names none, which are all."""
    if not which:
        return []
    first, _dash, last = text(which[0]).removeprefix("steps ").partition("–")
    if last:
        return list(range(int(first), int(last) + 1))
    return [int(number) for number in re.findall(r"\d+", text(which[0]))]


def _columns(about: str, key: int, shared: Node, facts: dict[str, str], place: str) -> Iterator[Saying]:
    """Yield what the table says that has a column for each class and names the steps of which a row is."""
    table, names = shared.xpath('./table[@class="settings across"]')[0], classes(shared.getroottree().getroot())
    tabs = [text(tab) for tab in table.xpath('./thead//span[@class="tab"]')]
    rows = [
        row for row in table.xpath("./tbody/tr") if key in (numbers(row.xpath('./th/span[@class="which"]')) or [key])
    ]
    by_kind = {row.get("class"): row for row in rows}
    assert len(by_kind) == len(rows), (about, "two rows of one setting")
    heads = {kind: _heading(row[0]) for kind, row in by_kind.items()}
    times = []
    for column, tab in enumerate(tabs, 1):
        name = names[tab]
        for kind in ("speed", "feed", "plunge", "depth", "stepover"):
            if kind in by_kind:
                what, _space, unit = heads[kind].rpartition(" ")
                yield from figure(f"{about} on {name}: {what}", by_kind[kind][column], unit, place)
        yield from passes(f"{about} on {name}", by_kind["depth"][column], by_kind["passes"][column], [heads["depth"]],
                          facts, place)  # fmt: skip
        time = text(by_kind["time"][column])
        yield from of_time(f"{about} on {name}: time", time, place)
        times.append(minutes(time) or (0, 0))
    yield Saying(f"{about}: time: shortest", times[0][0], f"{place}, the weakest class")
    yield Saying(f"{about}: time: longest", times[0][1], f"{place}, the weakest class")


def _heading(cell: Node) -> str:
    """Return the name of a row and its unit, without the steps that it is of."""
    units = [text(unit) for unit in cell.xpath('./span[@class="unit"]')]
    return " ".join([*(cell.text or "").split(), *units])


def _loaded(about: str, words: str, place: str) -> Iterator[Saying]:
    """Yield what the sentence says that names the drawing."""
    one = re.match(r"Load (\S+\.dxf, layer \S+); (.*)", words)
    if one is not None:
        yield Saying(f"{about}: drawn on", one[1], place)
    deep = re.search(r"(?:nowhere deeper than |down to |, )([\d.]+ (?:mm|in))(?: deep)?(?: \(through\))?[,.]", words)
    assert deep is not None, words
    yield from (one for size in lengths(deep[1]) for one in of_lengths(f"{about}: depth", size, f"{place}, loading"))
    yield Saying(f"{about}: goes through", str("(through)" in words), f"{place}, loading")


def _depths(about: str, facts: dict[str, str], place: str) -> Iterator[Saying]:
    for label, words in facts.items():
        surface = re.match(r"(?:Depth|Deepest point) below the (.*)", label)
        if surface is not None:
            new = re.match(r"new .* that step (\d+) has cut", surface[1])
            yield Saying(f"{about}: counts from", f"after step {new[1]}" if new else "as it came", place)
            yield Saying(f"{about}: goes through", str("through" in words), place)
            yield from (
                one
                for size in lengths(words.replace(", through", ""))
                for one in of_lengths(f"{about}: depth", size, place)
            )
        elif label.startswith("Starts at"):
            yield from (one for size in lengths(words) for one in of_lengths(f"{about}: starts at", size, place))
        elif label.startswith("Of this into"):
            yield from (
                one for size in lengths(words) for one in of_lengths(f"{about}: into the spoilboard", size, place)
            )
        elif label == "Tabs":
            yield Saying(f"{about}: tabs", int(words.partition(",")[0]), place)


def classes(page: Node) -> dict[str, str]:
    """Return the names of the classes of machine by the numbers that stand for them in every table."""
    rows = section(page, "fit").xpath(".//tbody/tr")
    return {text(row.xpath('.//span[@class="tab"]')[0]): text(row.xpath(".//strong")[0]) for row in rows}


def _rows(about: str, step: Node, facts: dict[str, str], place: str) -> Iterator[Saying]:
    heads = [text(head) for head in step.xpath('.//table[starts-with(@class, "settings")]/thead//th')]
    times, names = [], classes(step.getroottree().getroot())
    for row in step.xpath('.//table[starts-with(@class, "settings")]/tbody/tr[not(@class="own")]'):
        name = names[text(row[0])]
        for head, cell in zip(heads[1:-2], row[1:-2], strict=True):
            what, _space, unit = head.rpartition(" ")
            yield from figure(f"{about} on {name}: {what}", cell, unit, place)
        yield from passes(f"{about} on {name}", row[heads.index(next(h for h in heads if h.startswith("Depth per")))],
                          row[-2], heads, facts, place)  # fmt: skip
        yield from of_time(f"{about} on {name}: time", text(row[-1]), place)
        times.append(minutes(text(row[-1])) or (0, 0))
    if times:
        yield Saying(f"{about}: time: shortest", times[0][0], f"{place}, the weakest class")
        yield Saying(f"{about}: time: longest", times[0][1], f"{place}, the weakest class")


def figure(about: str, cell: Node, unit: str, place: str) -> Iterator[Saying]:
    """Yield the value to start with and the range below it of a cell, as they are printed, and in mm/min or rpm.

    unit: the unit of the first figure; a small one beside it is in the other one.
    """
    for start in cell.xpath("./strong"):
        yield Saying(f"{about}, start", number(text(start)), place)
        yield from _exact(about, number(text(start)), unit, place)
    for also in cell.xpath('./span[@class="also"]'):
        yield Saying(f"{about}, start beside", number(text(also)), place)
        yield from _exact(about, number(text(also)), _OTHER.get(unit, ""), place)
    for span in cell.xpath('./span[@class="range"]'):
        yield Saying(f"{about}, range", number(text(span)), place)


_OTHER = {"mm/min": "in/min", "in/min": "mm/min"}


def _exact(about: str, printed: str, unit: str, place: str) -> Iterator[Saying]:
    """A speed or feed is printed with two figures, from 1000 on with three, and cut off there."""
    if unit in ("rpm", "mm/min", "in/min"):
        per, value = (25.4 if unit == "in/min" else 1.0), float(printed)
        last = 10.0 ** (math.floor(math.log10(value)) - (2 if value >= 1000 else 1))
        yield Saying(f"{about}, exact", value * per, place, last * per)


def passes(
    about: str, each: Node, count: Node, heads: list[str], facts: dict[str, str], place: str
) -> Iterator[Saying]:
    """Yield how many passes there are, the last one, and that they add up to the depth in both units."""
    unit = next(head for head in heads if head.startswith("Depth per")).rpartition(" ")[2]
    main, also = text(each.xpath("./strong")[0]), "".join(text(one) for one in each.xpath('./span[@class="also"]'))
    equal = int(text(count.xpath("./strong")[0]))
    last = "".join(text(one) for one in count.xpath('./span[@class="range"]'))
    yield Saying(f"{about}: passes", equal, place)
    yield Saying(f"{about}: last pass", last, place)
    depth = next(words for label, words in facts.items() if re.match(r"Depth below|Deepest point", label))
    begins = next((words for label, words in facts.items() if label.startswith("Starts at")), "")
    own, others = divided(equal, last)
    systems = ((main, unit, own), (also, "in" if unit == "mm" else "mm", others))
    for printed, of, (equals, ending) in systems:
        if printed:
            deep = _in(depth, of) - _in(begins, of)
            yield Saying(f"{about}: passes together, {of}", equals * float(printed) + float(ending or 0), place)
            yield Saying(f"{about}: passes together, {of}", deep, f"{place}, depth")


def _in(words: str, unit: str) -> float:
    found = re.search(rf"([\d.]+)(?:\u00a0| ){unit}\b", words)
    return float(found[1]) if found else 0.0


def _done(about: str, words: str, place: str) -> Iterator[Saying]:
    deep = re.search(r"measures ([^Ø]*?) below the|is ([\d. a-z()]*) deep|holes?, ([\d. a-z()]*) deep", words)
    if deep is not None:
        printed = next(one for one in deep.groups() if one)
        yield from (
            one for size in lengths(printed) for one in of_lengths(f"{about}: depth", size, f"{place}, done when")
        )
    step = re.search(r"the new face that step (\d+) has cut", words)
    if step is not None:
        yield Saying(f"{about}: counts from", f"after step {step[1]}", f"{place}, done when")
    many = re.match(r"(\w+) holes?,|Each of the (\w+) ", words)
    if many is not None:
        yield Saying(f"{about}: count", counted(many[1] or many[2]), f"{place}, done when")
    wide = re.search(r"(?:line|bevel) is (.*?) wide|rim measures Ø (.*?\))", words)
    if wide is not None:
        yield from (
            one
            for size in lengths(wide[1] or wide[2])
            for one in of_lengths(f"{about}: measures", size, f"{place}, done when")
        )


def deepest(page: Node) -> Iterator[Saying]:
    """The deepest cut below the face as the stock came is that of the steps, and what facing takes before them."""
    words = text(section(page, "proving"))
    said = re.search(r"deepest cut of this kit goes (.*?) down", words)
    assert said is not None
    yield from (one for size in lengths(said[1]) for one in of_lengths("deepest cut", size, f"{PLACE}, proving"))
    deep: dict[str, tuple[float, float]] = {}
    for key, facts in _facts_by_step(page):
        for label, words in facts.items():
            if label.startswith(("Deepest point", "Depth below")):
                new = re.search(r"that step (\d+) has cut", label)
                one = next(lengths(words.replace(", through", "")))[0]
                under = deep.get(new[1], (0.0, 0.0)) if new else (0.0, 0.0)
                deep[key] = under[0] + one.value, under[1] + one.slack
    value, slack = max(deep.values())
    yield Saying("deepest cut", value, f"{PLACE}, all steps", slack)


def _facts_by_step(page: Node) -> Iterator[tuple[str, dict[str, str]]]:
    """Yield number and facts of every step, in order."""
    for step in steps_of(page):
        key = text(step.xpath('.//span[@class="number"]')[0])
        shared = step.xpath('ancestor::div[@class="sharing"]')
        yield key, facts_of([step, *(said_of(shared[0], int(key)) if shared else ())])


def steps_of(page: Node) -> list[Node]:
    """Return the steps of a page, those that have a block and those that share a page."""
    found: list[Node] = page.xpath('//div[@class="step" or @class="step member"]')
    return found


def spoilboard(page: Node) -> Iterator[Saying]:
    """The notice names how far the deepest of all cuts goes into the spoilboard, in the words of its step."""
    told = re.search(r"go (\S+ (?:mm|in) \(.*?\)) below the stock", text(section(page, "safety")))
    into = [facts[label] for _, facts in _facts_by_step(page) for label in facts if label.startswith("Of this into")]
    if told is not None:
        yield from (Saying("deepest into the spoilboard", one.value, f"{PLACE}, safety", one.slack)
                    for size in lengths(told[1]) for one in size)  # fmt: skip
    if into:
        deepest = max(one[0].value for words in into for one in lengths(words))
        yield Saying("deepest into the spoilboard", deepest, f"{PLACE}, all steps", 0.013)
