"""What a session shows, judged: figures are numbers or absent, words are words, places are finite.

A result that doesn't exist in a pose is NaN inside and a dash with a reason outside; an infinity
exists nowhere, and a state that can't be built or reached is told in words.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from enum import Enum
from typing import Final

import numpy as np

from app.drawing.strokes import Drawing, Handle, Place
from app.drawing.views import View
from app.panels.lists.result_rows import Row, lines_of, said_by, why_nothing
from app.session.session import Session
from app.systems.answers import Answered
from app.systems.front.system import FRONT
from app.systems.shown import Options, Shown
from geometry.errors import GeometryError
from tests.helpers.telling import sentences

NO_NUMBER: Final = re.compile(r"(?<![A-Za-z])[+−-]?(?:nan|inf)(?![A-Za-z])", re.IGNORECASE)
Places = dict[tuple[View, str], Place]


def wrong_figures(session: Session) -> Iterator[str]:
    """Yield what is wrong with the figures of the shown pose."""
    for car, sweep in (("measured", session.measured), ("proposed", session.proposed)):
        if sweep is None or not sweep.reached[0]:
            continue
        for key, values in sweep.values.items():
            if np.isinf(values).any():
                yield f"a figure is infinite: {car} {key}"
    for key, value in session.study.proposed.single.items() if session.study else ():
        if not np.isfinite(value):
            yield f"a figure is {value}: proposed {key}"


def wrong_drawing(session: Session) -> Iterator[str]:
    """Yield what is wrong with the drawings: places that are nowhere, words that are no words."""
    for view, drawing in drawings(session).items():
        for stroke in drawing.strokes:
            for part in _parts(stroke):
                if isinstance(part, str) and NO_NUMBER.search(part):
                    yield f"the drawing says no number: {part!r} in {view.name}"
                elif not isinstance(part, str) and not np.isfinite(part).all():
                    yield f"a stroke is nowhere: {_name(stroke)} in {view.name}"


def wrong_words(session: Session) -> Iterator[str]:
    """Yield what is wrong with the words: of the results, the sentences and the refusal."""
    if session.study is None:
        return
    told = [session.problem_words]
    for line in lines_of(session, frozenset()):
        if isinstance(line, Row):
            for side in (0, 1) if session.system is FRONT else (0,):
                said = said_by(line, session, side)
                told += [said.measured, said.proposed, said.moves, said.limit]
            told.append(why_nothing(line, session))
    whole = session.whole_study()
    if whole is not None and session.problem is None:
        told += [each.text for each in sentences(whole)]
    yield from (f"words say no number: {words!r}" for words in told if NO_NUMBER.search(words))


def places(session: Session) -> Places:
    """Return where every point that can be taken hold of is shown."""
    return {
        (view, stroke.key): stroke.at
        for view, drawing in drawings(session).items()
        for stroke in drawing.strokes
        if isinstance(stroke, Handle)
    }


def drawings(session: Session) -> dict[View, Drawing]:
    """Return what the board shows."""
    study, proposed = session.study, session.proposed
    if study is None or proposed is None:
        return {}
    return study.system.drawings(Shown(study, proposed, session.measured), Options())


def largest_step(before: Places, after: Places) -> tuple[float, str]:
    """Return how far the point that moved furthest did [mm], and which it is."""
    steps = [
        (float(np.hypot(after[key][0] - place[0], after[key][1] - place[1])), key[1])
        for key, place in before.items()
        if key in after
    ]
    return max(steps, default=(0.0, ""))


def differs_from_fresh(session: Session) -> Iterator[str]:
    """Yield where the session's study isn't the study of its setup solved anew."""
    shown, setup = session.whole_study(), session.shown_setup
    if shown is None:
        return
    try:
        fresh = session.system.study(setup)
    except GeometryError as error:
        yield f"a study solved anew is refused: {type(error).__name__}"
        return
    for run in ("rest", "travel", "roll"):
        ours: Answered = getattr(shown.proposed, run)
        theirs: Answered = getattr(fresh.proposed, run)
        there = ours.reached & theirs.reached
        if not np.array_equal(ours.reached, theirs.reached):
            yield f"{run}: other poses are reached"
        for key, values in ours.values.items():
            pair = values[..., there], theirs.values[key][..., there]
            if not np.allclose(*pair, rtol=1e-9, atol=1e-9, equal_nan=True):
                yield f"{run}: {key} differs from that of a study solved anew"
    if set(shown.proposed.single) != set(fresh.proposed.single):
        yield "results that a car has once come and go"


def _parts(value: object) -> Iterator[str | np.ndarray]:
    """Yield the words and numbers that a stroke is made of."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, Enum | bool):
        return
    elif isinstance(value, int | float | np.ndarray):
        yield np.asarray(value, dtype=float)
    elif isinstance(value, tuple | list):
        for each in value:
            yield from _parts(each)
    elif is_dataclass(value):
        for field in fields(value):
            yield from _parts(getattr(value, field.name))


def _name(stroke: object) -> str:
    what = getattr(stroke, "key", "") or getattr(stroke, "kind", "")
    return f"{type(stroke).__name__} {what}"
