"""What a proposal does to where the rear axle goes: roll centre, steer, pinion, anti-squat."""

from __future__ import annotations

from collections.abc import Iterator
from math import radians
from typing import Final

from app.systems.centre_words import roll_centre
from app.systems.height_words import LEVEL
from app.systems.rear.words.telling import RearTelling
from app.systems.sentence import Sentence, Severity
from geometry.leaf.sides import side_by_side

_KINDS: Final = {"leaf axle": "two leaf springs", "five-link axle": "five links"}
_STEER: Final = 0.005  # of the body's roll
_PINION: Final = radians(0.3)
_JOINT: Final = radians(3.0)  # working angle of a propshaft's joint: common practice, no source
_JOINT_FULL: Final = radians(5.0)  # the same, wound up
_CROOKED: Final = radians(0.1)  # 0.3° is felt (an owners' page); a string reads this
_SAG: Final = 3.0  # mm, which a tape along a spring tells
_LEANS: Final = radians(0.2)  # 4 mm over a spring base: common practice, no source
_SQUAT: Final = 3.0  # %
_GROUND: Final = 1.0  # mm


def path_sentences(tell: RearTelling) -> Iterator[Sentence]:
    """Tell what changes of the axle's path."""
    yield from _kind(tell)
    yield from _reach(tell)
    yield from roll_centre(tell, "The rear roll centre")
    yield from _roll_steer(tell)
    yield from _pinion(tell)
    yield from _square(tell)
    yield from _sides(tell)
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
    sizes = [tell.share(value) for value in gains]
    ways = ["understeer" if value >= 0 else "oversteer" for value in gains]
    was = f"{sizes[0]} % {ways[0]}" if ways[0] != ways[1] else sizes[0]
    words = f"Roll steer goes from {was} to {sizes[1]} % {ways[1]}, of the body's roll"
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
    yield from _propshaft(tell)


def _turned_in_body(tell: RearTelling, angles: tuple[float, float]) -> float:
    """Return how far a pinion turns against the body, which carries the gearbox [rad], + nose up.

    A pinion's angle at rest is to the road, which a body that pitches by itself doesn't bend
    a joint against.
    """
    study = tell.study
    return angles[1] + study.proposed.stand.pitch - angles[0] - study.measured.stand.pitch


def _propshaft(tell: RearTelling) -> Iterator[Sentence]:
    """Tell of joints that work further than usual, and of a pinion that leaves the gearbox line."""
    for name, title in (("pinion_joint_angle", "pinion"), ("gearbox_joint_angle", "gearbox")):
        for key, where, usual in (
            (name, "at ride", _JOINT),
            (f"{name}_full", "at full drive", _JOINT_FULL),
        ):
            angle = tell.after(key)
            if angle is not None and abs(angle) > usual:
                words = f"The propshaft's {title} joint works at {tell.text(key, abs(angle))}"
                most = tell.text(key, usual, places=0)
                yield Sentence(f"{words} {where}: about {most} is usual.", "watch", key)
    if tell.moved("pinion_to_gearbox", _PINION):
        against, full = tell.after("pinion_to_gearbox"), tell.after("pinion_to_gearbox_full")
        assert against is not None
        key = "pinion_to_gearbox"
        words = f"Against the gearbox line the pinion goes {tell.goes(key, plus=True)}"
        words = f"{words}{tell.meaning(key, against)} at ride"
        if full is not None:
            words = f"{words}, {tell.text(key, full, plus=True)} at full drive"
        yield Sentence(f"{words}: equal angles at both joints run evenly.", "plain", key)


def _square(tell: RearTelling) -> Iterator[Sentence]:
    """Tell of an axle that stands crooked in the car."""
    angle, longer = tell.after("thrust_angle"), tell.after("wheelbase_difference")
    if angle is None or longer is None or abs(angle) < _CROOKED:
        return
    way, side = ("left", "left") if angle > 0 else ("right", "right")
    words = f"The axle points {tell.text('thrust_angle', abs(angle))} to the {way} (thrust angle)"
    words = f"{words}: the {side} wheelbase is {tell.length(abs(longer))} longer, the car crabs"
    yield Sentence(f"{words}.", "watch", "thrust_angle")


def _sides(tell: RearTelling) -> Iterator[Sentence]:
    """Tell of a spring that has sagged more than the other, and of a body that leans for it."""
    leaf = tell.study.measured.leaf
    sides = None if leaf is None else side_by_side(leaf.car)
    if sides is None:
        return
    words = []
    if abs(sides.sag) >= _SAG:
        side, other = ("right", "left") if sides.sag > 0 else ("left", "right")
        by = tell.length(abs(sides.sag))
        words += [f"the {side} spring stands {by} flatter under its load than the {other} one"]
    if abs(sides.lean) >= _LEANS:
        way = "right" if sides.lean > 0 else "left"
        angle = tell.text("thrust_angle", abs(sides.lean))
        words += [f"the body leans {angle} to the {way} over its spring pins"]
    if words:
        yield Sentence(f"As found, {', and '.join(words)}.", "watch", "")


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
