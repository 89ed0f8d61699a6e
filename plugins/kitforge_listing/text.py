"""listing.txt: what somebody wants to know before buying the kit, every line computed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from kitforge.language import capital, render_text, say, say_as, say_counted, say_many
from kitforge.model.plan import served
from kitforge.pack.glues import glue_names
from kitforge.pack.options import chosen_machines
from kitforge.pack.overall import overall_size
from kitforge.pack.sizes import size_lines
from kitforge.pack.times import size_times, time_lines
from kitforge.pack.wording import heading, paragraph
from kitforge.planning.preparing import pieces_of
from kitforge.planning.trial_stock import trial_stock
from kitforge.plugins import load_plugins
from kitforge.print.buying import bought_lines
from kitforge.print.figures import Units, listed, minutes, sentence, stock_title, units_for
from kitforge.print.sizes import family_words, part_size
from kitforge.print.trust import tried
from kitforge_listing.shop import NO_PICTURES, ShopPictures, allowed, form

if TYPE_CHECKING:
    from kitforge.model.kit import Kit
    from kitforge.model.pack import BuildOptions
    from kitforge.model.plan import MachinePlan, Plan


def listing(kit: Kit, plan: Plan, options: BuildOptions, pictures: ShopPictures = NO_PICTURES) -> str:
    """Return the listing in the language that is being written. pictures: those for a shop page.

    What a buyer asks comes in the order in which it is asked: how large, what do I get, can I make it, what may I do.
    """
    units = units_for(options.units, kit.info.units)
    machines = chosen_machines(plan, options.machines)
    blocks = [
        heading(kit.info.title),
        paragraph(kit.info.summary),
        _section(say("At a glance"), _facts(kit, plan, machines, units)),
        _section(say("The sizes"), _sizes(kit, units)),
        _section(say("What is included"), _included(kit, plan, options)),
        _section(say("The parts"), _parts(kit, units)),
        _section(say("Machines"), [*_machines(machines, plan, units), *tried(kit)]),
        _section(say("Wood"), [*_pieces(kit, plan, units), *bought_lines(kit, plan, units)]),
        _section(say("Cutters"), _cutters(plan, units)),
        _section(say("Also needed"), _also(kit, plan, units)),
        _section(say("May I sell pieces?"), allowed(kit.info)),
        _section(say("Licence"), [kit.info.licence, *_maker(kit)]),
        _section(say("To fill in a shop's form"), form(kit, pictures)),
    ]
    return "\n\n".join(block for block in blocks if block)


def _section(title: str, lines: Sequence[str] | Iterator[str]) -> str:
    body = "\n".join(paragraph(line, indent="  ", first="- ") for line in lines)
    return f"{heading(title)}\n\n{body}" if body else ""


def _facts(kit: Kit, plan: Plan, machines: Sequence[MachinePlan], units: Units) -> Iterator[str]:
    if overall := overall_size(kit):
        yield say("Finished piece: {size}", size=units.size(*overall, places=1))
    if family := family_words(kit):
        yield family
    yield say("Skill: {skill}", skill=say_as(kit.info.skill))
    yield from time_lines(size_times(kit, plan, [machine for machine in machines if machine.sound]))


def _parts(kit: Kit, units: Units) -> Iterator[str]:
    copies = sum(part.count for part in kit.parts)
    for part in kit.parts:
        size = part_size(part, units)
        count = f"{part.count} × " if copies > 1 else ""
        yield f"{count}{part.title}: {size}"


def _sizes(kit: Kit, units: Units) -> Iterator[str]:
    """Yield what each size comes to that lies in the same pack."""
    for one in kit.family.together:
        lines = size_lines(one, lambda sides: str(units.size(*sides)))
        yield say("{size}: {facts}", size=one.title, facts="; ".join(lines))


def _machines(machines: Sequence[MachinePlan], plan: Plan, units: Units) -> Iterator[str]:
    for machine in machines:
        name = say_as(machine.machine.name)
        if machine.sound:
            yield say("{machine}: fits, {time}", machine=name, time=minutes(machine.machine_seconds))
        else:
            yield say("{machine}: does not fit", machine=name)
    largest = max((sheet.stock for sheet in plan.sheets), key=lambda stock: stock.length * stock.width, default=None)
    if largest is not None:
        yield say("Working area needed: {size}", size=units.size(largest.length, largest.width, places=1))


def _pieces(kit: Kit, plan: Plan, units: Units) -> Iterator[str]:
    for stock in kit.stock.values():
        size = units.size(stock.length, stock.width, stock.actual)
        yield f"{pieces_of(stock, plan.sheets)} × {stock_title(stock)} ({say_as(stock.material.name)}): {size}"


def _cutters(plan: Plan, units: Units) -> Iterator[str]:
    for cutter in plan.cutters:
        yield say(
            "{name}, shank Ø {shank}", name=capital(render_text(cutter.name)), shank=units.length(cutter.shank, 3)
        )


def _also(kit: Kit, plan: Plan, units: Units) -> Iterator[str]:
    for hardware in kit.hardware:
        count = f"{hardware.count} × " if hardware.count.isdigit() else f"{hardware.count}: "
        yield f"{count}{hardware.item}"
    for coupon in (one.stock for one in trial_stock(kit, plan) if one.coupon):
        size = units.size(coupon.length, coupon.width)
        yield say("For the fit coupon: {what}", what=say("{size} of {stock}", size=size, stock=stock_title(coupon)))
    yield from glue_names(kit, plan)
    if kit.finishing.finish:
        yield say_as(kit.finishing.finish.name)
    if kit.finishing.sanding:
        yield say("Abrasive paper, grit {grits}", grits=listed([str(grit) for grit in kit.finishing.sanding]))
    holds = dict.fromkeys(setup.hold_downs[0] for setup in kit.setups if setup.hold_downs)
    for hold in holds:
        yield say("To hold the work: {what}", what=say_as(hold.name))


def _included(kit: Kit, plan: Plan, options: BuildOptions) -> Iterator[str]:
    """What is in the pack, by the plugins that put it there."""
    there = {plugin.name for plugin in load_plugins().loaded}
    papers = listed([{"a4": "A4", "letter": "US Letter"}[paper] for paper in options.papers])
    if "booklet" in there:
        yield say_many(
            "Booklet from buying the wood to the last coat, {count} step with a picture, as PDF for {papers}",
            "Booklet from buying the wood to the last coat, {count} steps with a picture each, as PDF for {papers}",
            len(plan.steps),
            papers=papers,
        )
        yield say("The same as a page for a browser, start.html, with the settings of your own machine")
    if "sheet" in there:
        machines = chosen_machines(plan, options.machines)
        count = len(served(machines) or machines)
        yield say_many(
            "Settings for {count} class of machine, as PDF and as a table",
            "Settings for {count} classes of machine, as PDF and as a table",
            count,
        )
    formats = [name for name, plugin in (("DXF", "dxf"), ("SVG", "svg")) if plugin in there]
    if formats:
        parts = say_counted("one part", "{count} parts", len(kit.parts))
        yield say("Drawings of {parts} in true size, one layer for each operation, as {formats}", parts=parts,
                  formats=listed(formats))  # fmt: skip
    yield sentence(say("No machine code: your own program makes it from the drawings, for your machine"))


def _maker(kit: Kit) -> list[str]:
    lines = [say("Made by {author}", author=kit.info.author), say("Version {version}", version=kit.info.version)]
    return [*lines, kit.info.contact] if kit.info.contact else lines
