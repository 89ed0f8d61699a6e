"""READ-ME-FIRST.txt and LICENSE.txt: what a beginner reads before anything else, computed from the kit."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import groupby
from typing import TYPE_CHECKING

from kitforge import __version__
from kitforge.language import current_language, decimal, language, later, render_text, say, say_as
from kitforge.model.pack import PackFile
from kitforge.model.plan import served
from kitforge.model.units import format_length
from kitforge.pack.glues import glue_names
from kitforge.pack.names import pack_name
from kitforge.pack.options import chosen_machines
from kitforge.pack.times import size_times, time_lines
from kitforge.pack.wording import encode, heading, numbered, paragraph, printable
from kitforge.planning.layers import step_layers
from kitforge.planning.trial_stock import trial_stock
from kitforge.print.figures import Units, minutes_together, stock_title

if TYPE_CHECKING:
    from kitforge.model.info import KitInfo
    from kitforge.model.kit import Kit, Stock
    from kitforge.model.plan import MachinePlan, Plan

LICENCE = "LICENSE.txt"

_ABOUT = later("Start here: what is in the pack and what to do first")
_LICENCE_ABOUT = later("What you may do with the kit")

# Machine safety as published for routers (HSE Woodworking Information Sheet 22; OSHA 29 CFR 1910.213) and wood dust
# (HSE wood dust pages). Put in the order hazard, consequence, avoidance.
_CAUTIONS = (
    later(
        "A turning cutter cuts fingers and throws chips. Wear eye and ear protection, keep your hands and loose "
        "clothing away from the cutter, and stay at the machine, within reach of its stop, for as long as it runs."
    ),
    later(
        "A part or a piece of stock that comes loose is thrown. Hold it down as the booklet says, check it before "
        "every step, and leave the tabs or the skin in place until the spindle stands still."
    ),
    later("Wood dust harms the lungs and burns. Use dust extraction and a mask, and empty the collector outside."),
    later(
        "The settings are computed starting points with a range, not promises. The manuals of your machine, your "
        "cutters, your glue and your finish come first, and so does the law where you live. Try every cutter on scrap "
        "first."
    ),
)


def read_me_first(kit: Kit, plan: Plan, files: Sequence[PackFile], machines: Sequence[str] = ()) -> PackFile:
    """Return READ-ME-FIRST.txt for a pack that holds `files` for the machine classes named, or for all of the plan's.

    It is written, and its name is, in the language in use. What is done first, which drawing is opened, where the
    settings are and how long it takes stand before the list of files. The files that seal the pack need not be among
    `files`.
    """
    blocks = [
        _title(kit.info),
        paragraph(kit.info.summary),
        heading(say("What to do first")),
        numbered(_first_steps(kit, plan, chosen_machines(plan, machines), files)),
        heading(say("How long it takes")),
        "\n".join(_times(kit, plan, chosen_machines(plan, machines))),
        heading(say("What is what")),
        "\n\n".join(_contents(files)),
        heading(say("What you need")),
        "\n".join(_needs(kit, plan)),
        heading(say("Stay safe")),
        numbered(map(say_as, _CAUTIONS)),
        heading(say("Is the pack whole?")),
        "\n".join(_sums(kit.info)),
        heading(say("Version and licence")),
        "\n".join(_origin(kit.info)),
    ]
    return PackFile(read_me_name(), encode("\n\n".join(blocks)), _ABOUT, current_language().code)


def read_me_name() -> str:
    """Return how the file that is read first is called in the language in use."""
    return say("READ-ME-FIRST.txt")


def licence_file(kit: Kit) -> PackFile:
    """Return LICENSE.txt: the author's own licence text, or the SPDX expression in words."""
    text = kit.info.licence_text or "\n\n".join(_licence_words(kit.info))
    return PackFile(LICENCE, encode(_own_lines(text)), _LICENCE_ABOUT)


def _title(info: KitInfo) -> str:
    line = printable(say("{title}, version {version}", title=info.title, version=info.version))
    return f"{line}\n{'=' * len(line)}"


def _first_steps(kit: Kit, plan: Plan, machines: Sequence[MachinePlan], files: Sequence[PackFile]) -> list[str]:
    printed = _names([file for file in files if file.language in ("", current_language().code)], ".pdf")
    booklets = _names([file for file in files if file.guide and file.name in printed], ".pdf") or printed
    drawings = _names(files, ".dxf") or _names(files, ".svg")
    steps = []
    if booklets:
        books = _either(booklets)
        steps.append(say("Read {booklet} from front to back before you buy or cut anything.", booklet=books))
    pages = _names([file for file in files if file.guide], ".html")
    if pages:
        steps.append(
            say("At the machine, {page} in a browser says the same; it needs no network.", page=_either(pages))
        )
    sheets = [name for name in printed if name not in booklets]
    steps += [" ".join([_machine_step(kit, machines), *_settings_in(sheets, pages)]), _measure_step(kit)]
    if drawings:
        steps.append(" ".join([_loading(kit, drawings), *_begin_with(plan, drawings)]))
    return [*steps, say("Cut the steps in the order of the booklet. The cut that frees a part comes last.")]


