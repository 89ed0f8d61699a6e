"""What the sizes of a kit come to, side by side, and the findings of each."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from kitforge.model.errors import UnreadableKitError
from kitforge.model.family import KitChoice, SizeFacts
from kitforge.model.record import record
from kitforge.release.findings.rows import KitResult

if TYPE_CHECKING:
    from kitforge.plugins import Plugins


@record
class CheckedSize:
    """One size, its findings and what it comes to; a size that cannot be read has findings alone."""

    size: str
    result: KitResult
    facts: SizeFacts | None = None

    @property
    def title(self) -> str:
        """The title of the size, or its key where it cannot be read."""
        return self.facts.title if self.facts else self.size


def checked_size(folder: Path, choice: KitChoice, plugins: Plugins) -> CheckedSize:
    """Return what one size of a kit comes to; its findings too where it cannot be read."""
    from kitforge.pack.sizes import size_facts
    from kitforge.pipeline import check_kit
    from kitforge.release.beside import of_releases
    from kitforge.release.findings.gather import checked_result, unreadable_result

    try:
        checked = check_kit(folder, plugins, choice=choice)
    except UnreadableKitError as error:
        return CheckedSize(choice.size, unreadable_result(folder, error, size=choice.size))
    kit, plan = checked.kit, checked.plan
    result = checked_result(folder, checked, of_releases(folder, checked))
    return CheckedSize(kit.info.size, result, size_facts(kit, plan))
