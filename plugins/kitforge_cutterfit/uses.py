"""Every use of a cutter in a kit: which pass of which operation of which part, and how deep it goes."""

from __future__ import annotations

from collections.abc import Iterator

from kitforge.model.findings import Finding, FindingType, Severity
from kitforge.model.kit import Cutter, Kit, Operation, Part, PassOptions
from kitforge.model.messages import Message, listed, mm, msg
from kitforge.model.record import record
from kitforge.model.steps import Phase
from kitforge.planning.steps import depths_of

Point = tuple[float, float]


@record
class CutterUse:
    """One pass of an operation. last: it makes the final shape. depth: mm below the datum, with the allowance."""

    part: Part
    operation: Operation
    wish: PassOptions
    last: bool

    @property
    def cutter(self) -> Cutter:
        """The cutter of this pass."""
        return self.wish.cutter

    @property
    def depth(self) -> float:
        """How deep the tip goes, mm."""
        phase = Phase.FINISHING if self.last else Phase.ROUGHING
        return depths_of(self.part, self.operation, self.wish, phase)[1].tip

    @property
    def name(self) -> Message:
        """The pass in words."""
        title = self.operation.title
        return msg("'{title}'", title=title) if self.last else msg("'{title}' (roughing)", title=title)

    def found(
        self,
        kind: FindingType,
        message: Message,
        advice: Message,
        at: Point | None = None,
        severity: Severity | None = None,
    ) -> Finding:
        """Return a finding about this pass."""
        return kind.new(
            message,
            advice,
            source=self.operation.source,
            part=self.part.key,
            operation=self.operation.name,
            at=at,
            severity=severity,
        )


def uses_of(kit: Kit) -> Iterator[CutterUse]:
    """Yield every pass of every operation, roughing before finishing."""
    for part in kit.parts:
        for operation in part.operations:
            if operation.roughing is not None:
                yield CutterUse(part, operation, operation.roughing, last=False)
            yield CutterUse(part, operation, operation.finishing, last=True)


def named(cutters: list[Cutter], otherwise: Message) -> Message:
    """Return an advice that names cutters of the kit, widest first, or `otherwise` if there are none."""
    if not cutters:
        return otherwise
    widest = sorted(cutters, key=lambda cutter: (-cutter.diameter, cutter.key))[:3]
    names = [msg("{name} ({diameter})", name=c.name, diameter=mm(c.diameter)) for c in widest]
    return msg("Of the kit's cutters {cutters} would do.", cutters=listed(names, either=True))
