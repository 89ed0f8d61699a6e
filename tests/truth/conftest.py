"""The demo kits as they are built for the other tests as well."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "print" / "fixtures"))
sys.path.insert(0, str(Path(__file__).parent))