def _settings_in(sheets: Sequence[str], pages: Sequence[str]) -> list[str]:
    """Say where the settings are, in a pack that has them as documents."""
    if not sheets:
        return []
    if pages:
        return [
            say(
                "They are in {files}; {page} works them out for your own machine.",
                files=_either(sheets),
                page=_either(pages),
            )
        ]
    return [say("They are in {files}.", files=_either(sheets))]


def _loading(kit: Kit, drawings: Sequence[str]) -> str:
    folder = _either(sorted({_folder_of(name) for name in drawings}))
    if any(stock.ladder for stock in kit.stock.values()):
        return say(
            "Load the drawings from the folder of your thickness in {folder}, and those beside these folders, into "
            "the program that makes your machine's cutting paths. They are drawn 1:1 in millimetres; measure one "
            "length on the screen before you go on.",
            folder=folder,
        )
    return say(
        "Load the drawings from {folder} into the program that makes your machine's cutting paths. They are "
        "drawn 1:1 in millimetres; measure one length on the screen before you go on.",
        folder=folder,
    )


def _begin_with(plan: Plan, drawings: Sequence[str]) -> list[str]:
    """Name the drawing that the first step is cut from, where it is in the pack."""
    first = [layer.drawing for step in plan.steps[:1] for layer in step_layers(plan, step)][:1]
    ends = tuple(f"{name}.{form}" for name in first for form in ("dxf", "svg"))
    found = [name.rpartition("/")[2] for name in drawings if name.rpartition("/")[2] in ends]
    return [say("Begin with {file}, for step 1.", file=name) for name in found[:1]]


def _folder_of(name: str) -> str:
    return say("the folder {name}", name=name.partition("/")[0]) if "/" in name else say("this folder")


def _machine_step(kit: Kit, machines: Sequence[MachinePlan]) -> str:
    fitting = served(machines)
    if not fitting:
        return say("Find the settings of your machine. Take care: the stock fits none of the machine classes as it is.")
    return say(
        "Find out which class your machine belongs to, and use only the settings of that class: {classes}.",
        classes="; ".join(_with_area(machine, kit) for machine in fitting),
    )


def _with_area(plan: MachinePlan, kit: Kit) -> str:
    area = Units(kit.info.units, both=False).size(*plan.machine.table, places=0).main.replace("×", "x")
    return say("{machine} (working area about {area})", machine=say_as(plan.machine.name), area=area)


def _measure_step(kit: Kit) -> str:
    stocks = list(kit.stock.values())
    alike = {(stock.actual, stock.ladder is None) for stock in stocks}
    if len(stocks) > 1 and alike == {(stocks[0].actual, True)}:
        thickness = _length(stocks[0].actual, kit)
        return say(
            "Measure the thickness of your stock in several places: every piece is drawn for {thickness}.",
            thickness=thickness,
        )
    pieces = "; ".join(_drawn_for(stock, kit) for stock in stocks)
    return say("Measure the thickness of your stock in several places and compare: {pieces}.", pieces=pieces)


def _drawn_for(stock: Stock, kit: Kit) -> str:
    title = stock_title(stock)
    if stock.ladder is None:
        return say("{stock}, drawn for {thickness}", stock=title, thickness=_length(stock.actual, kit))
    return say(
        "{stock}, drawn for thicknesses from {least} to {most}, each with a folder (the booklet says which to take)",
        stock=title,
        least=_length(stock.ladder.rungs[0], kit),
        most=_length(stock.ladder.rungs[-1], kit),
    )


def _length(value: float, kit: Kit) -> str:
    return decimal(format_length(value, kit.info.units))


def wood_items(kit: Kit, plan: Plan) -> Iterable[str]:
    """Yield what to buy of the wood, as it is sold, a list item each."""
    from kitforge.print.buying import bought_lines

    for line in bought_lines(kit, plan, Units(kit.info.units, both=False)):
        yield _item(line.replace("×", "x"))


def _needs(kit: Kit, plan: Plan) -> Iterable[str]:
    from kitforge.planning.preparing import pieces_of

    for stock in kit.stock.values():
        size = " x ".join(_length(length, kit) for length in (stock.length, stock.width, stock.actual))
        yield _item(f"{pieces_of(stock, plan.sheets)} x {stock_title(stock)}: {say_as(stock.material.name)}, {size}")
    yield from wood_items(kit, plan)
    for trial in trial_stock(kit, plan):
        size = " x ".join(_length(length, kit) for length in (trial.stock.length, trial.stock.width))
        what = say("{size} of {stock}", size=size, stock=stock_title(trial.stock))
        yield _item(
            say("For the fit coupon: {what}", what=what)
            if trial.coupon
            else say("For the proof strip: scrap of more than {what}", what=what)
        )
    for cutter in plan.cutters:
        yield _item(say("Cutter: {name}, {size}", name=render_text(cutter.name), size=_length(cutter.diameter, kit)))
    if kit.finishing.finish:
        yield _item(say("Finish: {name}", name=say_as(kit.finishing.finish.name)))
    for thing in kit.hardware:
        yield _item(f"{thing.count} x {thing.item}" + (f" ({thing.use})" if thing.use else ""))
    yield from map(_item, glue_names(kit, plan))


