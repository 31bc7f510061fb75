"""What a proposal does to the wheels: camber, caster, toe, what they do in bump and roll."""

from __future__ import annotations

from collections.abc import Iterator
from math import radians
from typing import Final

from app.document.address import SIDES
from app.document.moves import toe_is_reset
from app.systems.front.words.telling import Telling
from app.systems.sentence import Sentence, Severity, roll_steer_moves, steer_words
from app.systems.standing import leaves_out_pitch
from app.words.results import is_zero

_CAMBER: Final = radians(0.05)
_CASTER: Final = radians(0.1)
_TOE: Final = radians(0.02)
_GAIN: Final = radians(0.02) / 25.0  # rad/mm: a fiftieth of a degree over an inch
_TURNS: Final = radians(0.3)
_STEER: Final = 0.02  # of the body's roll


def wheel_sentences(tell: Telling) -> Iterator[Sentence]:
    """Tell what changes at the wheels."""
    yield from _gain(tell)
    yield from _static(tell, "camber", _CAMBER)
    yield from _static(tell, "caster", _CASTER)
    yield from _toe(tell)
    yield from _centre_outboard(tell)
    yield from _roll_steer(tell)
    yield from _turning(tell)


def _gain(tell: Telling) -> Iterator[Sentence]:
    key, known = "camber_gain", (tell.pair("camber_gain"), tell.pair("roll_camber"))
    if None in known or not tell.moved(key, _GAIN):
        return
    over = "25 mm" if tell.units == "mm" else "inch"
    figures = tell.goes(key, plus=True, places=2)
    figures = figures.replace("/25 mm", "").replace("/25", "").replace("/in", "")
    words = f"goes {figures} per {over} of bump"
    if not tell.is_symmetric(key):
        words = f"per {over} of bump goes {figures}"
    yield Sentence(f"Camber gain {words}: {_in_roll(tell)}.", "plain", key)


def _in_roll(tell: Telling) -> str:
    """Say how upright the tyres stay in roll, each by itself where they differ in that."""
    leans = [pair for pair in (tell.wheels("roll_camber", side) for side in (0, 1)) if pair]
    so = [
        "stays more upright in roll"
        if abs(after) < abs(before)
        else f"leans {'out' if after > 0 else 'in'} more in roll"
        for before, after in leans
    ]
    if len(set(so)) == 1:
        return f"the tyre {so[0]}"
    return f"the left tyre {so[0]}, the right one {so[1]}"


def _static(tell: Telling, key: str, by: float) -> Iterator[Sentence]:
    """Tell what an angle is on the road, with the toe set and nothing else adjusted."""
    if tell.after(key) is None or not tell.moved(key, by):
        return
    figures = tell.goes(key, plus=True, means=True)
    words = f"{key.capitalize()} before it is set again goes {figures}"
    if key == "caster" and leaves_out_pitch(tell.study):
        words = f"{words}, the body's pitch left out: it isn't known"
    yield Sentence(f"{words}.", "plain", key)


def _toe(tell: Telling) -> Iterator[Sentence]:
    if toe_is_reset(tell.study.setup) or not tell.moved("toe", _TOE):
        return
    figures = tell.goes("toe", plus=True, means=True)
    words = f"The toe is left as it comes: per wheel it goes {figures}."
    yield Sentence(f"{words} Set it before the car is driven.", "watch", "toe")


def _centre_outboard(tell: Telling) -> Iterator[Sentence]:
    key, arms = "swing_arm_length", []
    for side, name in enumerate(SIDES):
        before, after = tell.before(key, side), tell.after(key, side)
        if after is not None and after < 0:
            still = "still " if before is not None and before < 0 and tell.study.changed else ""
            arms.append((name, still))
    if not arms:
        return
    where = "" if len(arms) == 2 else f" on the {arms[0][0]}"
    still = arms[0][1] if arms[0][1] == arms[-1][1] else ""
    words = f"The arms' lines{where} {still}meet outboard of the wheel: it leans out as it rises"
    yield Sentence(f"{words} in bump.", "watch", key)


def _roll_steer(tell: Telling) -> Iterator[Sentence]:
    gains = tell.pair("roll_steer")
    if gains is None or not tell.moved("roll_steer", _STEER):
        return
    if tell.sign_is_open("roll_steer"):
        yield Sentence(f"At the front, {roll_steer_moves(tell, gains)}.", "plain", "roll_steer")
        return
    was, now = steer_words(tell, gains)
    words = f"Roll steer at the front goes from {was} to {now}"
    if not is_zero(gains[1], tell.result("roll_steer"), tell.units):
        way = "out of" if gains[1] >= 0 else "into"
        words += f": as the body rolls, the wheels steer {way} the corner"
    words += "."
    severity: Severity = "watch" if gains[1] < 0 and abs(gains[1]) > abs(gains[0]) else "plain"
    yield Sentence(words, severity, "roll_steer")


def _turning(tell: Telling) -> Iterator[Sentence]:
    if tell.moved("toe_out_on_turns", _TURNS):
        words = f"With the inner wheel at 20°, the outer one goes {tell.goes('toe_out_on_turns')}."
        yield Sentence(words, "plain", "toe_out_on_turns")
