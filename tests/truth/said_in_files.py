"""What the settings sheet, settings.csv, the read-me, the listing, the drawings and the manifest say."""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Iterator, Sequence

from lxml import etree
from manuscripts import Node, parsed, size_of, text, together
from said_in_steps import figure
from sayings import Saying, at_the_machine, counted, in_unit, length, lengths, minutes, of_lengths, of_time, to_buy_line
from unset_packs import Unset


def said(pack: Unset) -> Iterator[Saying]:
    """Yield what all files but the booklet say."""
    yield from sheet(parsed(pack.texts["settings-a4.pdf"]))
    yield from table(pack.texts["settings.csv"])
    yield from read_me(pack.texts["READ-ME-FIRST.txt"])
    yield from listing(pack.texts["listing.txt"])
    yield from drawings(pack)
    kit = json.loads(pack.texts["manifest.json"])["kit"]
    yield Saying("version", kit["version"], "manifest")
    yield Saying("title", kit["title"], "manifest")
    pictures = [name for name in pack.texts if re.fullmatch(r"pictures/step-\d+\.jpg", name)]
    yield Saying("count of steps", len(pictures), "pictures")


# ---------------------------------------------------------------------------------------------------------- the sheet


def sheet(page: Node) -> Iterator[Saying]:
    """Yield what the settings sheet says."""
    pages = page.xpath('//section[contains(@class, "machine")]')
    yield Saying("count of classes", len(pages), "sheet")
    yield Saying("names of the classes", together(text(one.xpath(".//h1")[0]) for one in pages), "sheet")
    for one in pages:
        name = text(one.xpath(".//h1")[0])
        head = {text(label): text(label.getparent()) for label in one.xpath('.//span[@class="label"]')}
        time = head["Time at the machine"].removeprefix("Time at the machine").strip()
        yield from of_time(f"time on {name}", time, f"sheet, {name}")
        yield Saying("version", head["Kit"].rpartition(", ")[2], f"sheet, {name}")
        heads = [text(cell) for cell in one.xpath('.//table[@class="steps"]/thead//th')]
        for row in one.xpath('.//tr[@class="figures"]'):
            yield from _sheet_row(row, heads, name)


def _sheet_row(row: Node, heads: list[str], name: str) -> Iterator[Saying]:
    numbers = [int(one) for one in re.findall(r"\d+", text(row[0]))]
    what, place = row.xpath('./td[@class="what"]')[0], f"sheet, {name}"
    cutter = "".join(text(one) for one in what.xpath('./span[@class="fresh"]'))
    detail = text(row.getnext())
    passes = re.search(r"· (?:Dial [^·]+ · )?(\d+) pass(?:es)?(?: ([^·]*))?", detail)
    stick_out = re.search(r"stick-out (\S+ \w+)", detail)
    about_all = [f"step {step}" for step in range(numbers[0], numbers[-1] + 1)] if numbers else [_check_hole(what)]
    for file in row.getnext().xpath('.//span[@class="file"]'):
        yield from _sheet_layers(about_all, text(file), place)
    for about in about_all:
        if cutter:
            yield Saying(f"{about}: cutter", cutter, place)
        if len(numbers) < 2:
            yield Saying(
                f"{about}: title",
                re.sub(r" \((?:roughing|finishing(?: the (?:floor|walls))?)\)$", "", text(what[0])),
                place,
            )
            time = next((one for one in reversed(detail.split(" · ")) if minutes(one)), "")  # remarks may follow it
            yield from of_time(f"{about} on {name}: time", time, place)
        for head, cell in zip(heads[3:], row[3:], strict=True):
            column, unit = _column(head)
            yield from figure(f"{about} on {name}: {column}", cell, unit, place)
        assert passes is not None, detail
        assert stick_out is not None, detail
        yield Saying(f"{about} on {name}: passes", int(passes[1]), place)
        yield Saying(f"{about} on {name}: last pass", (passes[2] or "").strip(), place)
        yield from of_lengths(f"{about} on {name}: stick-out", length(stick_out[1]), place)


def _check_hole(what: Node) -> str:
    """Return how the table names the hole that is drilled after a step, which has no number of its own."""
    return re.sub(r"^Check hole, after step (\d+).*$", r"step after \1", text(what[0]))


