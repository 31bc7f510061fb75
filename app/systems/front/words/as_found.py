"""What a specialist would say of the front as it was found."""

from __future__ import annotations

from collections.abc import Iterator
from math import degrees
from typing import Final

from app.document.address import SIDES
from app.systems.front.words.telling import Telling
from app.systems.front.words.travel import travel_told
from app.systems.ride_words import frequency_words
from app.systems.sentence import Sentence
from app.systems.sides import wheel_value, wheels_are_alike

_INCH_OF_BUMP: Final = {"mm": 25.0, "in": 25.4}
_STRAIGHT: Final = 0.005  # of the body's roll: less steers nobody


def as_found(tell: Telling) -> Iterator[Sentence]:
    """Tell what camber, steer, centres and ride of the measured car come to."""
    yield from _leaning(tell)
    yield from _steering(tell)
    yield from _centres(tell)
    yield from frequency_words(tell, "The front")


def _leaning(tell: Telling) -> Iterator[Sentence]:
    car, keys = tell.study.measured, ("camber_gain", "roll_camber")
    is_alike = all(wheels_are_alike(car, tell.result(key), tell.units) for key in keys)
    for side, name in enumerate(SIDES[: 1 if is_alike else 2]):
        gain, share = (wheel_value(car, tell.result(key), side) for key in keys)
        if gain is not None and share is not None:
            yield _leaning_of(tell, gain, share, "" if is_alike else f"{name} ")


def _leaning_of(tell: Telling, gain: float, share: float, which: str) -> Sentence:
    over = "25 mm" if tell.units == "mm" else "inch"
    turn = degrees(abs(gain)) * _INCH_OF_BUMP[tell.units]
    angle = f"{turn:.2f}°".replace(".", tell.decimal)
    way = "in" if gain < 0 else "out"
    words = f"The {which}wheel leans {way} by {angle} per {over} of bump; in a corner the tyre"
    if abs(share) < 0.05:
        so = "stays upright"
    else:
        so = f"leans {'out' if share > 0 else 'in'} with {100.0 * abs(share):.0f} % of the body"
    return Sentence(f"{words} {so}.", "plain", "camber_gain")


def _steering(tell: Telling) -> Iterator[Sentence]:
    toe, roll = tell.before("bump_steer_range"), tell.before("roll_steer")
    if toe is not None:
        over = travel_told(tell.study.measured, tell.study.ranges.window, tell.units, tell.decimal)
        words = f"Bump steer over {over} is {tell.text('bump_steer_range', toe)}"
        wheel = tell.wheel(tell.study.measured, "bump_steer_range")
        words = words if wheel is None else f"{words} on the {wheel}"
        yield Sentence(f"{words}.", "plain", "bump_steer_range")
    if roll is not None and abs(roll) >= _STRAIGHT and not tell.sign_is_open("roll_steer"):
        way = "out of the corner" if roll > 0 else "into the corner"
        size = tell.text("roll_steer", abs(roll))
        words = f"In roll the front wheels steer {way}: roll steer is {size}"
        yield Sentence(f"{words}.", "plain", "roll_steer")


def _centres(tell: Telling) -> Iterator[Sentence]:
    height, dive = tell.before("roll_centre_height"), tell.before("anti_dive")
    if height is None:
        return
    where = "above" if height >= 0 else "below"
    words = f"Its roll centre stands {tell.length(abs(height))} {where} the ground"
    if dive is not None:
        words = f"{words}, and anti-dive is {tell.is_found('anti_dive', places=0)}"
    yield Sentence(f"{words}.", "plain", "roll_centre_height")
