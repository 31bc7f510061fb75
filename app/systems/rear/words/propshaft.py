"""What the joints of the propshaft work at, and whether it runs evenly."""

from __future__ import annotations

from collections.abc import Iterator
from math import radians
from typing import Final

from app.systems.rear.shop.pinion import STATES, pinion_angles
from app.systems.rear.words.telling import RearTelling
from app.systems.sentence import Sentence

_TURNED: Final = radians(0.3)
_JOINT: Final = radians(3.0)  # working angle of a propshaft's joint: common practice, no source
_JOINT_FULL: Final = radians(5.0)  # the same, wound up
_UNEQUAL: Final = radians(1.0)  # between the sizes of both: common practice, no source
_JOINTS: Final = (("pinion_joint_angle", "pinion"), ("gearbox_joint_angle", "gearbox"))


def propshaft_sentences(tell: RearTelling) -> Iterator[Sentence]:
    """Tell of joints that work too far or unequally, and of a pinion off the gearbox line."""
    yield from _wide(tell)
    yield from _unequal(tell)
    if tell.moved("pinion_to_gearbox", _TURNED):
        against, full = tell.after("pinion_to_gearbox"), tell.after("pinion_to_gearbox_full")
        assert against is not None
        key = "pinion_to_gearbox"
        words = f"Against the gearbox line the pinion goes {tell.goes(key, plus=True)}"
        words = f"{words}{tell.meaning(key, against)} at ride"
        if full is not None:
            words = f"{words}, {tell.text(key, full, plus=True)} at full drive"
        yield Sentence(f"{words}: joints that work at equal angles run evenly.", "plain", key)


def _wide(tell: RearTelling) -> Iterator[Sentence]:
    """Tell of joints that work further than usual, at ride and wound up either way."""
    angles = pinion_angles(tell.study.proposed)
    for name, title in _JOINTS:
        at = dict(zip(STATES, angles.get(name, ()), strict=False))
        for key, state, where, usual in (
            (name, "at rest", "at ride", _JOINT),
            (f"{name}_full", "full drive", "at full drive", _JOINT_FULL),
            (name, "full braking", "at full braking", _JOINT_FULL),
        ):
            angle = at.get(state)
            if angle is not None and abs(angle) > usual:
                words = f"The propshaft's {title} joint works at {tell.text(name, abs(angle))}"
                most = tell.text(name, usual, places=0)
                yield Sentence(f"{words} {where}: about {most} is usual.", "watch", key)


def _unequal(tell: RearTelling) -> Iterator[Sentence]:
    """Tell of joints whose angles differ in size: the way that each bends doesn't count.

    With its yokes in phase a shaft between angles of one size runs evenly whether both ends lie
    parallel or meet in the middle (textbook kinematics of two universal joints).
    """
    sizes = [abs(angle) for key, _ in _JOINTS if (angle := tell.after(key)) is not None]
    if len(sizes) < len(_JOINTS) or abs(sizes[0] - sizes[1]) < _UNEQUAL:
        return
    pinion, gearbox = (tell.text(key, size) for (key, _), size in zip(_JOINTS, sizes, strict=True))
    words = (
        f"The propshaft's joints work at {pinion} (pinion) and {gearbox} (gearbox) at ride: the "
        "pinion's speed is uneven. Angles of one size run evenly, the yokes in phase, whether the "
        "ends lie parallel or lean against each other."
    )
    yield Sentence(words, "watch", "pinion_joint_angle")
