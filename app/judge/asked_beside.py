"""What comes over the pipe to a process beside the window."""

from __future__ import annotations

import os
import signal
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from multiprocessing.connection import Connection

_NICER = 2  # than the window, so that a frame comes first


def jobs_of(link: Connection) -> Iterator[Any]:
    """Yield the newest job there is, one after the other, until the window is gone."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    if hasattr(os, "nice"):
        os.nice(_NICER)
    while True:
        try:
            job = link.recv()
            while link.poll():
                job = link.recv()
        except (EOFError, OSError):
            return
        yield job
