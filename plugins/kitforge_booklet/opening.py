"""Cover, what is in the pack, how to use it, and which machines it fits."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from kitforge.language import capital, inside, render_text, say, say_as, say_counted
from kitforge.model.plan import served
from kitforge.pack.overall import overall_size
from kitforge.pack.times import hands_on_words, machine_words, waiting_words, work_times
from kitforge.planning.overall import part_extent
from kitforge.print.figures import Units, listed, minutes, sentence, stock_title
from kitforge.print.settings import class_numbers, reasons_against
from kitforge.print.sizes import family_words, part_size
from kitforge_booklet.pictures import cover_shot
from kitforge_booklet.records import Cover, MachineFit
from kitforge_booklet.size_figures import size_figures
from kitforge_booklet.step_records import LabelledFact

if TYPE_CHECKING:
    from kitforge.model.kit import Kit, Part, Stock
    from kitforge.model.plan import MachinePlan, Plan
    from kitforge.pictures.drawn.shots import Shots


def cover(kit: Kit, plan: Plan, machines: Sequence[MachinePlan], units: Units, shots: Shots) -> Cover:
    """Return the first page."""
    info = kit.info
    facts = [
        LabelledFact(say("Skill"), capital(say_as(info.skill))),
        _time_fact(kit, plan, machines),
        _size_fact(kit, units),
        LabelledFact(say("Made from"), capital(listed([inside(stock_title(stock)) for stock in kit.stock.values()]))),
    ]
    return Cover(
        title=info.title,
        summary=info.summary,
        family=family_words(kit),
        sizes=size_figures(kit, units),
        picture=cover_shot(kit, plan, shots),
        facts=tuple(facts),
        author=info.author,
        licence=info.licence,
        version=info.version,
    )


def _size_fact(kit: Kit, units: Units) -> LabelledFact:
    """Return how large the finished piece is, or, where nothing says how its parts stand, the largest part."""
    copies = sum(part.count for part in kit.parts)
    if kit.together and (overall := overall_size(kit)):
        size = units.size(*overall, places=1)
        label = say_counted("Finished piece, one part", "Finished piece, {count} parts", copies)
        return LabelledFact(label, size.main, size.other)
    largest = max(kit.parts, key=_by_size)
    measure = part_size(largest, units)
    label = say("Size") if copies == 1 else say_counted("One part, the largest", "{count} parts, the largest", copies)
    return LabelledFact(capital(label), measure.main, measure.other)


def _by_size(part: Part) -> tuple[float, float]:
    """Return what makes one part larger than another: its length times its width, as printed, then its thickness."""
    extent = part_extent(part)
    return round(extent.along * extent.across, 1), part.thickness


def _time_fact(kit: Kit, plan: Plan, machines: Sequence[MachinePlan]) -> LabelledFact:
    """Return the time at the machine, and below it what comes on top: work by hand, and waiting."""
    times = work_times(kit, plan)
    by_hand, waiting = hands_on_words(times), waiting_words(times)
    words = say("{time} by hand", time=by_hand)
    if waiting:
        words = say("{time} by hand, {days} of waiting", time=by_hand, days=waiting)
    return LabelledFact(say("Time at the machine"), machine_words(machines), words)


def pack_facts(kit: Kit) -> tuple[LabelledFact, ...]:
    """Return what the buyer finds beside this booklet."""
    drawings = say_counted(
        "The outlines of one part at full size, one layer for each operation, for the program that makes your "
        "machine's code.",
        "The outlines of {count} parts at full size, one layer for each operation, for the program that makes your "
        "machine's code.",
        len(kit.parts),
    )
    return (
        LabelledFact(say("This booklet"), say("From buying the wood to the last coat of finish, in working order.")),
        LabelledFact(
            "start.html",
            say("This booklet for a browser, without a network: with the settings of your own machine, step by step."),
        ),
        LabelledFact(say("Drawings"), drawings),
        LabelledFact(say("Settings sheet"), say("One page for each class of machine, to pin up beside yours.")),
        LabelledFact(
            "SHA256SUMS",
            say("Every file in the pack with its checksum, so that you can see whether anything is missing."),
        ),
    )


def how_to_use(plan: Plan) -> tuple[str, ...]:
    """Return the way through the booklet."""
    cutters = len({step.cutter.key for step in plan.steps})
    return (
        say("Read the whole booklet once, the safety pages twice."),
        say("Find your machine in “Will it fit my machine?” and mark its number. Every table uses the same numbers."),
        say_counted(
            "Buy the stock and measure it. Lay out one cutter and tick off the list.",
            "Buy the stock and measure it. Lay out {count} cutters and tick off the list.",
            cutters,
        ),
        say_counted(
            "Open the drawings in your program and give each of the one step the cutter, depth and settings of its "
            "table, in the order printed.",
            "Open the drawings in your program and give each of the {count} steps the cutter, depth and settings of "
            "its table, in the order printed.",
            len(plan.steps),
        ),
        say("Run an air cut first. Then cut step by step, and check each one against “Done when”."),
    )


def fits(plan: Plan, machines: Sequence[MachinePlan], units: Units) -> tuple[MachineFit, ...]:
    """Return how the kit stands with each machine class, weakest first."""
    numbers = class_numbers(plan)
    return tuple(_fit(numbers[machine.machine.key], machine, units) for machine in machines)


def _fit(number: int, machine: MachinePlan, units: Units) -> MachineFit:
    reasons = tuple(sentence(render_text(text)) for text in reasons_against(machine))
    sound = not reasons
    return MachineFit(
        number=number,
        machine=say_as(machine.machine.name),
        about=say_as(machine.machine.about),
        area=units.size(*machine.machine.table, places=0),
        verdict=say("Yes") if sound else say("No"),
        fits=sound,
        time=minutes(machine.machine_seconds) if sound else "–",
        changes=machine.cutter_changes,
        reasons=reasons,
    )


def fit_words(plan: Plan, kit: Kit, units: Units) -> str:
    """Return the answer in one or two sentences."""
    smallest = plan.smallest_machine()
    if smallest is None:
        return say("No class of machine listed here cuts this kit as it stands.")
    stock = max(kit.stock.values(), key=lambda piece: piece.length * piece.width)
    words = say(
        "The smallest class that cuts this kit is the {machine}. Your machine needs a working area of at least {size} "
        "for the largest piece of stock, and room under the gantry for stock, spoilboard and cutter.",
        machine=say_as(smallest.machine.name),
        size=units.size(stock.length, stock.width, places=1),
    )
    tables = [one.machine.table for one in served(plan.machines)]
    if all(_lies_as_drawn(piece, table) for piece in kit.stock.values() for table in tables):
        return words
    turned = say(
        "Where a piece is longer than your machine in one direction, turn it and its drawings by a quarter: X0 Y0 is "
        "then the lower left corner as it lies."
    )
    return f"{words} {turned}"


def _lies_as_drawn(piece: Stock, table: tuple[float, float]) -> bool:
    return piece.length <= table[0] and piece.width <= table[1]
