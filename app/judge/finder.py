"""Searches for a change in a process of its own, so that the window never waits for them."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, Final, NamedTuple

from app.document.ends import split_key
from app.document.keys import KEYS, is_point, number_row
from app.document.model import Setup, Units
from app.document.plain_text import upper_first
from app.document.point_names import point_title
from app.judge.asked_beside import jobs_of
from app.systems.every import BY_KEY
from geometry.catalogue.every import result_of
from geometry.errors import GeometryError

if TYPE_CHECKING:
    from multiprocessing.connection import Connection

    from app.judge.told_answers import AnswerTable

UNITS: Final[tuple[Units, ...]] = ("mm", "in")


class FindJob(NamedTuple):
    """What is asked for: a search, in steps that a shop can make [mm]; without a setup, to stop."""

    number: int
    setup: Setup | None
    step: float | None = None
    decimal: str = "."


class FindReply(NamedTuple):
    """What has come of a job: how far it is, 0 to 1; its tables by units; or why there is none."""

    number: int
    share: float = 0.0
    tables: dict[Units, AnswerTable] | None = None
    refusal: str = ""


def serve(link: Connection) -> None:
    """Answer jobs until the window is gone; a newer job, or a word to stop, ends an older one."""
    for job in jobs_of(link):
        try:
            answer(job, link.send, lambda: not link.poll())
        except (BrokenPipeError, ConnectionError):
            return


def answer(job: FindJob, send: Callable[[Any], None], going: Callable[[], bool]) -> None:
    """Search, telling how far it is; nothing more is sent of a search that is stopped."""
    from app.judge.answer_table import answer_table  # the window loads none of it
    from app.judge.find import find
    from app.judge.freedoms import FindError
    from app.words.errors import geometry_words

    setup = job.setup
    if setup is None:
        return
    try:
        search = find(
            setup, job.step, going, lambda share: send(FindReply(job.number, 0.9 * share))
        )
        if search is None or not going():
            return
        tables = {units: answer_table(setup, search, units, job.decimal) for units in UNITS}
        send(FindReply(job.number, 1.0, tables))
    except FindError as error:
        words = error.words.format(*(_title(setup, key) for key in error.keys))
        send(FindReply(job.number, refusal=upper_first(words)))
    except GeometryError as error:
        why = geometry_words(error, setup.units, job.decimal, setup.evidence)
        words = f"The car as proposed can't be built: {why}"
        send(FindReply(job.number, refusal=words))


def _title(setup: Setup, key: str) -> str:
    """Return what the window calls a point, a value or a result."""
    end, name = split_key(key)
    if is_point(key):
        return f"“{point_title(key, setup.evidence)}”"
    row = KEYS.get(key) or number_row(key)
    if row is not None:
        return f"“{row.title}”"
    result = result_of(BY_KEY[end].catalogue, name) if end in BY_KEY else None
    return key if result is None else f"“{BY_KEY[end].title}: {result.title}”"
