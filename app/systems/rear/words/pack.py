"""What a proposal does to the rear's springs: height, rate, stress, shackle."""

from __future__ import annotations

from collections.abc import Iterator
from math import pi, radians
from typing import Final

import numpy as np

from app.document.model import SETTLES
from app.document.plain_text import upper_first
from app.systems.height_words import held_height, travel_left
from app.systems.rear.words.telling import RearTelling
from app.systems.sentence import Sentence, Severity
from geometry.leaf.on_car import stresses_at_ride_and_bump

_LEAST: Final = 0.5  # mm that a shop can see
_PART: Final = 0.02  # of a rate
_ROLL_PART: Final = 0.05
_MUCH: Final = 1.25  # times: the balance of the car shifts (common practice, no source)
_CLOSE: Final = 10.0  # % of a stress limit: a spring maker would ask (common practice, no source)
_IN_LINE: Final = radians(25.0)  # shackle to leaf: less turns over on a bad road
_USUAL: Final = (radians(60.0), radians(120.0))  # at ride, each side of square (common practice)


def pack_sentences(tell: RearTelling) -> Iterator[Sentence]:
    """Tell what changes of height and springs."""
    yield from _height(tell)
    yield from _rate(tell)
    yield from _roll_rate(tell)
    yield from _stress(tell)
    yield from _shackle(tell)


def _height(tell: RearTelling) -> Iterator[Sentence]:
    by = tell.study.stands
    if by is None or not tell.study.changed:
        return
    if tell.study.choice != SETTLES:
        yield from held_height(tell, by)
        return
    if abs(by) < _LEAST:
        return
    way = "lower" if by > 0 else "higher"
    words = f"Under the same load the car sits {tell.length(abs(by))} {way} at the rear."
    left, severity = travel_left(tell, by)
    yield Sentence(f"{words}{left}", severity, "settled_travel")


def _rate(tell: RearTelling) -> Iterator[Sentence]:
    key = "wheel_rate" if tell.pair("wheel_rate") is not None else "pack_rate"
    rates = tell.pair(key)
    if rates is None or abs(rates[1] - rates[0]) < _PART * abs(rates[0]):
        return
    name = "Wheel rate in bounce" if key == "wheel_rate" else "The pack's rate"
    words = f"{name} goes {tell.goes(key)}"
    if tell.pair("ride_frequency") is not None:
        words = f"{words}, ride frequency {tell.goes('ride_frequency')}"
    yield Sentence(f"{words}.", "plain", key)


def _roll_rate(tell: RearTelling) -> Iterator[Sentence]:
    rates = tell.pair("roll_wheel_rate")
    if rates is None or abs(rates[1] - rates[0]) < _ROLL_PART * abs(rates[0]):
        return
    much = not 1.0 / _MUCH < rates[1] / rates[0] < _MUCH
    words = f"Wheel rate in roll goes {tell.goes('roll_wheel_rate')}"
    way = "more" if rates[1] > rates[0] else "less"
    yield Sentence(
        f"{words}: in a corner the rear holds up {way}.",
        "watch" if much else "plain",
        "roll_wheel_rate",
    )


def _stress(tell: RearTelling) -> Iterator[Sentence]:
    """Tell of the leaf that is nearest to its limit at full bump, or past it."""
    leaf, margin = tell.study.proposed.leaf, tell.after("stress_margin")
    stresses = None if leaf is None else stresses_at_ride_and_bump(leaf)
    if leaf is None or stresses is None or stresses.bump is None:
        return
    at_bump = stresses.bump
    if margin is None:
        yield from _more_stress(tell)
        return
    index = int(np.argmin(at_bump.margin))
    limit = tell.text("stress_bump", float(leaf.stages.pack.limits[index]))
    stress = tell.text("stress_bump", float(at_bump.worst[index])).partition(" ")[0]
    words = f"{upper_first(leaf_name(index))} is stressed to {stress} at full bump"
    if margin < 0:
        yield Sentence(f"{words}, past its limit of {limit}: it sets or breaks.", "wrong", _BUMP)
    elif margin < _CLOSE:
        margin_words = tell.text("stress_margin", margin, places=0)
        yield Sentence(f"{words}, {margin_words} from its limit of {limit}.", "watch", _BUMP)


_BUMP: Final = "stress_bump"


def leaf_name(place: int) -> str:
    """Return what a leaf is called by its place, 0 the main leaf."""
    return "the main leaf" if place == 0 else f"leaf {place + 1}"


def _more_stress(tell: RearTelling) -> Iterator[Sentence]:
    stresses = tell.pair("stress_bump")
    if stresses is not None and stresses[1] > 1.05 * stresses[0]:
        words = f"The highest stress at full bump goes {tell.goes('stress_bump')}"
        words = f"{words}. No limit is set for it: ask what the steel may take."
        yield Sentence(words, "watch", "stress_bump")


def _shackle(tell: RearTelling) -> Iterator[Sentence]:
    car = tell.study.proposed
    angles = car.travel.values.get("shackle_angle")
    resting = tell.after("shackle_angle")
    if angles is None or resting is None:
        return
    nearness = np.where(car.travel.reached, np.minimum(angles, pi - angles), pi)
    place = int(np.argmin(nearness))
    who = "proposed shackle" if tell.study.changed else "shackle"
    angle = tell.text("shackle_angle", resting, places=0)
    if nearness[place] < _IN_LINE:
        at = float(car.travel.at[place])
        where = f"{tell.round_length(abs(at))} of {'bump' if at > 0 else 'rebound'}"
        remaining = tell.text("shackle_angle", float(nearness[place]), places=0)
        words = f"The {who} comes within {remaining} of the line of the leaf at {where}"
        yield Sentence(f"{words}: past it, it turns over.", "watch", "shackle_angle")
    elif not _USUAL[0] <= resting <= _USUAL[1] and _is_worse(tell, resting):
        words = f"The {who} stands at {angle} to the line of the eyes at ride"
        severity: Severity = "watch"
        yield Sentence(f"{words}: 60° to 90° is usual.", severity, "shackle_angle")


def _is_worse(tell: RearTelling, resting: float) -> bool:
    before = tell.before("shackle_angle")
    return before is None or not tell.study.changed or abs(resting - before) > radians(0.5)