def _sheet_layers(steps: Sequence[str], words: str, place: str) -> Iterator[Saying]:
    """Yield where steps are drawn and how deep they go, where one file holds them all."""
    file, layers = words.partition(": ")[::2]
    listed = layers.split(", ")
    if not re.fullmatch(r"\S+\.dxf", file) or len(listed) != len(steps):
        return
    for step, one in zip(steps, listed, strict=True):
        layer, depth = one.split(" ", 1)
        yield Saying(f"{step}: drawn on", f"{file}, layer {layer}", place)
        yield Saying(f"{step}: goes through", str(depth == "through"), place)
        if depth != "through":
            yield from of_lengths(f"{step}: depth", length(depth), place)


def _column(head: str) -> tuple[str, str]:
    """Return the name of a column and the unit of its first figure."""
    name, *units = re.split(r",? (?=(?:rpm|mm/min|in/min|mm|in)\b)", head)
    return name, units[0] if units else ""


# ---------------------------------------------------------------------------------------------------------- the table


def table(words: str) -> Iterator[Saying]:
    """Yield what settings.csv says."""
    rows = list(csv.DictReader(io.StringIO(words)))
    steps = {row["step_key"]: row["step"] for row in rows}
    yield Saying("count of classes", len({row["machine_class"] for row in rows}), "settings.csv")
    yield Saying("count of steps", sum(one.isdigit() for one in set(steps.values())), "settings.csv")
    yield Saying("names of the cutters", together(row["cutter"] for row in rows), "settings.csv")
    yield Saying("names of the classes", together(row["machine_class"] for row in rows), "settings.csv")
    for row in rows:
        about = f"step {row['step']}"
        yield Saying(f"{about}: title", row["operation"], "settings.csv")
        yield Saying(f"{about}: cutter", row["cutter"], "settings.csv")
        if " " not in row["drawing"]:
            yield Saying(f"{about}: drawn on", f"{row['drawing']}, layer {row['layer']}", "settings.csv")
        yield from _setting(row, about, steps)
    for file in {file for row in rows for file in row["drawing"].split()}:
        layers = together(row["layer"] for row in rows if file in row["drawing"].split())
        yield Saying(f"layers of {file}", layers, "settings.csv")


def _setting(row: dict[str, str], about: str, steps: dict[str, str]) -> Iterator[Saying]:
    on, kind = f"{about} on {row['machine_class']}", row["setting"]
    if kind in ("depth", "starts_at"):
        key = {"depth": "depth", "starts_at": "starts at"}[kind]
        yield Saying(f"{about}: {key}", float(row["start"]), "settings.csv", 1e-6)
        after = row["low_limit"].partition(" after ")[2]
        yield Saying(f"{about}: counts from", f"after step {steps[after]}" if after else "as it came", "settings.csv")
    elif kind == "passes":
        yield Saying(f"{on}: passes in the table", int(row["start"]), "settings.csv")
    elif kind == "last_pass":
        yield Saying(f"{on}: last pass in the table", float(row["start"]), "settings.csv")
    elif kind == "stick_out":
        yield Saying(f"{on}: stick-out", float(row["start"]), "settings.csv", 1.0)
    elif kind in ("speed", "feed", "plunge"):
        name = {"speed": "Speed", "feed": "Feed", "plunge": "Plunge"}[kind]
        yield Saying(f"{on}: {name}, exact", float(row["start"]), "settings.csv")


# ---------------------------------------------------------------------------------------------------- read-me, listing


def _unfolded(words: str) -> list[str]:
    """Return the lines of a text of 76 columns, items of a list that run over several of them in one."""
    lines: list[str] = []
    for line in words.splitlines():
        if line.startswith("  ") and lines:
            lines[-1] += " " + line.strip()
        else:
            lines.append(line.strip())
    return lines


