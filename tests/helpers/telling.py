"""What is said of one end alone."""

from __future__ import annotations

from typing import Any

from app.judge.whole_car import all_sentences
from app.systems.answers import Study
from app.systems.sentence import Sentence


def sentences(study: Study[Any], decimal: str = ".") -> tuple[Sentence, ...]:
    """Return all sentences about one end, as if the setup gave no other."""
    return all_sentences(study, [study], decimal)
