"""All sentences about a study, the most important first: for window, sheet and report."""

from __future__ import annotations

from collections.abc import Iterable
from math import inf
from typing import Any, Final

from app.systems.answers import Study
from app.systems.sentence import Sentence
from app.systems.sides import sides_told, value_told
from app.systems.study_results import result_named

_ORDER: Final = {"wrong": 0, "watch": 1, "plain": 2}
_EXPLAINS: Final = 0.0  # what explains follows what it explains
Weighed = tuple[Sentence, float]


def by_weight(weighed: Iterable[Weighed]) -> tuple[Sentence, ...]:
    """Return sentences by how pressing they are, then by how much moves, whatever their group."""
    ranked = sorted(weighed, key=lambda each: (_ORDER[each[0].severity], -each[1]))
    return tuple(sentence for sentence, _ in ranked)


def stop_texts(study: Study[Any], decimal: str = ".") -> list[str]:
    """Return why what is proposed can't be made or can't stand as it is; nothing where it can."""
    if not study.changed:
        return []
    return [each.text for each in study.system.sentences(study, decimal) if each.stops]


def weighed_sentences(study: Study[Any], decimal: str = ".") -> list[Weighed]:
    """Return what is said of a study, each with how many steps its result moves.

    A step is the least span on which the result is drawn: less can't be measured. What explains
    the sentence before it keeps its place.
    """
    weighed: list[Weighed] = []
    for sentence in study.system.sentences(study, decimal):
        weight = _steps(study, sentence.result_key)
        if weight is None:
            weight = weighed[-1][1] if weighed else _EXPLAINS
        if sentence.stops:
            weight = inf
        weighed.append((sentence, weight))
    return weighed


def _steps(study: Study[Any], key: str) -> float | None:
    """Return by how many steps a result moves, None where that can't be told."""
    result = result_named(study, key) if key else None
    if result is None or not study.changed:
        return None
    moves = []
    for side in sides_told(study, result):
        before, after = (value_told(car, result, side) for car in (study.measured, study.proposed))
        if before is not None and after is not None:
            moves.append(abs(after - before) / result.least_span)
    return max(moves, default=None)
