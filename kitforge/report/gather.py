"""From a checked kit to the report's sections: the kit as a whole, every part, every sheet, with numbered findings."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from kitforge.language import decimal, render_text, say, say_as, say_many
from kitforge.model.findings import count_by_severity
from kitforge.model.kit import Face
from kitforge.model.units import format_mm, plain_number
from kitforge.planning.overall import part_extent
from kitforge.report.part_scene import PartScene
from kitforge.report.places import locate
from kitforge.report.records import CheckReport, Excerpt, Home, ListedFinding, Located, Section
from kitforge.report.sheet_scene import SheetScene
from kitforge.report.wording import plain, written_line

if TYPE_CHECKING:
    from kitforge.model.findings import Finding
    from kitforge.model.kit import Kit, Part
    from kitforge.model.plan import MachinePlan, PlannedSetup, Sheet
    from kitforge.pipeline import CheckedKit
    from kitforge.report.records import ReportScene

_MOST_LINES = 200_000


def report_of(checked: CheckedKit) -> CheckReport:
    """Return the report of a checked kit. Numbers run through the sections in the order they are shown."""
    info = checked.kit.info
    return CheckReport(
        title=plain(info.title, 200),
        subtitle=say("Version {version}", version=plain(info.version, 60)),
        facts=tuple(_facts(checked)),
        counts=count_by_severity(checked.findings),
        sections=tuple(_numbered(checked)),
        excerpts={},
        author=plain(info.author, 200),
        released=info.released,
    )


def _facts(checked: CheckedKit) -> Iterable[tuple[str, str]]:
    kit = checked.kit
    copies = sum(part.count for part in kit.parts)
    both = say("{drawings} drawings, {pieces} pieces", drawings=str(len(kit.parts)), pieces=str(copies))
    yield say("Parts"), both if copies != len(kit.parts) else str(copies)
    for stock in kit.stock.values():
        size = _product(1, stock.length, stock.width, stock.actual)
        yield say("Stock"), f"{plain(render_text(stock.title), 100)}, {size} mm"
    for planned in checked.plan.machines:
        yield say("Machine class"), f"{plain(say_as(planned.machine.name), 100)}: {_fitness(planned)}"


def _fitness(planned: MachinePlan) -> str:
    if not planned.fits:
        return say("the kit does not fit it")
    blocked = len(planned.blocked)
    if blocked:
        return say(
            "{count} of {steps} steps have no sound settings",
            count=str(blocked), steps=str(blocked + len(planned.settings)),
        )  # fmt: skip
    return say("fits") if planned.sound else say("fits, but not every step has sound settings")


def _product(digits: int, *lengths: float) -> str:
    return decimal(" × ".join(plain_number(one, digits) for one in lengths))


def _numbered(checked: CheckedKit) -> Iterable[Section]:
    by_home: dict[Home, list[Located]] = defaultdict(list)
    for located in locate(checked):
        by_home[located.home].append(located)
    lines = _Lines(checked.kit.files)
    number = 1
    for home, section in _sections(checked):
        own = by_home.pop(home, [])
        if _is_silent(home, own):
            continue
        entries = tuple(_entry(n, located, lines) for n, located in enumerate(own, number))
        number += len(entries)
        yield Section(section.key, section.title, section.about, entries, section.scene)


def _is_silent(home: Home, own: Sequence[Located]) -> bool:
    """Whether a section is left out when nothing is found: the kit as a whole, further setups of the same stock."""
    whole_kit = home.part is None and home.setup is None
    return not own and (whole_kit or (home.setup or 0) > 0)


def _sections(checked: CheckedKit) -> Iterable[tuple[Home, Section]]:
    yield Home(), Section("kit", say("The kit as a whole"), say("Findings without a place in a drawing."), ())
    for number, part in enumerate(checked.kit.parts, 1):
        yield (
            Home(part=part.key),
            _section(f"part-{number}", plain(part.title, 200), _about_part(part), PartScene(part)),
        )
    for index, setup in enumerate(checked.plan.setups):
        for number, sheet in enumerate(setup.sheets):
            title = _sheet_title(setup, sheet)
            scene = SheetScene(checked.kit, setup, sheet)
            yield (
                Home(setup=index, sheet=number),
                _section(f"sheet-{index + 1}-{number + 1}", title, _about_sheet(checked.kit, setup, sheet), scene),
            )


def _sheet_title(setup: PlannedSetup, sheet: Sheet) -> str:
    stock, number = plain(render_text(setup.stock.title), 150), str(sheet.number)
    if setup.face is Face.TOP:
        return say("{stock}, piece {number}, top face up", stock=stock, number=number)
    return say("{stock}, piece {number}, bottom face up", stock=stock, number=number)


def _section(key: str, title: str, about: str, scene: ReportScene) -> Section:
    return Section(key, title, about, (), scene)


def _about_part(part: Part) -> str:
    extent = part_extent(part)
    size, stock = _product(2, extent.along, extent.across, part.thickness), plain(render_text(part.stock.title), 120)
    return say_many(
        "{size} mm, one piece of {stock}", "{size} mm, {count} pieces of {stock}", part.count, size=size, stock=stock
    )


def _about_sheet(kit: Kit, setup: PlannedSetup, sheet: Sheet) -> str:
    stock = sheet.stock
    parts = [f"{sheet.copies(part.key)} × {plain(part.title, 60)}" for part in kit.parts if sheet.copies(part.key)]
    listed = ", ".join(parts[:12]) + (", …" if len(parts) > 12 else "")
    return say(
        "{size}: {parts}; {count} fasteners or clamps",
        size=f"{_product(1, stock.length, stock.width)} × {decimal(format_mm(stock.actual))}",
        parts=listed or say("nothing"),
        count=str(len(setup.fasteners)),
    )


def _entry(number: int, located: Located, lines: _Lines) -> ListedFinding:
    return ListedFinding(number, located.finding, located.at, located.mark, located.of, lines.at(located.finding))


class _Lines:
    """The lines of the kit's text files."""

    def __init__(self, files: Mapping[str, bytes]) -> None:
        self._files = files
        self._split: dict[str, list[str]] = {}

    def at(self, finding: Finding) -> str:
        """Return the line that a finding comes from, or nothing."""
        found = self.around(finding, 0)
        return found.lines[0][1].strip() if found else ""

    def around(self, finding: Finding, beside: int) -> Excerpt | None:
        """Return the line that a finding comes from with `beside` lines before and after it, if it is there."""
        source = finding.source
        lines = self._of(source.file)
        if not 1 <= source.line <= len(lines):
            return None
        first, last = max(1, source.line - beside), min(len(lines), source.line + beside)
        chosen = tuple((n, written_line(lines[n - 1])) for n in range(first, last + 1))
        return Excerpt(plain(source.file, 120), source.line, source.column, chosen)

    def _of(self, name: str) -> list[str]:
        if name not in self._split:
            text = self._files.get(name, b"").decode("utf-8-sig", errors="replace")
            self._split[name] = text.replace("\r\n", "\n").split("\n")[:_MOST_LINES]
        return self._split[name]


def report_of_problems(name: str, problems: Sequence[Finding], files: Mapping[str, bytes]) -> CheckReport:
    """Return the report of a kit that cannot be read: its problems with the lines of the files around them."""
    lines = _Lines(files)
    entries = tuple(ListedFinding(n, finding) for n, finding in enumerate(problems, 1))
    found = {entry.number: lines.around(entry.finding, 2) for entry in entries}
    about = say("The kit cannot be read, so there is nothing to draw yet. Mend these places first.")
    return CheckReport(
        title=plain(name, 200),
        subtitle=say("This kit cannot be read"),
        facts=(),
        counts=count_by_severity(problems),
        sections=(Section("problems", say("What is in the way"), about, entries),),
        excerpts={number: excerpt for number, excerpt in found.items() if excerpt},
    )
