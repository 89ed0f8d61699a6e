"""What the files beside kit.yaml say of a kit that was checked: its lock and its released versions."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from kitforge.model.findings import Finding
    from kitforge.pipeline import CheckedKit


def of_releases(folder: Path, checked: CheckedKit) -> list[Finding]:
    """Return what the files beside kit.yaml say: its lock and its released versions."""
    from kitforge.release.lock import lock_findings
    from kitforge.release.released import release_findings

    return [*lock_findings(folder, checked.kit, checked.plan), *release_findings(folder, checked.kit)]
