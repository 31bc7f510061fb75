"""All that there is to say about a study, the most pressing first."""

from __future__ import annotations

from typing import Final

from app.plain_words.parts import limit_sentences, part_sentences
from app.plain_words.ride import ride_sentences
from app.plain_words.sentence import Sentence, Telling
from app.plain_words.wheels import wheel_sentences
from app.study import Study

_ORDER: Final = {"wrong": 0, "watch": 1, "plain": 2}


def sentences(study: Study, decimal: str = ".") -> tuple[Sentence, ...]:
    """Say what the proposal does, in the setup's units; of an unchanged car, what is wrong."""
    tell = Telling(study, decimal)
    told = [
        *limit_sentences(tell),
        *wheel_sentences(tell),
        *ride_sentences(tell),
        *part_sentences(tell),
    ]
    return tuple(sorted(told, key=lambda sentence: _ORDER[sentence.severity]))
