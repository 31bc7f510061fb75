"""What a proposal does to ride height, springs, roll centre, and what is on the ground."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from app.document.model import SETTLES
from app.document.moves import proposed_number
from app.systems.centre_words import roll_centre
from app.systems.front.words.telling import Telling
from app.systems.height_words import held_height, travel_left
from app.systems.sentence import Sentence, Severity
from app.systems.sides import wheel_value, wheels_are_alike
from app.systems.spring_check import spring_check

_LEAST: Final = 0.5  # mm that a shop can see
_GROUND: Final = 1.0  # mm
_DIVE: Final = 2.0  # %
_PART: Final = 0.02  # of a rate
_UPPER: Final = ("front.upper_front", "front.upper_rear")
_STOPS: Final = (  # result, the stop's key, its direction, what comes to its end and how
    ("coil_bind_travel", "front.travel.bump", 1.0, "coil is solid"),
    ("damper_bump_travel", "front.travel.bump", 1.0, "damper is closed"),
    ("damper_droop_travel", "front.travel.rebound", -1.0, "damper is at its full length"),
)


def ride_sentences(tell: Telling) -> Iterator[Sentence]:
    """Tell what changes of ride and centres."""
    yield from _height(tell)
    yield from _rate(tell)
    yield from roll_centre(tell, "Roll centre")
    yield from _ground(tell)
    yield from _dive(tell)
    yield from _stops(tell)
    yield from _declared(tell)


def _height(tell: Telling) -> Iterator[Sentence]:
    by = tell.study.stands
    if by is None or not tell.study.changed or (abs(by) < _LEAST and not _lifts(tell)):
        return
    if tell.study.choice != SETTLES:
        yield from held_height(tell, by)
        return
    springs = "the springs proposed" if _spring_is_set(tell) else "the same springs"
    if abs(by) < _LEAST:
        words = f"With {springs} the front sits where it did: no tape shows the difference."
        yield Sentence(words, "plain", "settled_travel")
        return
    way = "lower" if by > 0 else "higher"
    words = f"With {springs} the car sits {tell.length(abs(by))} {way} at the front"
    left, severity = travel_left(tell, by)
    yield Sentence(f"{words}{_why(tell, by)}.{left}", severity, "settled_travel")


def _lifts(tell: Telling) -> bool:
    """Tell whether a user would expect the height to change."""
    return _spring_is_set(tell) or any(key in _moved(tell) for key in _UPPER)


def _moved(tell: Telling) -> set[str]:
    return {key for change in tell.study.setup.changes if change.on for key in change.moves}


def _spring_is_set(tell: Telling) -> bool:
    on = (change for change in tell.study.setup.changes if change.on)
    return any(key.startswith("front.spring.") for change in on for key in change.sets)


def _why(tell: Telling, by: float) -> str:
    """Say why moved upper pivots change the height: only if the spring stands on the upper arm."""
    spring = tell.study.proposed.front.car.spring
    if spring is None or _spring_is_set(tell) or not any(key in _moved(tell) for key in _UPPER):
        return ""
    if spring.on == "upper arm":
        return ": the spring stands on the upper arm"
    return ": little, since the spring stands on the lower arm" if abs(by) < 10.0 else ""


def _rate(tell: Telling) -> Iterator[Sentence]:
    rates = [pair for pair in (tell.wheels("wheel_rate", side) for side in (0, 1)) if pair]
    if all(abs(after - before) < _PART * abs(before) for before, after in rates):
        return
    words = f"Wheel rate goes {tell.goes('wheel_rate')}"
    if tell.pair("ride_frequency") is not None:
        words = f"{words}, ride frequency {tell.goes('ride_frequency')}"
    yield Sentence(f"{words}.", "plain", "wheel_rate")


def _ground(tell: Telling) -> Iterator[Sentence]:
    for key, name in (("scrub_radius", "Scrub radius"), ("mechanical_trail", "Mechanical trail")):
        if tell.moved(key, _GROUND):
            yield Sentence(f"{name} goes {tell.goes(key)}.", "plain", key)
    yield from _stand_elsewhere(tell, "track_change", "Each wheel stands", ("out", "in"))
    both = "The front wheels stand"
    yield from _stand_elsewhere(tell, "wheelbase_change", both, ("forward", "back"))


def _stand_elsewhere(
    tell: Telling, key: str, both: str, ways: tuple[str, str]
) -> Iterator[Sentence]:
    """Tell how far the wheels stand from where they did, each where they aren't alike."""
    result, car = tell.result(key), tell.study.proposed
    changes = [wheel_value(car, result, side) for side in (0, 1)]
    if not any(change is not None and abs(change) >= _GROUND for change in changes):
        return
    where = [f"{tell.length(abs(by))} further {ways[by < 0]}" for by in changes if by is not None]
    if wheels_are_alike(car, result, tell.units):
        words = f"{both} {where[0]}"
    else:
        words = f"The left wheel stands {where[0]}, the right one {where[1]}"
    yield Sentence(f"{words}.", "plain", key)


def _dive(tell: Telling) -> Iterator[Sentence]:
    if tell.moved("anti_dive", _DIVE):
        words = f"Anti-dive with outboard brakes goes {tell.goes('anti_dive', places=0)}."
        yield Sentence(words, "plain", "anti_dive")


def _stops(tell: Telling) -> Iterator[Sentence]:
    """Tell of coil bind and dampers at their ends before the stop is reached."""
    for key, stop_key, way, happens in _STOPS:
        in_body, at = proposed_number(tell.study.setup, stop_key), tell.after(key)
        if at is None or in_body is None:
            continue
        stop = in_body - way * tell.study.proposed.stand.travel
        if stop - way * at < 0.05:
            continue
        name = "bump" if way > 0 else "rebound"
        place, short = tell.length(way * at), tell.length(stop - way * at)
        wheel = tell.wheel(tell.study.proposed, key)
        which = f"The {wheel} {happens}" if wheel else f"The {happens}"
        words = f"{which} at {place} of {name}, {short} before the stop."
        severity: Severity = "wrong" if way > 0 else "watch"  # a damper may be the rebound stop
        yield Sentence(words, severity, key)


def _declared(tell: Telling) -> Iterator[Sentence]:
    check = spring_check(tell.study.measured.front)
    if check is not None and not check.agrees:
        words = check.words(tell.units, tell.decimal)
        yield Sentence(f"{words} Weigh or measure again.", "watch", "spring_force")
