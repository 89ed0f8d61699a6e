"""What an author writes that a layer should give, so that a drawing that has changed is noticed."""

from __future__ import annotations

from kitforge.definition.positions import Place
from kitforge.drawings.findings import size_of
from kitforge.drawings.write import bounds_of
from kitforge.model.drawing import LayerShapes
from kitforge.model.messages import Message, msg
from kitforge.model.piece import Bounds
from kitforge.model.record import record
from kitforge.resolve.values import label

SIZE_SLACK = 0.1
"""How far the size of what a layer gives may lie from the one that the kit says, mm: rounded to a tenth. Taste."""


@record
class Expected:
    """How many shapes and points a layer should give, and their width and height in all, mm; None: any."""

    count: int | None = None
    size: tuple[float, float] | None = None

    @property
    def anything(self) -> bool:
        """Whether it says that anything will do."""
        return self.count is None and self.size is None

    def missed(self, given: LayerShapes, place: Place) -> tuple[str, Message] | None:
        """Return the key of kit.yaml that shapes are not as it says, and how; None where they are."""
        if self.size is not None:
            box = bounds_of((*given.closed, *given.open), given.points)
            if max(abs(box.width - self.size[0]), abs(box.height - self.size[1])) > SIZE_SLACK:
                return "size", msg(
                    "{where}: what is taken from the layer is {found}, the kit counts on {wanted}.",
                    where=label(place),
                    found=size_of(box),
                    wanted=size_of(Bounds(0.0, 0.0, *self.size)),
                )
        found = len(given.closed) + len(given.open) + len(given.points)
        if self.count is not None and found != self.count:
            return "count", msg(
                "{where}: the layer gives {found} shapes, the kit counts on {wanted}.",
                where=label(place),
                found=found,
                wanted=self.count,
            )
        return None