def read_me(words: str) -> Iterator[Saying]:
    """Yield what READ-ME-FIRST.txt says."""
    place, lines = "read-me", _unfolded(words)
    title, _comma, version = lines[0].rpartition(", version ")
    yield Saying("title", title, place)
    yield Saying("version", version, place)
    cutters = [line.removeprefix("- Cutter: ") for line in lines if line.startswith("- Cutter: ")]
    yield Saying("count of cutters", len(cutters), place)
    yield Saying("names of the cutters", together(_flutes(line) for line in cutters), place)
    for line in cutters:
        name, size = re.fullmatch(r"(.*?flutes?), (.*)", line).groups()  # type: ignore[union-attr]
        yield from (one for found in lengths(size) for one in of_lengths(f"cutter {name}: diameter", found, place))
    for line in lines:
        yield from to_buy_line(line, place)
        if (bought := re.fullmatch(r"- (\d+) x (.*)", line)) is not None:
            yield from _bought(int(bought[1]), bought[2], place)
        elif line.startswith("- For the fit coupon: "):
            sides = line.removeprefix("- For the fit coupon: ").partition(" of ")[0].split(" x ")
            for name, side in zip(("length", "width"), sides, strict=True):
                about = f"stock of the fit coupon: {name}"
                yield from (one for found in lengths(side) for one in of_lengths(about, found, place))
        elif line.startswith(("- Time at the machine: ", "- Work by hand: ", "- Waiting")):
            yield from _times(re.sub(r"(?<=\d)-(?=\d)", "–", line.removeprefix("- ")), place)
    every = " ".join(lines)
    if (same := re.search(r"every piece is drawn for (.*?\))", every)) is not None:
        for stock in (found[1] for line in lines if (found := re.fullmatch(r"- \d+ x (.*?): .* x .*", line))):
            yield from (s for size in lengths(same[1]) for s in of_lengths(f"stock {stock}: thickness", size, place))
    drawn = re.search(r"in several places and compare: (.*?)\. \d", every)
    for name, thick in re.findall(r"(?:^|; )(.*?), drawn for (?!thicknesses)(.*?\))", drawn[1] if drawn else ""):
        yield from (s for found in lengths(thick) for s in of_lengths(f"stock {name}: thickness", found, place))


def _flutes(line: str) -> str:
    """Return the name of a cutter in front of its sizes."""
    return re.sub(r"(flutes?), .*", r"\1", line)


def _bought(count: int, words: str, place: str) -> Iterator[Saying]:
    stock = re.fullmatch(r"(.*?): (.*?), (\S+ (?:mm|in)\b.*)", words)
    if stock is None or " x " not in stock[3]:
        yield Saying(f"bought {words.partition(' (')[0]}: count", count, place)
        return
    title, _wood, sides = stock.groups()
    yield Saying(f"stock {title}: count", count, place)
    for name, side in zip(("length", "width", "thickness"), sides.split(" x "), strict=True):
        yield from (s for found in lengths(side) for s in of_lengths(f"stock {title}: {name}", found, place))


def _times(line: str, place: str) -> Iterator[Saying]:
    label, _colon, time = line.partition(": ")
    if label == "Time at the machine":
        yield from at_the_machine(time, place)
    elif label == "Work by hand":
        yield Saying("work by hand", time, place)
    else:
        yield Saying("days of waiting", time.partition(" ")[0], place)


def listing(words: str) -> Iterator[Saying]:
    """Yield what listing.txt says."""
    place, headings = "listing", _by_heading(words)
    parts = headings["The parts"]
    total = 0
    for line in parts:
        found = re.fullmatch(r"(?:(\d+) × )?(.*?): (.*)", line)
        assert found is not None, line
        total += int(found[1] or 1)
        yield Saying(f"part {found[2]}: count", int(found[1] or 1), place)
        yield from size_of(f"part {found[2]}", found[3], place)
        yield from size_of("part of the kit", found[3], place) if len(parts) == 1 else ()
    yield Saying("count of parts", total, place)
    if len(parts) > 1:
        names = (re.sub(r"^\d+ × |: (?:Ø )?[\d.]+ ×.*", "", line) for line in parts)
        yield Saying("names of the parts", together(names), place)
    yield from _at_a_glance(headings["At a glance"], place)
    classes = [line.partition(":")[0] for line in headings["Machines"] if ": fits" in line]
    yield Saying("names of the classes", together(classes), place)
    for line in headings["Machines"]:
        if (fits := re.fullmatch(r"(.*?): fits, (.*)", line)) is not None:
            yield from of_time(f"time on {fits[1]}", fits[2], place)
    for line in headings["Wood"]:
        if any(bought := list(to_buy_line(line, place))):
            yield from bought
            continue
        found = re.fullmatch(r"(\d+) × (.*?) \((?:[^()]|\([^()]*\))*\): (.*)", line)
        assert found is not None, line
        yield Saying(f"stock {found[2]}: count", int(found[1]), place)
        yield from size_of(f"stock {found[2]}", found[3], place)
    yield Saying("count of cutters", len(headings["Cutters"]), place)
    yield Saying("names of the cutters", together(map(_flutes, headings["Cutters"])), place)
    for line in headings["Cutters"]:
        name, shank = re.fullmatch(r"(.*?flutes?), shank (.*)", line).groups()  # type: ignore[union-attr]
        yield from (one for found in lengths(shank) for one in of_lengths(f"cutter {name}: shank", found, place))
    yield from _listed(headings, place)


