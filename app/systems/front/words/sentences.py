"""All sentences about a study of the front."""

from __future__ import annotations

from collections.abc import Iterator

from app.systems.answers import Study
from app.systems.clearance.words import clearance_sentences
from app.systems.front.study import FrontAnswers
from app.systems.front.words.as_found import as_found
from app.systems.front.words.parts import limit_sentences, part_sentences
from app.systems.front.words.ride import ride_sentences
from app.systems.front.words.telling import Telling
from app.systems.front.words.wheels import wheel_sentences
from app.systems.height_words import unsupported
from app.systems.sentence import Sentence


def front_sentences(study: Study[FrontAnswers], decimal: str) -> Iterator[Sentence]:
    """Tell of a height that can't be, limits and joints, wheels, ride and parts."""
    tell = Telling(study, decimal)
    yield from unsupported(tell)
    yield from limit_sentences(tell)
    yield from clearance_sentences(study, decimal)
    yield from wheel_sentences(tell)
    yield from ride_sentences(tell)
    yield from part_sentences(tell)
    if not study.changed:
        yield from as_found(tell)
