"""What a proposal does to the axle under driving and braking torque."""

from __future__ import annotations

from collections.abc import Iterator
from math import radians
from typing import Final

from app.systems.rear.answers import RearAnswers
from app.systems.rear.words.telling import RearTelling
from app.systems.sentence import Sentence

_TURN: Final = radians(0.2)
_LIFT: Final = 2.0  # mm
_EYES: Final = ("front", "rear")


def torque_sentences(tell: RearTelling) -> Iterator[Sentence]:
    """Tell of wind-up, lift, bars and eye loads that turn over."""
    yield from _wind_up(tell)
    yield from _bars(tell)
    yield from _eyes(tell)


def _wind_up(tell: RearTelling) -> Iterator[Sentence]:
    if not tell.moved("wind_up_full", _TURN) and not tell.moved("lift_full", _LIFT):
        return
    words = f"At full drive the axle's wind-up goes {tell.goes('wind_up_full')}"
    if tell.moved("lift_full", _LIFT):
        words = f"{words}, the body's lift {tell.goes('lift_full', places=0)}"
    yield Sentence(f"{words}.", "plain", "wind_up_full")


def _bars(tell: RearTelling) -> Iterator[Sentence]:
    closes, full = tell.after("bars_close_at"), tell.after("full_thrust")
    if closes is None or full is None:
        return
    at, most = tell.text("bars_close_at", abs(closes)), tell.text("full_thrust", full)
    if not 0 < closes <= full:
        words = f"The traction bars don't touch at full drive, {most}: they do nothing yet"
        yield Sentence(f"{words}.", "watch", "bars_close_at")
        return
    words = f"The traction bars touch at {at} of thrust, of {most} at full drive"
    closed = tell.after("anti_squat_bars")
    if closed is not None:
        to = tell.text("anti_squat_bars", closed, places=0)
        words = f"{words}; from there anti-squat is {to}"
    yield Sentence(f"{words}.", "plain", "bars_close_at")


def _eyes(tell: RearTelling) -> Iterator[Sentence]:
    for place, way in ((-1, "drive"), (0, "braking")):
        for index in reversed_eyes(tell.study.proposed, place):
            words = (
                f"Under full {way} the {_EYES[index]} eye's load is reversed: the main leaf and "
                "its clipped leaves alone hold that half, and it winds up further than worked out."
            )
            yield Sentence(words, "watch", "eye_load_least")


def reversed_eyes(car: RearAnswers, place: int) -> tuple[int, ...]:
    """Return the eyes whose load is reversed at a place of the torque curve: 0 front, 1 rear."""
    if car.twist is None:
        return ()
    return tuple(eye for eye in (0, 1) if car.twist.reversed_eye[eye, place])
