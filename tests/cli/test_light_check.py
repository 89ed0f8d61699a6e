"""A short check loads no library that it has no use for: half of what it costs would be loading them."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from kitforge.testing import SmallKit

NEEDLESS = {
    "scipy", "PIL", "weasyprint", "ezdxf", "jinja2", "fontTools", "babel", "rich", "multiprocessing", "http", "ssl",
    "tomllib", "xml"
}  # fmt: skip


def test_checking_the_starter_kit_loads_only_what_it_needs(tmp_path: Path) -> None:
    """No distance maps, no picture or typesetting library, no rich off a terminal, no processes, no network code."""
    kit = SmallKit(tmp_path / "kit")
    script = (
        "import sys\n"
        "from kitforge.cli.main import main\n"
        f"code = main(['check', {str(kit.folder)!r}])\n"
        f"needless = {NEEDLESS} & set(sys.modules)\n"
        "assert not needless, needless\n"
        "sys.exit(code)\n"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def test_loading_plugins_loads_no_library_of_theirs() -> None:
    """A door imports its room when it is gone through: commands that ask plugins for a name or a key stay quick."""
    script = (
        "import sys\n"
        "from kitforge.plugins import load_plugins\n"
        "load_plugins()\n"
        "heavy = {'numpy', 'shapely', 'scipy', 'PIL', 'ezdxf', 'weasyprint', 'jinja2'} & set(sys.modules)\n"
        "assert not heavy, heavy\n"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
