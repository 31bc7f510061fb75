"""What a proposal does to the axle under driving and braking torque."""

from __future__ import annotations

from collections.abc import Iterator
from math import radians
from typing import Final

import numpy as np

from app.document.keys import KEYS
from app.document.moves import proposed_settings
from app.document.units import format_value
from app.systems.answers import Study
from app.systems.rear.answers import RearAnswers
from app.systems.rear.shop.torque import STEPS, torque_steps
from app.systems.rear.two_models import is_one_model
from app.systems.rear.words.pack import leaf_name
from app.systems.rear.words.telling import RearTelling
from app.systems.sentence import Sentence
from geometry.full_loads import Limiter
from geometry.leaf.single import TorqueCurve

_TURN: Final = radians(0.2)
_LIFT: Final = 2.0  # mm
LIMITS: Final[dict[Limiter, str]] = {
    "engine": "all that the engine gives",
    "tyres": "all that the tyres hold",
    "brakes": "all that the rear brakes get",
}
PAST: Final = "*"
"""Stands at a stress that is past the limit of a leaf, in tables."""
_EYES: Final = ("front", "rear")


def torque_sentences(tell: RearTelling) -> Iterator[Sentence]:
    """Tell of wind-up, lift, bars and eye loads that turn over."""
    yield from _wind_up(tell)
    yield from _bars(tell)
    yield from _eyes(tell)
    yield from stress_under_torque(tell)


def stress_under_torque(tell: RearTelling) -> Iterator[Sentence]:
    """Tell of the leaf that is furthest past its limit while driving, and under braking."""
    rows = dict(zip(STEPS.values(), torque_steps(tell.study.proposed), strict=False))
    for way in (1.0, -1.0):
        past = {share: row.past for share, row in rows.items() if share * way > 0 and row.past}
        if not past:
            continue
        share = max(past, key=lambda each: past[each].stress / past[each].limit)
        leaf = past[share]
        stress, limit = (tell.text("stress_bump", each) for each in (leaf.stress, leaf.limit))
        words = f"{_at_share(share)} {leaf_name(leaf.place)} is stressed to {stress}, past its "
        words += f"limit of {limit}{_stress_before(tell, share)}: it sets or breaks."
        yield Sentence(words, "wrong")


def _at_share(share: float) -> str:
    if share < 0.0:
        return "Under full braking"
    return "At full drive" if share == 1.0 else f"At {100.0 * share:.0f} % of full drive"


def _stress_before(tell: RearTelling, share: float) -> str:
    """Return the highest stress of the car as found under the same share of its own full drive."""
    is_told = tell.study.changed and is_one_model(tell.study)
    rows = torque_steps(tell.study.measured) if is_told else ()
    stresses = (
        row.stress for row, each in zip(rows, STEPS.values(), strict=False) if each == share
    )
    return "".join(f" ({tell.text('stress_bump', stress)} as found)" for stress in stresses)


def past_note(study: Study[RearAnswers]) -> str:
    """Say what a mark at a stress means; empty where none is marked."""
    cars = (study.measured, study.proposed)
    is_marked = any(row.past for car in cars for row in torque_steps(car))
    return f"{PAST} past the limit of a leaf: it sets or breaks." if is_marked else ""


def _wind_up(tell: RearTelling) -> Iterator[Sentence]:
    torque = tell.study.proposed.torque
    if torque is not None and torque.is_small:
        yield Sentence(f"{_NO_POSE} the axle winds up further than worked out.", "watch")
    if not is_one_model(tell.study):
        return
    if not tell.moved("wind_up_full", _TURN) and not tell.moved("lift_full", _LIFT):
        return
    words = f"At full drive the axle's wind-up goes {tell.goes('wind_up_full')}"
    if tell.moved("lift_full", _LIFT):
        places = 0 if tell.study.setup.units == "mm" else 2
        words = f"{words}, the body's lift {tell.goes('lift_full', places=places)}"
    if torque is not None:
        words = f"{words}; full drive is {LIMITS[torque.drive.by]}"
    if torque is not None and torque.is_small:
        words = f"{words}; lift is by a third low or more, being worked out for small turns"
    yield Sentence(f"{words}.", "plain", "wind_up_full")


_NO_POSE: Final = "No pose in which the leaves balance it carries the largest thrust:"


