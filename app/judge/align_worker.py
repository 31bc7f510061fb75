"""Works alignments out in a process of its own, so that the window never waits for them."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from app.document.model import Setup, Units
from app.judge.alignment import AlignError, Alignment
from app.judge.asked_beside import jobs_of
from app.words.errors import geometry_words
from geometry.errors import GeometryError

if TYPE_CHECKING:
    from multiprocessing.connection import Connection


class AlignJob(NamedTuple):
    """A setup to be aligned, and how figures in a refusal are shown."""

    number: int
    setup: Setup
    units: Units
    decimal: str


class AlignReply(NamedTuple):
    """An alignment, or why there is none."""

    number: int
    alignment: Alignment | None
    refusal: str = ""


def answer(job: AlignJob) -> AlignReply:
    """Return the alignment of a job, or the reason in the user's words."""
    from app.judge.align import aligned  # loads an optimiser: a start has no time for it

    try:
        return AlignReply(job.number, aligned(job.setup))
    except AlignError as error:
        return AlignReply(job.number, None, str(error))
    except GeometryError as error:
        words = geometry_words(error, job.units, job.decimal, job.setup.evidence)
        return AlignReply(job.number, None, f"The front can't be built: {words}")


def serve(link: Connection) -> None:
    """Answer the newest job there is, until the window is gone."""
    for job in jobs_of(link):
        try:
            link.send(answer(job))
        except OSError:
            return
