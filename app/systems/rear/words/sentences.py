"""All sentences about a study of the rear."""

from __future__ import annotations

from collections.abc import Iterator

from app.systems.answers import Study
from app.systems.clearance.words import clearance_sentences
from app.systems.height_words import unsupported
from app.systems.limits import limit_checks
from app.systems.rear.answers import RearAnswers
from app.systems.rear.without_effect import without_effect
from app.systems.rear.words.as_found import as_found
from app.systems.rear.words.bars import bar_sentences, rests_on_bars
from app.systems.rear.words.dampers import damper_sentences
from app.systems.rear.words.hop import hop_sentences
from app.systems.rear.words.pack import pack_sentences
from app.systems.rear.words.path import path_sentences
from app.systems.rear.words.telling import RearTelling
from app.systems.rear.words.torque import torque_sentences
from app.systems.rear.words.wedge import wedge_sentences
from app.systems.sentence import Sentence, past_limit


def rear_sentences(study: Study[RearAnswers], decimal: str) -> Iterator[Sentence]:
    """Tell of a height that can't be, limits, springs, path, torque and hop."""
    tell = RearTelling(study, decimal)
    yield from unsupported(tell)
    yield from rests_on_bars(tell)
    for change in study.setup.changes:
        reason = without_effect(study.setup, (*change.moves, *change.sets)) if change.on else ""
        if reason:
            yield Sentence(f"“{change.name}” does nothing at the rear: {reason}.", "watch")
    for reading in limit_checks(study):
        if reading.held is False and reading.proposed is not None:
            yield past_limit(tell, reading, reading.proposed)
    yield from clearance_sentences(study, decimal)
    yield from pack_sentences(tell)
    yield from damper_sentences(tell)
    yield from wedge_sentences(tell)
    yield from path_sentences(tell)
    yield from torque_sentences(tell)
    yield from bar_sentences(tell)
    yield from hop_sentences(tell)
    if not study.changed:
        yield from as_found(tell)
