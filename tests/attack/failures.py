"""What an attack brings to light: an exception told by its kind and place, CPU time limited."""

from __future__ import annotations

import signal
import traceback
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import FrameType

from tests.helpers.project import ROOT


class TooLong(BaseException):
    """More CPU time than may be taken; no exception that the program would catch."""


def place_of(error: BaseException) -> str:
    """Return an exception's kind, and the innermost place in the program where it arose."""
    frames = traceback.extract_tb(error.__traceback__)
    own = [
        frame
        for frame in frames
        if Path(frame.filename).is_relative_to(ROOT / "app")
        or Path(frame.filename).is_relative_to(ROOT / "geometry")
    ]
    words = str(error).split("\n")[0][:120]
    if not own:
        return f"{type(error).__name__}: {words}"
    last = own[-1]
    where = Path(last.filename).relative_to(ROOT).as_posix()
    return f"{type(error).__name__} in {where}, {last.name}: {words}"


def kind_of(failure: str) -> str:
    """Return a failure without what differs from case to case, to count its kind."""
    return failure.split(": ")[0]


@contextmanager
def cpu_limit(seconds: float) -> Iterator[None]:
    """Raise TooLong where more CPU time is taken."""

    def stop(_number: int, _frame: FrameType | None) -> None:
        raise TooLong(f"more than {seconds:g} s of CPU time")

    before = signal.signal(signal.SIGPROF, stop)
    signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0.0)
        signal.signal(signal.SIGPROF, before)
