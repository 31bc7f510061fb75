"""Where the rear's dampers come to their ends before the axle comes to its stops."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from app.document.address import SIDES
from app.document.moves import proposed_number
from app.document.units import format_value
from app.systems.rear.dampers import CLOSED, OPEN, End, end_lengths, side_places
from app.systems.rear.shop.targets import moves_dampers
from app.systems.rear.words.telling import RearTelling
from app.systems.sentence import Sentence

_SHOWN: Final = 0.05  # mm by which an end comes before the stop
_ALIKE: Final = 1.0  # mm by which left and right may differ and still be told as one
_ALIKE_ROLL: Final = 1.03  # times the roll at which the first damper is at its end, by the same
_PLACES: Final = {"mm": 1, "in": 2}  # that tell a length from one just past it
_STROKE: Final = ("damper_length", "damper_stroke")
_STOPS: Final = {CLOSED: ("rear.travel.bump", 1.0), OPEN: ("rear.travel.rebound", -1.0)}
_HAPPENS: Final = {  # of one damper, of both
    CLOSED: ("is closed", "are closed"),
    OPEN: ("is open to its end", "are open to their ends"),
}
_COMES_OF_IT: Final = {
    CLOSED: (
        "it takes the blow instead of the stop, and bends or breaks",
        "they take the blow instead of the stop, and bend or break",
    ),
    OPEN: (
        "it holds the axle instead of the stop, and tears",
        "they hold the axle instead of the stop, and tear",
    ),
}


def damper_sentences(tell: RearTelling) -> Iterator[Sentence]:
    """Tell which damper doesn't fit where the car stands, or ends before the axle does."""
    for end, length in end_lengths(tell.study.proposed.car).items():
        if length is None or "damper_length" not in tell.study.proposed.rest.values:
            continue
        stands_unfit = [side for side in (0, 1) if _past(tell, end, length, side) > 0.0]
        if stands_unfit:
            yield _unfit(tell, end, length, stands_unfit)
            continue
        yield from _before_the_stop(tell, end, length)
        yield from _in_roll(tell, end, length)
    if moves_dampers(tell.study.setup):
        yield from _used(tell)


def _past(tell: RearTelling, end: End, length: float, side: int) -> float:
    """Return how far a damper is past an end where the car stands [mm], below 0 when it isn't."""
    standing = tell.after("damper_length", side)
    if standing is None:
        return -length
    return length - standing if end is CLOSED else standing - length


def _unfit(tell: RearTelling, end: End, length: float, sides: list[int]) -> Sentence:
    standing = tell.after("damper_length", sides[0]) or 0.0
    way = "shorter than closed" if end is CLOSED else "longer than open"
    by = tell.length(_past(tell, end, length, sides[0]))
    long, at_end = (
        format_value(each, "length", tell.units, decimal=tell.decimal, places=_PLACES[tell.units])
        for each in (standing, length)
    )
    words = f"{_who(sides)} would be {long} long where the car stands, {by} {way}"
    return Sentence(
        f"{words}, {at_end}: that can't be bolted up.", "wrong", "damper_length", stops=True
    )


def _before_the_stop(tell: RearTelling, end: End, length: float) -> Iterator[Sentence]:
    """Tell of a damper that is at its end before the stop is, by travel of both wheels."""
    stop_key, way = _STOPS[end]
    stop, car = proposed_number(tell.study.setup, stop_key), tell.study.proposed
    if stop is None:
        return
    remaining = stop - way * car.stand.travel
    ends = [None if at is None else way * at for at in side_places(car.travel, length)]
    early = [side for side, at in enumerate(ends) if at is not None and remaining - at >= _SHOWN]
    if not early:
        return
    first = min(ends[side] or 0.0 for side in early)
    name = "bump" if way > 0 else "rebound"
    are_alike = len(early) == 2 and abs((ends[0] or 0.0) - (ends[1] or 0.0)) < _ALIKE
    sides = early if are_alike else [ends.index(first)]
    both = len(sides) - 1
    place, stands = tell.length(first), tell.length(remaining)
    words = f"{_who(sides)} {_HAPPENS[end][both]} at {place} of {name}, before the axle's stop"
    yield Sentence(f"{words} at {stands}: {_COMES_OF_IT[end][both]}.", "wrong", end.by_travel)


def _in_roll(tell: RearTelling, end: End, length: float) -> Iterator[Sentence]:
    rolled = tell.after(end.by_roll)
    roll = tell.study.proposed.roll
    if rolled is None or roll is None:
        return
    places = side_places(roll, length)
    sides = [
        side for side, at in enumerate(places) if at is not None and abs(at) <= rolled * _ALIKE_ROLL
    ]
    at_roll = tell.text(end.by_roll, rolled)
    happens = _HAPPENS[end][len(sides) - 1]
    words = f"{_who(sides)} {happens} at {at_roll} of body roll, from where the car stands"
    yield Sentence(f"{words}.", "watch", end.by_roll)


def _used(tell: RearTelling) -> Iterator[Sentence]:
    """Tell the length and the stroke of a damper that is moved."""
    for side in (0, 1):
        pair, key = tell.pair("damper_length", side), "damper_length"
        if pair is None or abs(pair[1] - pair[0]) < 1.0 or (side and _alike(tell)):
            continue
        who = "Both dampers are" if _alike(tell) else f"The {SIDES[side]} damper is"
        before, after = (tell.length(value) for value in pair)
        words = f"{who} {after} long where the car stands, before {before}"
        stroke = tell.after("damper_stroke", side)
        if stroke is not None:
            used = tell.text("damper_stroke", stroke)
            words = f"{words}, {used} of the way from open to closed"
        yield Sentence(f"{words}.", "plain", key)


def _alike(tell: RearTelling) -> bool:
    return all(tell.is_symmetric(key) for key in _STROKE if tell.after(key) is not None)


def _who(sides: list[int]) -> str:
    return "Both dampers" if len(sides) == 2 else f"The {SIDES[sides[0]]} damper"
