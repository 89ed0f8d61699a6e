"""Loading the shop's tables: materials, machine classes, hold-downs and finishes."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from functools import cache
from types import MappingProxyType
from typing import Protocol, TypeVar

from kitforge.model.lines import Line, Use, line
from kitforge.model.messages import later
from kitforge.model.workshop import (
    Fact,
    Finish,
    HoldDown,
    HoldKind,
    MachineClass,
    Material,
    MaterialKind,
    PanelStrength,
    SheetSize,
    Span,
    Workshop,
)
from kitforge.workshop.tables import TableRow, table

KEY = re.compile(r"[a-z][a-z0-9_]{0,39}")
COLOUR = re.compile(r"#[0-9a-f]{6}")
TABLES = ("materials", "machines", "hold_downs", "finishes", "cutting", "climates", "spoilboard")

_FACTS_OF_MATERIAL = (
    (later("density"), "density"),
    (later("specific gravity"), "specific_gravity"),
    (later("side hardness"), "hardness"),
    (later("shear strength parallel to the grain"), "shear_parallel"),
    (later("tension across the grain"), "tension_across"),
    (later("modulus of rupture"), "modulus_of_rupture"),
    (later("tangential movement"), "movement_tangential"),
    (later("radial movement"), "movement_radial"),
)


class _Keyed(Protocol):
    @property
    def key(self) -> str: ...


K = TypeVar("K", bound=_Keyed)


def load_workshop() -> Workshop:
    """Return the tables of the package. The files are parsed once per process; the dictionaries are new each time.

    Raises TableError if a data file is wrong.
    """
    return Workshop(
        materials=dict(_materials()),
        machines=dict(_machines()),
        hold_downs=dict(_hold_downs()),
        finishes=dict(_finishes()),
    )


def citation(source: str) -> str:
    """Return the full citation of a source key, or `source` itself where it is no key (an author's own words)."""
    return citations().get(source, source)


@cache
def citations() -> Mapping[str, str]:
    """Return all source keys of the tables with their citations."""
    found: dict[str, str] = {}
    for name in TABLES:
        top = table(name)
        for key, text in top.sources.items():
            if found.setdefault(key, text) != text:
                top.fail(key, "cited differently in another table")
    return MappingProxyType(found)


def weak_facts(material: Material) -> tuple[tuple[str, Fact], ...]:
    """Return what is known of a material only from memory, practice or its author, as (label, fact)."""
    named = ((label, getattr(material, name)) for label, name in _FACTS_OF_MATERIAL)
    return tuple((label, fact) for label, fact in named if fact is not None and fact.trust not in ("read", "derived"))


def read_table(top: TableRow, block: str, read: Callable[[str, TableRow], K]) -> Mapping[str, K]:
    """Return the entries of `block` by key, each read by `read`. Raises TableError on anything unknown or missing."""
    entries = top.row(block)
    top.done()
    found = {}
    for key in entries.names():
        if not KEY.fullmatch(key):
            entries.fail(key, "keys are lower case letters, digits and underscores")
        row = entries.row(key)
        found[key] = read(key, row)
        row.done()
    return MappingProxyType(found)


@cache
def _materials() -> Mapping[str, Material]:
    return read_table(table("materials"), "materials", read_material)


@cache
def _machines() -> Mapping[str, MachineClass]:
    return read_table(table("machines"), "machines", read_machine)


@cache
def _hold_downs() -> Mapping[str, HoldDown]:
    return read_table(table("hold_downs"), "hold_downs", read_hold_down)


@cache
def _finishes() -> Mapping[str, Finish]:
    return read_table(table("finishes"), "finishes", read_finish)


def read_material(key: str, row: TableRow) -> Material:
    """Return the material of one row. Raises TableError."""
    colour = row.text("colour")
    if not COLOUR.fullmatch(colour):
        row.fail("colour", f"{colour!r} is not written #rrggbb")
    return Material(
        key=key,
        name=row.text("name"),
        kind=_member(row, "kind", MaterialKind),
        density=_positive(row, "density", row.fact("density")),
        specific_gravity=_optional(row, "specific_gravity"),
        hardness=_optional(row, "hardness"),
        shear_parallel=_optional(row, "shear_parallel"),
        tension_across=_optional(row, "tension_across"),
        panel=_panel(row.row("panel")) if "panel" in row.names() else None,
        modulus_of_rupture=_optional(row, "modulus_of_rupture"),
        movement_tangential=_optional(row, "movement_tangential"),
        movement_radial=_optional(row, "movement_radial"),
        fibre_saturation=_optional(row, "fibre_saturation"),
        botanical_name=row.optional_text("botanical_name"),
        oily=row.optional_flag("oily"),
        sheet_sizes=tuple(_sheet_size(item) for item in row.rows("sheet_sizes")),
        dust_class=row.optional_text("dust_class"),
        dust_effects=row.texts("dust_effects"),
        dust_source=row.source("dust_source"),
        colour=colour,
        notes=row.optional_text("notes"),
        aliases=row.texts("aliases"),
        former_keys=row.texts("former_keys"),
    )


def _panel(row: TableRow) -> PanelStrength:
    found = PanelStrength(
        bending=_positive(row, "bending", row.fact("bending")),
        in_plane=_positive(row, "in_plane", row.fact("in_plane")),
        panel_shear=_positive(row, "panel_shear", row.fact("panel_shear")),
        planar_shear=_positive(row, "planar_shear", row.fact("planar_shear")),
        veneer=_optional(row, "veneer"),
        veneer_across=_optional(row, "veneer_across"),
    )
    row.done()
    return found


def read_machine(key: str, row: TableRow) -> MachineClass:
    """Return the machine class of one row. Raises TableError."""
    area = row.row("area")
    travel = _above_zero(area, "x"), _above_zero(area, "y")
    area.done()
    return MachineClass(
        key=key,
        name=row.text("name"),
        about=row.text("about"),
        area=travel,
        z_travel=_above_zero(row, "z_travel"),
        clearance=_above_zero(row, "clearance"),
        lowest_speed=_above_zero(row, "lowest_speed"),
        highest_speed=_above_zero(row, "highest_speed"),
        cutter_power=_above_zero(row, "cutter_power"),
        side_force=_above_zero(row, "side_force"),
        feed=_above_zero(row, "feed"),
        plunge=_above_zero(row, "plunge"),
        acceleration=_above_zero(row, "acceleration"),
        shanks=row.span_list("shanks"),
        collet_text=row.text("collet_text"),
        nut=_above_zero(row, "nut"),
        rank=row.whole("rank"),
        former_keys=row.texts("former_keys"),
        aliases=row.texts("aliases"),
    )


def read_hold_down(key: str, row: TableRow) -> HoldDown:
    """Return the hold-down of one row, with exactly the figures its kind needs. Raises TableError."""
    diameter, penetration = row.optional_fact("diameter"), row.optional_fact("penetration")
    found = HoldDown(
        key=key,
        name=row.text("name"),
        kind=_member(row, "kind", HoldKind),
        about=row.text("about"),
        safety=_positive(row, "safety", row.fact("safety")),
        shear=row.optional_span("shear"),
        friction=_optional(row, "friction"),
        force_each=row.optional_span("force_each"),
        pressure=row.optional_span("pressure"),
        diameter=None if diameter is None else diameter.value,
        penetration=None if penetration is None else penetration.value,
        keep_out=row.fact("keep_out").value,
        to_end=_optional(row, "to_end"),
        to_edge=_optional(row, "to_edge"),
        least_area=_optional(row, "least_area"),
        gives=row.optional_flag("gives"),
        cups=row.optional_flag("cups"),
        uses=tuple(Use(item) for item in row.texts("uses")),
        cautions=row.texts("cautions"),
        aliases=row.texts("aliases"),
        former_keys=row.texts("former_keys"),
    )
    _check_figures(row, found)
    return found


_FIGURES = {
    HoldKind.TAPE_AND_GLUE: {"shear"},
    HoldKind.DOUBLE_SIDED_TAPE: {"shear"},
    HoldKind.BRADS: {"diameter", "penetration"},
    HoldKind.SCREWS: {"diameter", "penetration"},
    HoldKind.CLAMPS: {"friction", "force_each"},
    HoldKind.EDGE_FENCES: {"friction", "force_each"},
    HoldKind.VACUUM: {"friction", "pressure"},
}


def _check_figures(row: TableRow, hold: HoldDown) -> None:
    all_figures = set().union(*_FIGURES.values())
    given = {name for name in all_figures if getattr(hold, name) is not None}
    if given != _FIGURES[hold.kind]:
        row.fail("kind", f"'{hold.kind}' needs exactly {sorted(_FIGURES[hold.kind])}, got {sorted(given)}")


def read_finish(key: str, row: TableRow) -> Finish:
    """Return the finish of one row. Raises TableError."""
    between = row.optional_number("between_coats_grit")
    return Finish(
        key=key,
        name=row.text("name"),
        about=row.text("about"),
        coats=row.whole("coats"),
        coverage=row.span("coverage"),
        dry_hours=row.span("dry_hours"),
        cure_days=row.span("cure_days"),
        sand_to_grit=row.whole("sand_to_grit"),
        between_coats_grit=None if between is None else int(between),
        self_heating=row.flag("self_heating"),
        food_contact=row.text("food_contact"),
        before=_lines(row, "before"),
        coat=_lines(row, "coat"),
        after=_lines(row, "after"),
        cautions=row.texts("cautions"),
        source=row.source(),
        hazard_sources=row.source_list("hazard_sources"),
        aliases=row.texts("aliases"),
        former_keys=row.texts("former_keys"),
    )


def _lines(row: TableRow, key: str) -> tuple[Line, ...]:
    found = []
    for one in row.rows(key):
        found.append(line(one.text("text"), *one.texts("uses")))
        one.done()
    return tuple(found)


M = TypeVar("M", MaterialKind, HoldKind)


def _member(row: TableRow, key: str, kinds: type[M]) -> M:
    text = row.text(key)
    if text not in [kind.value for kind in kinds]:
        row.fail(key, f"'{text}' is none of {', '.join(kind.value for kind in kinds)}")
    return kinds(text)


def _sheet_size(row: TableRow) -> SheetSize:
    size = SheetSize(row.number("nominal"), row.number("lower"), row.number("mean"), row.number("upper"), row.source())
    row.done()
    if not 0 < size.lower <= size.mean <= size.upper:
        row.fail("mean", "is not between lower and upper")
    return size


def _positive(row: TableRow, key: str, fact: Fact) -> Fact:
    return fact if fact.value > 0 else row.fail(key, f"{fact.value} is not above zero")


def _above_zero(row: TableRow, key: str) -> Span:
    span = row.span(key)
    return span if span.low > 0 else row.fail(key, f"{span.low} is not above zero")


def _optional(row: TableRow, key: str) -> Fact | None:
    fact = row.optional_fact(key)
    return None if fact is None else _positive(row, key, fact)
