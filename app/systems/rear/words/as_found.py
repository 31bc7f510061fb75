"""What a specialist would say of the rear as it was found."""

from __future__ import annotations

from collections.abc import Iterator

from app.systems.rear.words.telling import RearTelling
from app.systems.ride_words import frequency_words
from app.systems.sentence import Sentence


def as_found(tell: RearTelling) -> Iterator[Sentence]:
    """Tell what steer, squat, centre, ride and wind-up of the measured axle come to."""
    yield from _steering(tell)
    yield from _centres(tell)
    yield from frequency_words(tell, "The rear")
    yield from _torque(tell)


def _steering(tell: RearTelling) -> Iterator[Sentence]:
    steer = tell.before("roll_steer")
    if steer is None or tell.sign_is_open("roll_steer"):
        return
    size = tell.text("roll_steer", abs(steer))
    way = "understeer" if steer >= 0 else "oversteer"
    words = f"In roll the axle steers towards {way}: roll steer is {size}"
    yield Sentence(f"{words}.", "plain", "roll_steer")


def _centres(tell: RearTelling) -> Iterator[Sentence]:
    height, squat = tell.before("roll_centre_height"), tell.before("anti_squat")
    if height is not None:
        where = "above" if height >= 0 else "below"
        words = f"The rear roll centre stands {tell.length(abs(height))} {where} the ground"
        yield Sentence(f"{words}.", "plain", "roll_centre_height")
    if squat is not None:
        way = "holds up" if squat >= 0 else "adds"
        words = f"Pulling away, the axle {way} {tell.text('anti_squat', abs(squat), places=0)}"
        yield Sentence(f"{words} of the squat.", "plain", "anti_squat")


def _torque(tell: RearTelling) -> Iterator[Sentence]:
    turn, thrust = tell.before("wind_up_full"), tell.before("full_thrust")
    if turn is None or thrust is None:
        return
    words = f"At full drive, {tell.text('full_thrust', thrust)}, the axle winds up by"
    yield Sentence(f"{words} {tell.text('wind_up_full', turn)}.", "plain", "wind_up_full")
