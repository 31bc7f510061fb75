"""Works bands out in a process of its own, so that the window never waits for them."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, NamedTuple

from app.document.model import Setup
from app.judge.asked_beside import jobs_of
from app.judge.pausing import BrokenOff
from app.systems.banded import QUICK, StudyBands
from app.systems.every import BY_KEY
from geometry.errors import GeometryError

if TYPE_CHECKING:
    from multiprocessing.connection import Connection


class Job(NamedTuple):
    """What is asked for: the bands of a system's study of a setup, to a level."""

    number: int
    setup: Setup
    system: str
    level: int


class Reply(NamedTuple):
    """Bands of a job, or that there are no more of it."""

    number: int
    bands: StudyBands | None


def serve(link: Connection) -> None:
    """Answer jobs until the window is gone; a newer job breaks off an older one."""
    for job in jobs_of(link):
        try:
            answer(job, link.send, _pausing(link))
        except BrokenOff:
            continue
        except (BrokenPipeError, ConnectionError):
            return


def answer(job: Job, send: Callable[[Any], None], pause: Callable[[], None]) -> None:
    """Send the bands of a job part by part, then that there are no more."""
    from app.judge.banded import study_bands  # the window loads none of it

    try:
        study = BY_KEY[job.system].study(job.setup, short=job.level == QUICK)
        for bands in study_bands(study, job.level, pause):
            send(Reply(job.number, bands))
    except GeometryError:
        pass  # a car measured again can't be had: there are no bands
    send(Reply(job.number, None))


def _pausing(link: Connection) -> Callable[[], None]:
    def pause() -> None:
        if link.poll():
            raise BrokenOff

    return pause
