"""Works the bands of cars side by side out in a process of its own: the window never waits."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, NamedTuple

from app.document.model import Setup
from app.judge.asked_beside import jobs_of
from app.judge.cars import SAMPLES
from app.judge.pausing import BrokenOff, Pause, go_on
from geometry.errors import GeometryError

if TYPE_CHECKING:
    from multiprocessing.connection import Connection

    from app.judge.compare_bands import TellingRow


class CompareJob(NamedTuple):
    """A setup, the proposals of which are asked for."""

    number: int
    setup: Setup


class CompareReply(NamedTuple):
    """What bands add to each row: those of a straight line first; None once there are no more."""

    number: int
    rows: tuple[TellingRow, ...] | None
    is_last: bool = False


def answer(
    job: CompareJob,
    send: Callable[[Any], None],
    pause: Pause = go_on,
    samples: int = SAMPLES,
) -> None:
    """Send what bands add, part by part; nothing where none are known."""
    from app.judge.compare import CompareError, comparison  # the window loads none of it
    from app.judge.compare_bands import banded_system, systems_of, telling

    try:
        compared = comparison(job.setup, ())
        for which in (
            lambda row: not row.result.sampled,
            lambda row: row.result.sampled and row.is_first,
            lambda row: row.result.sampled and not row.is_first,
        ):
            for system in systems_of(compared):
                compared = banded_system(compared, system, which, samples, pause)
                send(CompareReply(job.number, telling(compared)))
    except (CompareError, GeometryError):
        pass  # a car measured again can't be had: there are no bands
    send(CompareReply(job.number, None, is_last=True))


def serve(link: Connection) -> None:
    """Answer jobs until the window is gone; a newer job breaks off an older one."""

    def pause() -> None:
        if link.poll():
            raise BrokenOff

    for job in jobs_of(link):
        try:
            answer(job, link.send, pause)
        except BrokenOff:
            continue
        except OSError:
            return
