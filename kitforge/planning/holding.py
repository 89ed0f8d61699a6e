"""Whether the work stays put: what holds the stock, and what keeps each piece that the cuts have separated from it.

Capacities are sideways and upward forces in N with the safety factor of the hold-down taken off; demands are the peak
side force and the lift of the step that pulls hardest, both at the unfavourable end of the force model and at the worst
corner of the ranges that are printed: whatever a reader sets within them, it holds.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from shapely import LineString, Point

from kitforge.cutting.hold import Capacity, Held, capacity
from kitforge.cutting.sources import HOLDING
from kitforge.cutting.tab_group import tabs_hold
from kitforge.cutting.tab_strength import StandingTab, standing_tab
from kitforge.model.holds import HoldResult
from kitforge.model.kit import Operation, Setup, Stock, Tabs
from kitforge.model.messages import Message, inner, msg, term
from kitforge.model.path import Path
from kitforge.model.pieces import Bridge, Division, WoodPiece
from kitforge.model.plan import PlannedSetup
from kitforge.model.record import record
from kitforge.model.settings import DERIVED, CalculationLine, Given, Trail
from kitforge.model.steps import Step, StepSettings, TabPlace
from kitforge.model.workshop import HoldDown, HoldKind
from kitforge.planning.acting import TAPES, acting, frame_group, frame_of, offered, refused
from kitforge.planning.fasteners import as_driven
from kitforge.planning.pieces import divided_by, skin_runs
from kitforge.planning.tab_load import Pull, TabLoad, utmost
from kitforge.planning.tabs import enclosed, place_tabs
from kitforge.planning.tipping import edge_share
from kitforge.workshop.cutting_data import cutting_data


def hold_results(
    setups: Sequence[PlannedSetup],
    steps: Sequence[Step],
    settings: Mapping[str, StepSettings],
    known: KeptPieces | None = None,
) -> dict[tuple[str, int, str], tuple[HoldResult, ...]]:
    """Return for each setup, by its key, how every hold-down and every piece cut loose stands.

    known: of the same setups, asked for another class of machine before, whose forces are others.
    """
    kept = KeptPieces() if known is None else known
    by_key = {step.key: step for step in steps if step.key in settings}
    results = {}
    for setup in setups:
        own = [by_key[key] for key in setup.steps if key in by_key]
        if own:
            results[setup.key] = tuple(_setup_results(setup, own, settings, kept))
    return results


def _setup_results(
    setup: PlannedSetup, steps: Sequence[Step], settings: Mapping[str, StepSettings], kept: KeptPieces
) -> Iterator[HoldResult]:
    hardest = max(steps, key=lambda step: settings[step.key].pull[0])
    force = settings[hardest.key].pull[0]
    lifting = max(settings[step.key].pull[1] for step in steps)
    pieces = frame_group(setup)
    for hold in setup.setup.hold_downs:
        held = acting(hold, pieces, setup.stock, setup.fasteners)
        if held is None or refused(setup, hold) is not None:
            continue  # there is no place for it, or it does not suit, so it is not offered
        found = capacity_of(as_driven(hold, setup), held)
        side, lift = found.sideways or 0.0, found.upwards or 0.0
        trail = Trail(found.lines)
        yield HoldResult(term(hold.name), side, force, lift, lifting, found.text, hardest.key, hold, trail)
    divisions = {division.step: division for division in setup.divisions}
    choices: Sequence[HoldDown | None] = offered(setup) or [None]
    for hold_down in choices:
        for step in steps:
            if step.key in divisions:
                pieces_kept = kept.of(setup, divisions[step.key], hold_down)
                for result in _separated(step, pieces_kept, settings[step.key]):
                    yield replace(result, instead=None if hold_down is choices[0] else hold_down)


def capacity_of(hold: HoldDown, held: Held) -> Capacity:
    """Return what a hold-down bears by what of it acts."""
    return capacity(hold, held, cutting_data())


def _separated(step: Step, kept: Sequence[tuple[Kept, WoodPiece]], settings: StepSettings) -> Iterator[HoldResult]:
    """Yield what keeps the piece that is kept worst of those that a step cuts at and that are no longer the stock."""
    if kept:
        worst, piece = min(kept, key=lambda pair: _least(pair[0], settings))
        force, lift = settings.pull
        yield HoldResult(
            worst.held_by, worst.sideways, force, worst.upwards, lift, worst.text, step.key,
            trail=worst.trail, piece=piece, breaks=worst.breaks,
        )  # fmt: skip


def kept_pieces(setup: PlannedSetup, division: Division, hold: HoldDown | None) -> list[tuple[Kept, WoodPiece]]:
    """Return what keeps each piece that a step cuts at and that is no longer the stock; small waste is left out."""
    if len(division.pieces) < 2:
        return []
    frame = frame_of(division)
    own = [piece for piece in division.pieces if piece.number in division.touched and piece is not frame]
    return [(keeps(hold, setup, division, piece), piece) for piece in own if not piece.small_waste]


class KeptPieces:
    """What keeps the pieces of the setups of one plan, worked out once for all classes of machines."""

    def __init__(self) -> None:
        self._found: dict[tuple[object, str, str | None], list[tuple[Kept, WoodPiece]]] = {}

    def of(self, setup: PlannedSetup, division: Division, hold: HoldDown | None) -> list[tuple[Kept, WoodPiece]]:
        """Return what `kept_pieces` does."""
        key = setup.key, division.step, hold.key if hold is not None else None
        if key not in self._found:
            self._found[key] = kept_pieces(setup, division, hold)
        return self._found[key]


def _least(kept: Kept, settings: StepSettings) -> float:
    force, lift = settings.pull
    return min(kept.sideways / max(force, 1e-9), kept.upwards / max(lift, 1e-9))


@record
class Kept:
    """What keeps a piece that is being cut loose, and what it bears sideways and upwards, N; breaks: without safety."""

    held_by: Message
    sideways: float
    upwards: float
    text: str
    trail: Trail
    breaks: tuple[float, float]


def keeps(hold: HoldDown | None, setup: PlannedSetup, division: Division, piece: WoodPiece) -> Kept:
    """Return what keeps a piece: its own bridges to what is held, and what of the hold-down acts on this very piece."""
    direct = acting(hold, [piece], setup.stock, setup.fasteners) if hold else None
    ties = [bridge for bridge in division.tied(piece) if _leads_to_hold(hold, setup, division, bridge, piece)]
    found = _bridges(ties, piece, setup.stock)
    if hold is not None and direct is not None:
        direct = replace(direct, edge_share=edge_share(hold, piece.outline, setup.fasteners))
        name = inner(hold.name)
        if hold.kind in (*TAPES, HoldKind.VACUUM):
            held = msg("{hold_down} under the piece", hold_down=name)
        else:
            held = msg("{hold_down} in the piece", hold_down=name)
        found.append((held, capacity_of(as_driven(hold, setup), direct)))
    return _together(found)


def _leads_to_hold(
    hold: HoldDown | None, setup: PlannedSetup, division: Division, bridge: Bridge, piece: WoodPiece
) -> bool:
    """Return whether a bridge leads to the stock, or to pieces that the hold-down acts on, without the piece itself."""
    beyond, frame = division.beyond(bridge, piece), frame_of(division)
    if frame is not None and frame in beyond:
        return True
    return hold is not None and acting(hold, beyond, setup.stock, setup.fasteners) is not None


def _together(found: Sequence[tuple[Message, Capacity]]) -> Kept:
    side = sum(capacity.sideways or 0.0 for _name, capacity in found)
    lift = sum(capacity.upwards or 0.0 for _name, capacity in found)
    lines = [line for _name, capacity in found for line in capacity.lines]
    if len(found) > 1:
        lines += [_sum("Fh", "borne sideways", side, found), _sum("Fu", "borne upwards", lift, found)]
    return Kept(
        held_by=_all_of([name for name, _capacity in found]),
        sideways=side,
        upwards=lift,
        text="; ".join(capacity.text for _name, capacity in found) or "the piece lies loose when the cut is done",
        trail=Trail(tuple(lines)),
        breaks=(
            sum((capacity.sideways or 0.0) * capacity.safety for _name, capacity in found),
            sum((capacity.upwards or 0.0) * capacity.safety for _name, capacity in found),
        ),
    )


def _all_of(names: Sequence[Message]) -> Message:
    """Return what holds together: one name, or 'a and b and c'."""
    if not names:
        return term("nothing")
    first, *rest = names
    return first if not rest else msg("{first} and {last}", first=first, last=_all_of(rest))


def _sum(symbol: str, what: str, value: float, found: Sequence[tuple[Message, Capacity]]) -> CalculationLine:
    inputs, before = [], 0
    for index, (name, one) in enumerate(found, 1):
        borne = (one.sideways if symbol == "Fh" else one.upwards) or 0.0
        given_by = [number for number, line in enumerate(one.lines, 1 + before) if line.symbol == symbol]
        number = given_by[-1] if given_by else 0
        inputs.append(Given(str(name), f"{symbol}{index}", borne, "N", HOLDING, number))
        before += len(one.lines)
    formula = " + ".join(given.symbol for given in inputs)
    return CalculationLine(f"together {what}", symbol, formula, tuple(inputs), value, "N", DERIVED)


def _bridges(ties: Sequence[Bridge], piece: WoodPiece, stock: Stock) -> list[tuple[Message, Capacity]]:
    """Return what the tabs and the skin bear that touch a piece and lead to another one."""
    found = []
    for name, skin in ((term("holding tabs"), False), (term("the onion skin"), True)):
        own = [bridge for bridge in ties if bridge.skin is skin]
        if own:
            standing = [tab for bridge in own for tab in _standing(bridge, piece, stock)]
            found.append((name, tabs_hold(str(name), standing, piece.area)))
    return found


def _standing(bridge: Bridge, piece: WoodPiece, stock: Stock) -> list[StandingTab]:
    """Return a bridge as tabs: a skin as one for each direction in which it runs, as wide as it is long."""
    if not bridge.skin:
        return [standing_tab(stock, bridge.angle, bridge.width_on(piece.number), bridge.height, bridge.kerf)]
    return [standing_tab(stock, angle, width, bridge.height, bridge.kerf) for angle, width in skin_runs(bridge, piece)]


def keeps_of_step(setup: Setup, step: Step) -> Kept | None:
    """Return what keeps the piece that a step cuts loose by itself, before anything is laid out; None if there is none.

    Where the plan chooses the tabs, they are the best that it can choose.
    """
    hold = step.operation.hold
    if isinstance(hold, Tabs) and not hold.at:
        step = replace(step, tabs=place_tabs(step.operation, utmost(step.part.stock, step.kerf), step.cut))
    stock, division = divided_by(step)
    alone = PlannedSetup(setup, stock, step.face, (), (step.key,))
    first = next(iter(setup.hold_downs), None)
    under = first if first is not None and first.kind in (*TAPES, HoldKind.VACUUM) else None
    frame = frame_of(division)
    own = [piece for piece in division.pieces if piece is not frame and not piece.small_waste]
    kept = [keeps(under, alone, division, piece) for piece in own]
    return min(kept, key=lambda one: one.sideways, default=None)


def tabs_that_bear(step: Step, sideways: float, upwards: float) -> Tabs | None:
    """Return tabs of usual sizes that bear a pull, N, with the full safety factor, where the plan places them.

    They are never smaller than those that the step has. None where no tabs bear it.
    """
    hold, practice = step.operation.hold, cutting_data().tabs
    if not isinstance(hold, Tabs):
        return None
    load = TabLoad((Pull(sideways, upwards, step.kerf),), step.part.stock)
    highest = min(practice.thickness.high, step.wood / 2)
    for width, height in ((hold.width, highest), (practice.widest.value, highest)):
        larger = Tabs(None, max(width, hold.width), max(height, hold.height))
        wider = replace(step.operation, hold=larger)
        tabs = place_tabs(wider, load, step.cut)
        loops = [path for path in step.operation.shapes if path.closed]
        if loops and all(_loop_bears(wider, path, tabs, step, load) for path in loops):
            return larger
    return None


def _loop_bears(operation: Operation, path: Path, tabs: Sequence[TabPlace], step: Step, load: TabLoad) -> bool:
    line = LineString([*path.flatten(), path.flatten()[0]])
    own = [tab for tab in tabs if line.distance(Point(tab.x, tab.y)) < step.cutter.radius]
    return load.borne(own, enclosed(operation, load.kerf, path)) >= 1
