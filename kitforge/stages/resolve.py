"""The second stage: from what the author wrote to a kit in mm, with every name looked up and every default put in."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from kitforge.definition import kinds
from kitforge.definition.each import piece_key
from kitforge.definition.positions import Place
from kitforge.definition.schema import Definition, PartEntry
from kitforge.drawings.coverage import without_copies
from kitforge.drawings.leftovers import TakenOutline
from kitforge.model.errors import UnreadableKitError
from kitforge.model.findings import sort_findings
from kitforge.model.kit import Cutter, Kit, Operation, Part, Stock
from kitforge.model.messages import msg, msg_many, point_mm
from kitforge.model.path import Path
from kitforge.model.piece import Bounds
from kitforge.model.workshop import MachineClass, Workshop
from kitforge.plugins import merge_workshop
from kitforge.resolve.drawings import Drawings
from kitforge.resolve.each import Pieces, spread_pieces
from kitforge.resolve.facing import resolve_facing
from kitforge.resolve.facts import resolve_hardware, resolve_tried
from kitforge.resolve.info import resolve_info
from kitforge.resolve.layout import with_layout
from kitforge.resolve.machines import resolve_machines
from kitforge.resolve.needs import resolve_needs
from kitforge.resolve.operations import OperationResolver
from kitforge.resolve.pictures import resolve_pictures
from kitforge.resolve.plugin_keys import resolve_plugin_keys
from kitforge.resolve.shapes import JOIN, ShapeResolver, layer_entry
from kitforge.resolve.together import resolve_together
from kitforge.resolve.trials import resolve_trials
from kitforge.resolve.values import NAN, ResolveContext, evaluate_parameters, label, title_of
from kitforge.resolve.work import resolve_assembly, resolve_finishing
from kitforge.resolve.workshop import resolve_cutter, resolve_setups, resolve_stock
from kitforge.stages.naming import report_folder_name
from kitforge.stages.own_languages import written_texts
from kitforge.stages.printable import report_unprintable
from kitforge.workshop.load import load_workshop

if TYPE_CHECKING:
    from kitforge.plugins import Plugins
    from kitforge.stages.read import ReadKit


def resolve(read_kit: ReadKit, plugins: Plugins) -> Kit:
    """Return the kit. Raises UnreadableKitError with every problem when a value, name or shape could not be had.

    Problems that do not stop the plan (flaws in drawings, what cannot be printed) go along in `Kit.problems`.
    """
    workshop = load_workshop()
    merge_workshop(workshop, plugins.workshop())
    sheet = ResolveContext(read_kit.definition.units, read_kit.where)
    kit = _Resolving(read_kit, plugins, workshop, sheet).kit()
    if sheet.failures:
        raise UnreadableKitError(kit.problems, read_kit.definition.units)
    return with_layout(kit, read_kit.files)


@dataclass(frozen=True)
class _Resolving:
    """One run of the stage."""

    read_kit: ReadKit
    plugins: Plugins
    workshop: Workshop
    sheet: ResolveContext

    @property
    def definition(self) -> Definition:
        return self.read_kit.definition

    def kit(self) -> Kit:
        sheet, written = self.sheet, self.definition
        sheet.texts = self.read_kit.texts
        evaluate_parameters(sheet, written.parameters)
        self._look_up_named()
        definition, pieces = spread_pieces(sheet, written)
        found = {key: resolve_stock(sheet, key, entry, self.workshop) for key, entry in definition.stock.items()}
        stock = {key: piece for key, piece in found.items() if piece is not None}
        cutters = {key: resolve_cutter(sheet, key, entry) for key, entry in definition.cutters.items()}
        machines = resolve_machines(sheet, definition, self.workshop)
        as_written = definition.order == "as written"
        found_parts = self._parts(definition, pieces, stock, cutters, machines)
        parts = resolve_facing(sheet, found_parts, as_written=as_written)
        setups = resolve_setups(sheet, definition, parts, self.workshop)
        finishing = resolve_finishing(self.sheet, definition.finishing, self.workshop)
        assembly = resolve_assembly(sheet, definition.assembly)
        info = resolve_info(sheet, definition.kit, definition.units, self.read_kit.files, self.read_kit.family.size)
        needs = resolve_needs(sheet, definition, pieces)
        together = resolve_together(sheet, definition, parts, pieces)
        pictures = resolve_pictures(sheet, definition)
        trials = resolve_trials(sheet, definition, parts, needs)
        tried = resolve_tried(sheet, definition, self.workshop)
        plugin_keys = resolve_plugin_keys(sheet, definition.plugins, self.plugins.keys())
        report_folder_name(sheet, info)
        report_unprintable(sheet, written, self.read_kit.files)
        self._report_unused(parts)
        return Kit(
            info=info,
            stock=stock,
            cutters=cutters,
            parts=parts,
            machines=tuple(machines.values()),
            setups=setups,
            finishing=finishing,
            hardware=resolve_hardware(sheet, definition),
            assembly=assembly,
            notes=tuple(definition.notes),
            order_as_written=as_written,
            source=sheet.where.of(),
            files=dict(self.read_kit.files),
            machines_named=bool(definition.machines),
            problems=tuple(sort_findings(sheet.problems)),
            needs=needs,
            together=together,
            pictures=pictures,
            cutting_rows=self.plugins.cutting_rows(),
            plugin_keys=plugin_keys,
            tried=tried,
            family=self.read_kit.family,
            texts=tuple(written_texts(written, sheet.where)),
            trials=trials,
        )

    def _parts(
        self,
        definition: Definition,
        pieces: Pieces,
        stock: Mapping[str, Stock],
        cutters: Mapping[str, Cutter],
        machines: Mapping[str, MachineClass],
    ) -> tuple[Part, ...]:
        drawings = Drawings(self.sheet, self.plugins, self.read_kit.files)
        found = []
        for key, entry in definition.parts.items():
            with self.sheet.values_of(key):
                made = self._one_part(key, entry, drawings, stock, cutters, machines)
            if made is not None:
                found.append(replace(made, piece_of=pieces.known.get(key)))
        drawings.report()
        return tuple(found)

    def _one_part(
        self,
        key: str,
        entry: PartEntry,
        drawings: Drawings,
        stock: Mapping[str, Stock],
        cutters: Mapping[str, Cutter],
        machines: Mapping[str, MachineClass],
    ) -> Part | None:
        join = self.sheet.optional_length(entry.join, "parts", key, "join", within=JOIN)
        join = join if join and join > 0 else 0.0  # NaN after a finding
        box = self._drawing_box(key, entry)
        draughtsman = ShapeResolver(self.sheet, drawings, entry.drawing, entry.units, join, box)
        outline = self._outline(entry, draughtsman, ("parts", key, "outline"))
        self.sheet.look_up(self.definition.stock, entry.stock, msg("stock"), "parts", key, "stock")
        piece = stock.get(entry.stock)
        bench = OperationResolver(
            self.sheet, key, piece.actual if piece else NAN, outline, cutters, machines, draughtsman
        )
        operations = self._operations(bench, entry)
        places = self._places(key, entry)
        if piece is None or outline is None:
            return None
        if entry.outline.layer is not None:
            broken = not outline.closed or any(one.needs_area and _any_open(one.shapes) for one in operations)
            self._compare_outline(drawings, draughtsman, key, entry, outline, piece, broken=broken)
        return self._part(key, entry, piece, outline, operations, places)

    def _drawing_box(self, key: str, entry: PartEntry) -> Bounds | None:
        at: Place = ("parts", key, "drawing_box")
        if entry.drawing_box is None:
            return None
        x, y = self.sheet.point(entry.drawing_box.at, *at, "at")
        width, height = self.sheet.point(entry.drawing_box.size, *at, "size")
        return Bounds(x, y, x + width, y + height)

    def _compare_outline(
        self,
        drawings: Drawings,
        draughtsman: ShapeResolver,
        key: str,
        entry: PartEntry,
        outline: Path,
        stock: Stock,
        *,
        broken: bool,
    ) -> None:
        """Compare an outline that is drawn with its stock, and later with what is left around it in the drawing."""
        reading = draughtsman.reading(entry.outline)
        if reading is None:
            return
        names = layer_entry(entry.outline).names
        place: Place = ("parts", key, "drawing" if entry.drawing else "outline")
        drawings.doubt_unit(reading, names, outline, stock, place)
        if entry.outline.move is None:
            source = self.sheet.where.of("parts", key, "outline")
            title = entry.title or title_of(key)
            drawings.take_outline(reading, TakenOutline(key, title, names, source, outline, entry.count, broken=broken))

    def _part(
        self,
        key: str,
        entry: PartEntry,
        stock: Stock,
        outline: Path,
        operations: tuple[Operation, ...],
        places: tuple[tuple[float, float], ...],
    ) -> Part:
        return Part(
            key=key,
            title=entry.title or title_of(key),
            stock=stock,
            count=entry.count,
            outline=outline,
            operations=operations,
            source=self.sheet.where.key("parts", key),
            outline_source=self.sheet.where.of("parts", key, "outline"),
            places=places,
            note=entry.note,
        )

    def _outline(self, entry: PartEntry, draughtsman: ShapeResolver, at: Place) -> Path | None:
        """Return the one path of a part's outline; whether it is closed and sound is for the checks to say."""
        before = self.sheet.failures
        drawn = draughtsman.draw(entry.outline, at)
        paths = without_copies(drawn.paths)
        if len(paths) == 1 and not drawn.points:
            return paths[0].counter_clockwise()
        if self.sheet.failures == before:
            self._not_one_line(paths, drawn.points, at)
        return None

    def _not_one_line(self, paths: Sequence[Path], points: Sequence[tuple[float, float]], at: Place) -> None:
        """Report an outline of several lines, with the place of one that is too much, or of none."""
        where = label(at)
        if not paths:
            said = msg("{where}: an outline is one line, and there is none.", where=where)
            self.sheet.report(kinds.SHAPE_UNFIT, at, said, msg("Draw it as one closed line, or name another layer."))
            return
        rest = [path.start for path in paths[1:]] + list(points)
        said = msg_many(
            "{where}: an outline is one line, and beside the largest there is one more line or point, at {at}.",
            "{where}: an outline is one line, and beside the largest there are {count} more lines and points, "
            "the first at {at}.",
            len(rest),
            where=where,
            at=point_mm(rest[0]),
        )
        advice = msg(
            "Keep holes and other lines on other layers, write `only: largest` to leave them aside, or join the pieces."
        )
        self.sheet.report(kinds.SHAPE_UNFIT, at, said, advice)

    def _operations(self, bench: OperationResolver, entry: PartEntry) -> tuple[Operation, ...]:
        at: Place = ("parts", bench.part, "operations")
        first: dict[str, int] = {}
        found = []
        for index, operation in enumerate(entry.operations):
            if operation.name in first:
                line = self.sheet.where.of(*at, first[operation.name], "name").line
                message = msg(
                    "{place}: '{name}' is the name of the one in line {line} too.",
                    place=label((*at, index, "name")),
                    name=operation.name,
                    line=line,
                )
                self.sheet.report(kinds.DUPLICATE_NAME, (*at, index, "name"), message, msg("Give it another name."))
            first.setdefault(operation.name, index)
            found.append(bench.operation(operation, (*at, index)))
        return tuple(one for one in found if one is not None)

    def _places(self, key: str, entry: PartEntry) -> tuple[tuple[float, float], ...]:
        at: Place = ("parts", key, "place")
        places = self.sheet.points(entry.place, *at)
        if places and len(places) != entry.count:
            message = msg(
                "{place}: {count} places for {count_2} copies.", place=label(at), count=len(places), count_2=entry.count
            )
            advice = msg("Give one place for each copy, or none to have them placed.")
            self.sheet.report(kinds.PLACE_COUNT, at, message, advice, part=key)
        return places

    def _look_up_named(self) -> None:
        """Report what an assembly step or `same` names and is no part, as written, nor a piece of one."""
        written = self.definition.parts
        known = dict.fromkeys([*written, *(piece_key(key, one) for key, part in written.items() for one in part.each)])
        for number, step in enumerate(self.definition.assembly):
            for index, part in enumerate(step.parts):
                self.sheet.look_up(known, part, msg("part"), "assembly", number, "parts", index)
        for index, part in enumerate(self.definition.release.same):
            self.sheet.look_up(known, part, msg("part"), "release", "same", index)

    def _report_unused(self, parts: tuple[Part, ...]) -> None:
        """Note stock and cutters that no part uses; a kit with errors may only seem not to use them."""
        if self.sheet.failures:
            return
        operations = [operation for part in parts for operation in part.operations]
        passes = [one for operation in operations for one in (operation.roughing, operation.finishing) if one]
        used = {("stock", part.stock.key) for part in parts} | {("cutters", one.cutter.key) for one in passes}
        for place in [
            *(("stock", key) for key in self.definition.stock),
            *(("cutters", key) for key in self.definition.cutters),
        ]:
            if place not in used:
                self.sheet.report(
                    kinds.ENTRY_UNUSED,
                    place,
                    msg("{place}: no part uses it.", place=label(place)),
                    msg("Remove it."),
                    key=True,
                )


def _any_open(paths: Iterable[Path]) -> bool:
    return any(not path.closed for path in paths)