def _times(kit: Kit, plan: Plan, machines: Sequence[MachinePlan]) -> Iterable[str]:
    times = size_times(kit, plan, machines)
    for line in time_lines(times):
        yield _item(plain(line))
    if times.at_machine is not None:
        both = minutes_together((times.at_machine, times.hands_on))
        yield _item(plain(say("All in all: {time} of work", time=both)))


def plain(line: str) -> str:
    """Return a line with a plain hyphen for spans: the plainest editors show this file."""
    return line.replace("–", "-")


def _contents(files: Sequence[PackFile]) -> Iterable[str]:
    in_order = sorted(files, key=lambda file: ("/" in file.name, file.name))
    for folder, members in groupby(in_order, key=lambda file: file.name.rpartition("/")[0]):
        if folder:
            yield f"{folder}/"
        for file in members:
            yield f"{file.name.rpartition('/')[2]}\n{paragraph(_about(file), indent='    ')}"


def _about(file: PackFile) -> str:
    about = (say_as(file.about) if isinstance(file.about, str) else render_text(file.about)).rstrip(".")
    if file.language in ("", current_language().code):
        return f"{about}."
    return say("{about} (in {language}).", about=about, language=say_as(language(file.language).name))


def _sums(info: KitInfo) -> Iterable[str]:
    yield paragraph(
        say(
            "The file SHA256SUMS, if it came with the pack, holds a sum for every file. In this folder, run one of "
            "these; every line should end in OK:"
        )
    )
    yield ""
    yield "    sha256sum -c SHA256SUMS          (Linux)"
    yield "    shasum -a 256 -c SHA256SUMS      (macOS)"
    yield ""
    yield paragraph(say("On Windows, compare the line of a file with what this prints:"))
    yield ""
    yield f"    certutil -hashfile {read_me_name()} SHA256"
    yield ""
    yield paragraph(say("The folder should be called {name}.", name=pack_name(info.slug, info.version, size=info.size)))


def _origin(info: KitInfo) -> Iterable[str]:
    version = f"{info.title} {info.version}"
    if info.released:
        version = say("{version}, released {date}", version=version, date=info.released)
    yield paragraph(version)
    author = info.author + (f" ({info.contact})" if info.contact else "")
    yield paragraph(say("Author: {author}", author=author))
    yield paragraph(say("Licence: {licence}; see {file}", licence=info.licence, file=LICENCE))
    yield paragraph(say("Made with kitforge {version}.", version=__version__))


def _licence_words(info: KitInfo) -> Iterable[str]:
    year = f" {info.released[:4]}" if info.released else ""
    yield paragraph(f"{info.title}, version {info.version}")
    yield paragraph(f"Copyright{year} {info.author}")
    yield paragraph(f"SPDX-License-Identifier: {info.licence}")
    yield paragraph(_meaning(info.licence))
    if info.contact:
        yield paragraph(f"Questions about what is allowed: {info.contact}")


def _meaning(expression: str) -> str:
    words = expression.replace("(", " ").replace(")", " ").split()
    own = sorted({word for word in words if word.startswith(("LicenseRef-", "DocumentRef-"))})
    text = f"The author makes this kit available under the terms that the SPDX licence expression '{expression}' names"
    if " OR " in f" {' '.join(words)} ":
        text += "; where it says OR, you choose one"
    if " AND " in f" {' '.join(words)} ":
        text += "; where it says AND, all of them hold"
    listed = "The full text of every licence on the SPDX list is published at https://spdx.org/licenses/."
    if own:
        listed = f"{_either(own)} is the author's own licence; ask the author for its text, and until you have it, "
        listed += "assume that you may make the kit for yourself and pass nothing on."
    return f"{text}. {listed}"


def _own_lines(text: str) -> str:
    return "\n".join(printable(line).rstrip() for line in text.splitlines())


def _names(files: Sequence[PackFile], ending: str) -> list[str]:
    return sorted(file.name for file in files if file.name.endswith(ending))


def _either(names: Sequence[str]) -> str:
    if len(names) == 1:
        return names[0]
    return say("{first} or {last}", first=", ".join(names[:-1]), last=names[-1])


def _item(text: str) -> str:
    return paragraph(text, indent="  ", first="- ")