def _at_a_glance(lines: Sequence[str], place: str) -> Iterator[Saying]:
    for line in lines:
        if line.startswith(("Time at", "Work by", "Waiting")):
            yield from _times(line, place)
        elif line.startswith("Finished piece"):
            yield from size_of("finished piece", line, place)


def _listed(headings: dict[str, list[str]], place: str) -> Iterator[Saying]:
    for line in headings["Also needed"]:
        if (bought := re.fullmatch(r"(\d+) × (.*)", line)) is not None:
            yield Saying(f"bought {bought[2].partition(' (')[0]}: count", int(bought[1]), place)
        elif line.startswith("For the fit coupon"):
            yield from size_of("stock of the fit coupon", line, place)
        elif line.startswith("Abrasive paper"):
            yield Saying("grits", " ".join(re.findall(r"\d+", line)), place)
    included = " ".join(headings["What is included"])
    for about, pattern in (
        ("count of steps", r"(\w+) steps? with a picture"),
        ("count of classes", r"Settings for (\w+) class"),
        ("kinds of part", r"Drawings of (\w+) parts?"),
    ):
        if (found := re.search(pattern, included)) is not None:
            yield Saying(about, counted(found[1]), place)
    version = next(line for line in headings["Licence"] if line.startswith("Version "))
    yield Saying("version", version.removeprefix("Version "), place)


def _by_heading(words: str) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    lines, heading = _unfolded(words), ""
    for line, following in zip(lines, [*lines[1:], ""], strict=True):
        if following and set(following) == {"-"}:
            heading = line
        elif line.startswith("- "):
            found.setdefault(heading, []).append(line.removeprefix("- "))
    return found


# ------------------------------------------------------------------------------------------------------- the drawings


def drawings(pack: Unset) -> Iterator[Saying]:
    """Yield which layers the drawings have for steps, and what the notes beside them say."""
    rows = list(csv.DictReader(io.StringIO(pack.texts["settings.csv"])))
    steps = {row["step_key"]: row for row in rows}
    for name, drawn in pack.texts.items():
        if not name.startswith("drawings/") or not name.endswith(".svg"):
            continue
        file = name.removeprefix(_drawn_folder(pack)).removeprefix("drawings/").removesuffix(".svg")
        if "/" in file:
            continue  # of a thickness that the other documents do not show
        groups = [
            (g.findtext("{*}title") or "", g.findtext("{*}desc")) for g in etree.fromstring(drawn.encode()).iter("{*}g")
        ]
        cut = [(layer, note) for layer, note in groups if note is not None]
        if file.startswith("sheet-"):
            yield Saying(f"layers of {file}.dxf", together(layer for layer, _note in cut), f"drawing, {name}")
        for layer, note in cut:
            own = {key: row["step"] for key, row in steps.items() if _is_on(row, file, layer)}
            last = {key: number for key, number in own.items() if not key.endswith("/roughing")} or own
            yield from _note(name, note, set(last.values()))


def _drawn_folder(pack: Unset) -> str:
    """Return the folder of the thickness that the booklet shows, where there are several."""
    shown = re.search(r"This booklet shows ([\d.]+) mm", pack.texts["booklet-a4.pdf"])
    return f"drawings/{float(shown[1]):.1f}-mm/" if shown else "drawings/"


def _is_on(row: dict[str, str], file: str, layer: str) -> bool:
    """Whether a step is drawn on a layer of a sheet, or of its part."""
    if file.startswith("sheet-"):
        return f"{file}.dxf" in row["drawing"].split() and layer in row["layer"].split()
    part, operation = row["step_key"].split("/")[:2]
    return part.replace("_", "-") == file.removesuffix("-bottom") and operation.upper() == layer


def _note(name: str, note: str, steps: set[str]) -> Iterator[Saying]:
    depth = note.partition(", ")[0]
    for step in steps:
        yield Saying(f"step {step}: goes through", str(depth == "through"), f"drawing, {name}")
        if depth != "through":
            deep = in_unit(depth.partition(" mm")[0], "mm")
            yield Saying(f"step {step}: depth", deep.value, f"drawing, {name}", 0.005)
