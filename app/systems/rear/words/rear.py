"""All that there is to say about a study of the rear."""

from __future__ import annotations

from collections.abc import Iterator

from app.systems.front.words.parts import past_limit
from app.systems.limits import limit_readings
from app.systems.rear.words.hop import hop_sentences
from app.systems.rear.words.pack import pack_sentences
from app.systems.rear.words.path import path_sentences
from app.systems.rear.words.torque import torque_sentences
from app.systems.sentence import RearTelling, Sentence


def rear_sentences(tell: RearTelling) -> Iterator[Sentence]:
    """Tell of limits, springs, path, torque and hop."""
    for reading in limit_readings(tell.study):
        if reading.held is False and reading.proposed is not None:
            yield past_limit(tell, reading, reading.proposed)
    yield from pack_sentences(tell)
    yield from path_sentences(tell)
    yield from torque_sentences(tell)
    yield from hop_sentences(tell)
