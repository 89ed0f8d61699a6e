"""The same program on another processor, as far as one can be had: without what this one has beyond the least."""

from __future__ import annotations

import os
import subprocess
import sys
from importlib import import_module
from typing import Any


def narrower() -> str:
    """Return the names of the wide registers that NumPy uses here and need not."""
    core: Any = import_module("numpy._core._multiarray_umath")
    return " ".join(one for one in core.__cpu_dispatch__ if core.__cpu_features__.get(one))


def said_by(script: str, without: str = "") -> str:
    """Return what a Python script prints in a process of its own, without some features of the processor."""
    surroundings = os.environ | ({"NPY_DISABLE_CPU_FEATURES": without} if without else {})
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, env=surroundings, check=False)
    assert done.returncode == 0, done.stderr
    return done.stdout