def _bars(tell: RearTelling) -> Iterator[Sentence]:
    closes, full = tell.after("bars_close_at"), tell.after("full_thrust")
    if closes is None or full is None:
        return
    at, most = tell.text("bars_close_at", abs(closes)), tell.text("full_thrust", full)
    if closes == 0.0:
        words = "The traction bars touch at rest, before there is any thrust"
        yield Sentence(f"{words}{_closed_squat(tell)}.", "plain", "bars_close_at")
        return
    if not 0 < closes <= full:
        words = f"The traction bars don't touch at full drive, {most}: they do nothing yet"
        yield Sentence(f"{words}.", "watch", "bars_close_at")
        return
    words = f"The traction bars touch at {at} of thrust, of {most} at full drive"
    yield Sentence(f"{words}{_closed_squat(tell)}.", "plain", "bars_close_at")


def _closed_squat(tell: RearTelling) -> str:
    closed = tell.after("anti_squat_bars")
    if closed is None:
        return ""
    return f"; from there anti-squat is {tell.text('anti_squat_bars', closed, places=0)}"


def _eyes(tell: RearTelling) -> Iterator[Sentence]:
    for place, way in ((-1, "drive"), (0, "braking")):
        for index in reversed_eyes(tell.study.proposed, place):
            words = (
                f"Under full {way} the {_EYES[index]} half is bent the other way: the main leaf "
                "and its clipped leaves alone hold it, and it winds up further than worked out."
            )
            yield Sentence(words, "watch", "eye_load_least")


def reversed_eyes(car: RearAnswers, place: int) -> tuple[int, ...]:
    """Return the halves bent the other way at a place of the torque curve: 0 front, 1 rear."""
    if car.twist is None:
        return ()
    return tuple(eye for eye in (0, 1) if car.twist.reversed_eye[eye, place])


def end_notes(study: Study[RearAnswers], decimal: str = ".") -> Iterator[str]:
    """Say what ends full drive and braking of the car that is told, and how it is worked out."""
    car, units = study.proposed, study.setup.units
    torque = car.torque
    if torque is None:
        return
    whose = ", as built," if study.changed else ""
    for load, way in ((torque.drive, "drive"), (torque.braking, "braking")):
        force = format_value(load.force, "force", units, decimal=decimal)
        words = f"Full {way}{whose} is {LIMITS[load.by]}, {force}"
        spare = load.tyres if load.by != "tyres" else load.other
        if np.isfinite(spare):
            other = "the tyres would hold" if load.by != "tyres" else _WOULD[way]
            words += f"; {other} {format_value(spare, 'force', units, decimal=decimal)}"
        yield f"{words}."
    yield from _lift_notes(study, torque)
    yield from left_out(study)


_WOULD: Final = {"drive": "the engine would give", "braking": "the brakes would bring"}


def left_out(study: Study[RearAnswers]) -> Iterator[str]:
    """Say what full drive and full braking leave out since the file doesn't give it."""
    needed = ("car.cg_height", "car.wheelbase")
    lacking = [KEYS[key].in_sentence for key in needed if _lacks(study, key)]
    if lacking:
        yield (
            "The load that pulling away brings to the rear axle, and braking takes off it, is left "
            f"out of both: {' and '.join(lacking)} {'is' if len(lacking) == 1 else 'are'} missing."
        )
    if _lacks(study, "car.front_brake_share"):
        yield (
            "Full braking is what the rear tyres hold, whatever the brakes bring: "
            f"{KEYS['car.front_brake_share'].in_sentence} is missing."
        )


def _lift_notes(study: Study[RearAnswers], torque: TorqueCurve) -> Iterator[str]:
    if not is_one_model(study):
        small, other = ("as built", "as found") if torque.is_small else ("as found", "as built")
        yield (
            f"Wind-up, lift and stress {small} are by the springs' stiffness where the axle "
            f"stands, since no pose carries the largest thrust, {other} of halves that bend to "
            "arcs: the two aren't to be compared."
        )
        return
    if torque.is_small:
        yield (
            "Wind-up and lift are by the springs' stiffness where the axle stands, since no pose "
            "carries the largest thrust: an indication, lift by a third low or more."
        )
        return
    yield (
        "Wind-up and lift are of halves that bend to arcs under the same load on the spring: an "
        "indication, lift to about a tenth; what load transfer adds to the spring isn't in it."
    )


def _lacks(study: Study[RearAnswers], key: str) -> bool:
    return key not in proposed_settings(study.setup)
