"""What a proposal does to the whole car in a corner, and all that is said of one end of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import radians
from typing import Any, Final

from app.document.units import format_value, number_of
from app.judge.balance import Balance, balances
from app.judge.survey_words import doubts_words
from app.judge.unsure import unsure_sentences
from app.systems.answers import Study
from app.systems.sentence import Sentence, Severity
from app.systems.sentences import by_weight, weighed_sentences

ROLL_SEEN: Final = radians(0.1)  # per g
SHARE_SEEN: Final = 1.0  # % of the transfer
_TURNS: Final = 3.0  # % of the transfer from which a driver feels it (common practice, no source)


def all_sentences(
    study: Study[Any], car: Sequence[Study[Any]], decimal: str = "."
) -> tuple[Sentence, ...]:
    """Return all that is said of one end, with what its work does to the whole car.

    `car` are the studies of everything that the setup gives.
    """
    weight_sentences = weighed_sentences(study, decimal)
    whole = _of_car(car, decimal) if study.system.key == _first_with_work(car) else ()
    weighed = by_weight([*weight_sentences, *whole, *unsure_sentences(study, decimal)])
    return (*_misread(study, decimal), *weighed)


def _misread(study: Study[Any], decimal: str) -> Iterator[Sentence]:
    """Yield which of its readings have to be looked at again: before all else."""
    if study.setup.tapes:
        severity: Severity = "watch"
        for words in doubts_words(study.setup, study.system.key, decimal):
            yield Sentence(words, severity)
            severity = "plain"  # what follows explains the first


def _first_with_work(car: Sequence[Study[Any]]) -> str:
    worked = [study for study in car if study.has_work] or list(car)
    return str(worked[0].system.key) if worked else ""


def _of_car(car: Sequence[Study[Any]], decimal: str) -> Iterator[tuple[Sentence, float]]:
    """Yield sentences on the corner, each with how many steps it moves that can be seen."""
    cars = balances(car)
    if "measured" not in cars or "proposed" not in cars:
        return
    before, after = cars["measured"], cars["proposed"]
    if not any(study.changed for study in car):
        yield Sentence(_as_found(before, decimal)), 0.0
        return
    units = car[0].setup.units
    if abs(after.roll - before.roll) >= ROLL_SEEN:
        was, now = (
            format_value(each.roll, "angle", units, decimal=decimal, places=1)
            for each in (before, after)
        )
        way = "less" if after.roll < before.roll else "more"
        words = f"In a corner the body rolls {way}: {now} per g, {was} as found."
        yield Sentence(words), abs(after.roll - before.roll) / ROLL_SEEN
    moves = after.front_share - before.front_share
    if abs(moves) >= SHARE_SEEN:
        was, now = (_percent(each.front_share) for each in (before, after))
        way = "understeer" if moves > 0 else "oversteer"
        words = f"The front takes {now} of the load that changes sides in a corner, {was} as found"
        severity: Severity = "watch" if moves <= -_TURNS else "plain"
        yield Sentence(f"{words}: towards {way}.", severity), abs(moves) / SHARE_SEEN


def _as_found(car: Balance, decimal: str) -> str:
    roll = number_of(car.roll, "angle", "mm", decimal=decimal, places=1)
    share = _percent(car.front_share)
    return (
        f"In a corner the body rolls {roll}° per g, and the front takes {share} of the load that "
        "changes sides."
    )


def _percent(share: float) -> str:
    return f"{share:.0f} %"
