"""What a proposal does to where the rear axle goes: roll centre, steer, pinion, anti-squat."""

from __future__ import annotations

from collections.abc import Iterator
from math import radians
from typing import Final

from app.systems.centre_words import roll_centre
from app.systems.height_words import LEVEL
from app.systems.rear.words.propshaft import propshaft_sentences
from app.systems.rear.words.squareness import squareness_sentences
from app.systems.rear.words.telling import RearTelling
from app.systems.sentence import Sentence, Severity, roll_steer_moves, steer_words

_KINDS: Final = {"leaf axle": "two leaf springs", "five-link axle": "five links"}
_STEER: Final = 0.005  # of the body's roll
_PINION: Final = radians(0.3)
_SQUAT: Final = 3.0  # %
_GROUND: Final = 1.0  # mm


def path_sentences(tell: RearTelling) -> Iterator[Sentence]:
    """Tell what changes of the axle's path."""
    yield from _kind(tell)
    yield from _reach(tell)
    yield from roll_centre(tell, "The rear roll centre")
    yield from _roll_steer(tell)
    yield from _pinion(tell)
    yield from squareness_sentences(tell)
    yield from _anti(tell)
    yield from _wheelbase(tell)


def _kind(tell: RearTelling) -> Iterator[Sentence]:
    kinds = (tell.study.measured.kind, tell.study.proposed.kind)
    if kinds[0] != kinds[1]:
        was, now = (_KINDS[kind] for kind in kinds)
        yield Sentence(f"The axle is held by {now} instead of {was}.", "plain", "")


def _reach(tell: RearTelling) -> Iterator[Sentence]:
    car = tell.study.proposed
    who = "The proposed axle" if tell.study.changed else "The axle"
    for way, name in ((-1.0, "rebound"), (1.0, "bump")):
        sweep = car.travel
        if not (~sweep.reached & (sweep.at * way > 0)).any():
            continue
        inside = sweep.at[sweep.reached]
        end = float(inside.min() if way < 0 else inside.max()) if inside.size else 0.0
        why = "its shackle swings too far" if car.kind == "leaf axle" else "its links end there"
        words = f"{who} can't take its whole travel in {name}: beyond {tell.length(abs(end))} {why}"
        stops = tell.study.changed and bool(tell.study.measured.travel.reached.all())
        yield Sentence(f"{words}.", "wrong", "wheel_travel", stops=stops)


def _roll_steer(tell: RearTelling) -> Iterator[Sentence]:
    gains = tell.pair("roll_steer")
    if gains is None or not tell.moved("roll_steer", _STEER):
        return
    if tell.sign_is_open("roll_steer"):
        yield Sentence(f"At the rear, {roll_steer_moves(tell, gains)}.", "plain", "roll_steer")
        return
    was, now = steer_words(tell, gains)
    words = f"Roll steer goes from {was} to {now}"
    severity: Severity = "watch" if gains[1] < 0 and gains[1] < gains[0] else "plain"
    yield Sentence(f"{words}.", severity, "roll_steer")


def _pinion(tell: RearTelling) -> Iterator[Sentence]:
    key = "pinion_angle" if tell.pair("pinion_angle") is not None else "pinion_turn"
    angles = tell.pair(key)
    if angles is not None and abs(_turned_in_body(tell, angles)) >= _PINION:
        before, after = (tell.text(key, value, plus=True) for value in angles)
        goes = f"goes from {before} to {after}"
        if key == "pinion_turn":  # as found it has turned by nothing
            goes = f"turns by {tell.text(key, abs(angles[1]))}"
        words = f"The pinion {goes}{tell.meaning(key, angles[1])} at ride"
        if abs(tell.study.proposed.stand.pitch) >= LEVEL:
            turned = _turned_in_body(tell, angles)
            way = "up" if turned > 0 else "down"
            size = tell.text("pinion_turn", abs(turned))
            words = f"{words} to the road, {size} nose {way} against the body"
        yield Sentence(f"{words}: check the propshaft's joint angles.", "watch", key)
    yield from propshaft_sentences(tell)


def _turned_in_body(tell: RearTelling, angles: tuple[float, float]) -> float:
    """Return how far a pinion turns against the body, which carries the gearbox [rad], + nose up.

    A pinion's angle at rest is to the road, which a body that pitches by itself doesn't bend
    a joint against.
    """
    study = tell.study
    return angles[1] + study.proposed.stand.pitch - angles[0] - study.measured.stand.pitch


def _anti(tell: RearTelling) -> Iterator[Sentence]:
    if tell.moved("anti_squat", _SQUAT):
        words = f"Anti-squat goes {tell.goes('anti_squat', places=0)}."
        yield Sentence(words, "plain", "anti_squat")
    if tell.moved("anti_lift", _SQUAT):
        words = f"Anti-lift under braking goes {tell.goes('anti_lift', places=0)}."
        yield Sentence(words, "plain", "anti_lift")


def _wheelbase(tell: RearTelling) -> Iterator[Sentence]:
    change = tell.after("wheelbase_change")
    if change is not None and abs(change) >= _GROUND and tell.study.changed:
        way = "back" if change > 0 else "forward"
        words = f"The rear wheels stand {tell.length(abs(change))} further {way}."
        yield Sentence(words, "plain", "wheelbase_change")
