"""All that there is to say about a study, the most pressing first."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from app.systems.front.study import Study
from app.systems.front.words.parts import limit_sentences, part_sentences
from app.systems.front.words.ride import ride_sentences
from app.systems.front.words.wheels import wheel_sentences
from app.systems.rear.answers import RearStudy
from app.systems.sentence import RearTelling, Sentence, Telling

_ORDER: Final = {"wrong": 0, "watch": 1, "plain": 2}


def sentences(study: Study | RearStudy, decimal: str = ".") -> tuple[Sentence, ...]:
    """Say what the proposal does, in the setup's units; of an unchanged car, what is wrong."""
    if isinstance(study, RearStudy):
        told = _rear_sentences(study, decimal)
    else:
        told = _front_sentences(Telling(study, decimal))
    return tuple(sorted(told, key=lambda sentence: _ORDER[sentence.severity]))


def _rear_sentences(study: RearStudy, decimal: str) -> Iterator[Sentence]:
    """Say it of a rear; the words for it are only loaded where there is one to be shown."""
    from app.systems.rear.words.rear import rear_sentences

    yield from rear_sentences(RearTelling(study, decimal))


def _front_sentences(tell: Telling) -> Iterator[Sentence]:
    yield from limit_sentences(tell)
    yield from wheel_sentences(tell)
    yield from ride_sentences(tell)
    yield from part_sentences(tell)
