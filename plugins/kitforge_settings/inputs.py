"""Which numbers behind the settings rest on memory or practice: said once for a kit, not for every step."""

from __future__ import annotations

from collections.abc import Iterator

from kitforge.model.findings import Finding, FindingType, Severity
from kitforge.model.kit import Kit
from kitforge.model.messages import Message, msg, series, term
from kitforge.model.plan import Plan
from kitforge.model.workshop import Material
from kitforge.workshop.load import weak_facts

WEAK_INPUT = FindingType(
    "settings-weak-input",
    Severity.NOTE,
    "Settings rest on figures without a published source that was read.",
    background=True,
)
_PRACTICE = "common practice"


def weak_inputs(kit: Kit, plan: Plan) -> Iterator[Finding]:
    """Yield one note for the woods, and one for machine classes, hold-downs and finish together."""
    woods = _woods(plan)
    if woods:
        message = msg("From memory or practice, not from a source that was read: {names}.", names=series(woods))
        advice = msg("Forces follow the density in proportion, what tabs bear their strength. Try a test cut on scrap.")
        yield WEAK_INPUT.new(message, advice, source=kit.source)
    groups = _groups(kit, plan)
    if groups:
        message = msg("Figures of common practice without a published source: {names}.", names=series(groups))
        advice = msg("`kitforge explain` shows every number with its source.")
        yield WEAK_INPUT.new(message, advice, source=kit.source)


def _woods(plan: Plan) -> list[Message]:
    """Return the weak facts that were used, e.g. 'density of Birch plywood'."""
    used: dict[str, tuple[Material, set[str]]] = {}
    for step in plan.steps:
        material = step.part.stock.material
        _material, labels = used.setdefault(material.key, (material, {"density"}))
        if step.operation.through and step.operation.hold and not material.is_panel:
            labels.add("shear strength parallel to the grain")
    return [
        msg("{figure} of {wood}", figure=term(label), wood=term(material.name))
        for material, labels in used.values()
        for label, _fact in weak_facts(material)
        if label in labels
    ]


def _groups(kit: Kit, plan: Plan) -> list[Message]:
    holds = [hold for setup in plan.setups for hold in setup.setup.hold_downs]
    finish = kit.finishing.finish
    groups = (
        (msg("machine classes"), any(one.source == _PRACTICE for machine in kit.machines for one in machine.figures)),
        (msg("hold-downs"), any(_PRACTICE in (hold.safety.trust, hold.safety.source) for hold in holds)),
        (msg("finish"), finish is not None and finish.source == _PRACTICE),
    )
    return [name for name, weak in groups if weak]
