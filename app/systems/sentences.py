"""All sentences about a study, the most important first: for window, sheet and report."""

from __future__ import annotations

from typing import Any, Final

from app.systems.answers import Study
from app.systems.sentence import Sentence

_ORDER: Final = {"wrong": 0, "watch": 1, "plain": 2}


def sentences(study: Study[Any], decimal: str = ".") -> tuple[Sentence, ...]:
    """Say what the proposal does, in the setup's units; of an unchanged car, what is wrong."""
    every = study.system.sentences(study, decimal)
    return tuple(sorted(every, key=lambda sentence: _ORDER[sentence.severity]))
