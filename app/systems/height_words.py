"""At which height each car of a study stands, and what is said of one that is held."""

from __future__ import annotations

from collections.abc import Iterator
from math import radians
from typing import Any, Final

from app.document.model import AS_MEASURED, SETTLES
from app.document.moves import proposed_number
from app.document.units import format_value
from app.systems.answers import Study
from app.systems.hold_words import hold_words
from app.systems.sentence import Sentence, Severity, Teller
from app.systems.standing import leaves_out_pitch

_LEAST: Final = 0.5  # mm that a shop can see
UNKNOWN: Final = "since weights or springs aren't given"
PITCH_UNKNOWN: Final = (
    "how far the body pitches isn't known: angles in side view are to the body, not to the road"
)
_NOWHERE: Final = "since its springs carry the load at no height within reach"
LEVEL: Final = radians(0.05)
_STOP_SEEN: Final = 0.05  # mm
_TOLD: Final = 5.0  # mm lower: then what is left of the bump is said
_LITTLE: Final = 1.0 / 3.0  # of the travel: the stop is met often (common practice, no source)


def height_words(study: Study[Any], decimal: str = ".") -> str:
    """Say at which height the figures of both cars hold."""
    measured = "As found: where the car was measured."
    if not study.changed:
        return measured
    stands, units = study.stands, study.setup.units
    if stands is None:
        why = _NOWHERE if study.settles_nowhere else UNKNOWN
        return f"{measured} As built: at the measured height, {why}."
    size = format_value(
        abs(stands), "length", units, decimal=decimal, places=0 if units == "mm" else 2
    )
    how = "on its springs" if study.choice == SETTLES else "held"
    end = study.system.key
    where = f"{size} {'lower' if stands > 0 else 'higher'} at the {end}"
    if abs(stands) < _LEAST:
        where = f"the {end} at that height"
    return f"{measured} As built: {how}, {where}{_pitch(study, decimal)}."


def _pitch(study: Study[Any], decimal: str) -> str:
    if leaves_out_pitch(study):
        return f"; {PITCH_UNKNOWN}"
    pitch = study.proposed.stand.pitch
    if abs(pitch) < LEVEL:
        return ""
    angle = format_value(abs(pitch), "angle", study.setup.units, decimal=decimal, places=1)
    way = "nose down" if pitch > 0 else "nose up"
    return f", the body {angle} {way}: angles in side view are to the road"


def unsupported(tell: Teller) -> Iterator[Sentence]:
    """Tell of an end that its springs don't carry between its stops, or at any height."""
    study, end = tell.study, tell.study.system.key
    if study.settles_nowhere:
        words = f"The springs proposed carry the load of the {end} at no height within reach"
        so = "the car can't stand as its figures here say, at the measured height"
        yield Sentence(f"{words}: {so}.", "wrong", "settled_travel", stops=True)
    travel, reach = study.proposed.stand.travel, study.ranges.travel
    stop, way = (reach[1], "bump") if travel > 0 else (reach[0], "rebound")
    is_given = proposed_number(study.setup, f"{end}.travel.{way}") is not None
    if not is_given or abs(travel) <= abs(stop) + _STOP_SEEN:
        return
    much = tell.length(abs(travel) - abs(stop))
    words = f"By its springs alone the {end} would stand {much} beyond its {way} stop"
    if study.choice != SETTLES:
        words = f"The {end} is to stand {much} beyond its {way} stop"
        so = "it can't, whatever springs it is on"
    elif way == "bump":
        so = "it sits on the stop, and no figure here counts what the stop carries"
    else:
        so = "it hangs on the stop, and its springs are loose or carry less"
    yield Sentence(f"{words}: {so}.", "wrong", "settled_travel", stops=True)


def held_height(tell: Teller, stands: float) -> Iterator[Sentence]:
    """Tell what holds an end at a height, or that nothing that is given can."""
    study = tell.study
    if not study.must_be_held:
        return
    end = study.system.key
    if study.choice == AS_MEASURED or abs(stands) < _LEAST:
        where = "at the measured height"
    else:
        where = f"{tell.length(abs(stands))} {'lower' if stands > 0 else 'higher'} than found"
    ways = hold_words(study, tell.decimal)
    if "settled_travel" in study.missing:
        words = f"The {end} is to stand {where}: what holds it there isn't known, {UNKNOWN}."
        yield Sentence(words, "watch", "settled_travel")
        return
    if not ways:
        words = f"The {end} is to stand {where}, and nothing that is given here can hold it there."
        yield Sentence(words, "wrong", "settled_travel", stops=True)
        return
    settles = study.unsettled.single.get("settled_travel")
    by_itself = ""
    if settles is not None and abs(settles - stands) >= _LEAST:
        by_itself = "; by itself it would settle where it was found"
        if abs(settles) >= _LEAST:
            way = "lower" if settles > 0 else "higher"
            by_itself = f"; by itself it would settle {tell.length(abs(settles))} {way} than found"
    left, severity = travel_left(tell, stands)
    words = f"The {end} is held {where} by {ways}{by_itself}.{left}"
    yield Sentence(words, severity, "settled_travel")


def travel_left(tell: Teller, stands: float) -> tuple[str, Severity]:
    """Say what a new height leaves of the travel to the stop, and whether that is little.

    `stands` is the rise of the wheel into the body [mm].
    """
    way = "bump" if stands > 0 else "rebound"
    stop = proposed_number(tell.study.setup, f"{tell.study.system.key}.travel.{way}")
    if stop is None or abs(stands) > stop + _STOP_SEEN:  # which is said by itself
        return "", "plain"
    remaining = max(stop - abs(stands), 0.0)
    is_little = remaining < _LITTLE * stop
    if not is_little and (way == "rebound" or stands < _TOLD):
        return "", "plain"
    only = "only " if is_little else ""
    words = f" That leaves {only}{tell.length(remaining)} of {way} to the stop"
    return f"{words}, of {tell.round_length(stop)}.", "watch" if is_little else "plain"
