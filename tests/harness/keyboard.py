"""For processes that tests interrupt as a keyboard does."""

from __future__ import annotations

import signal


def heeds_the_keyboard() -> None:
    """A job in the background of a shell starts with SIGINT ignored; the test must not depend on how it was started.

    As `preexec_fn` of a process: Python takes over what it finds when it starts.
    """
    signal.signal(signal.SIGINT, signal.SIG_DFL)
