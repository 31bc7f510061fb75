"""How square the axle stands in the car, and what the right side does by itself."""

from __future__ import annotations

from collections.abc import Iterator
from math import radians
from typing import Final

from app.systems.rear.words.telling import RearTelling
from app.systems.sentence import Sentence
from geometry.leaf.sides import side_by_side

_CROOKED: Final = radians(0.1)  # 0.3° is felt (an owners' page); a string reads this
_SAG: Final = 3.0  # mm, which a tape along a spring tells
_LEANS: Final = radians(0.2)  # 4 mm over a spring base: common practice, no source
_TURNS: Final = radians(0.02)  # a change of thrust angle that figures show


def squareness_sentences(tell: RearTelling) -> Iterator[Sentence]:
    """Tell of a crooked axle, of springs that aren't alike, and of a side that comes down alone."""
    yield from _thrust(tell)
    yield from _sides(tell)
    yield from _one_side(tell)


def _thrust(tell: RearTelling) -> Iterator[Sentence]:
    """Tell of an axle that stands crooked in the car, or did."""
    before, angle = tell.before("thrust_angle"), tell.after("thrust_angle")
    if angle is None:
        return
    turns = before is not None and abs(angle - before) >= _TURNS
    was = ""
    if before is not None and turns and abs(before) >= _TURNS:
        was = f", {_pointing(tell, before)} as found"
    if abs(angle) >= _CROOKED:
        words = f"The axle points {_pointing(tell, angle)} (thrust angle){was}"
        yield Sentence(f"{words}: {_stagger(tell)}, the car crabs.", "watch", "thrust_angle")
    elif before is not None and turns and abs(before) >= _CROOKED:
        words = f"The axle's thrust angle goes {tell.goes('thrust_angle', plus=True)}"
        words = f"{words}{tell.meaning('thrust_angle', angle)}: it stands square"
        yield Sentence(f"{words}.", "plain", "thrust_angle")


def _pointing(tell: RearTelling, angle: float) -> str:
    way = "left" if angle > 0 else "right"
    return f"{tell.text('thrust_angle', abs(angle))} to the {way}"


def _stagger(tell: RearTelling) -> str:
    """Say which wheelbase is the longer; without a front, which wheel stands further back."""
    longer = tell.after("wheelbase_difference")
    assert longer is not None  # comes with the thrust angle
    size = tell.length(abs(longer))
    side = "left" if longer > 0 else "right"
    if "front.wheel_centre" not in tell.study.setup.evidence:
        return f"its {side} wheel stands {size} further back"
    if size == tell.length(0.0):
        return "the front wheels stand as far askew, both wheelbases are alike"
    return f"the {side} wheelbase is {size} longer"


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


def _one_side(tell: RearTelling) -> Iterator[Sentence]:
    """Tell of a side that comes down by itself: lean, both ride heights, what moves across."""
    lean = tell.study.system.lean(tell.study)
    if lean is None or abs(lean.apart) < _SAG:
        return
    way = "lower" if lean.apart > 0 else "higher"
    side = "right" if lean.angle > 0 else "left"
    words = f"By itself the right spring settles {tell.length(abs(lean.apart))} {way} than the left"
    angle = tell.text("thrust_angle", abs(lean.angle))
    if lean.held_by:
        words = f"{words}. As the {lean.held_by} springs hold against it, the body leans {angle}"
    else:
        words = f"{words}: the body leans {angle}"
    left, right = (
        f"{tell.length(abs(rise))} {'lower' if rise > 0 else 'higher'}" for rise in lean.rises
    )
    words = f"{words} further to the {side} than found: it stands {left} at the left wheel, "
    words = f"{words}{right} at the right one"
    if lean.held_by:
        least = "right" if lean.moved > 0 else "left"
        load = tell.text("spring_load", abs(lean.moved), places=0)
        yield Sentence(f"{words}, and the {least} rear wheel carries {load} less.", "watch", "")
    else:
        yield Sentence(f"{words}. How the front holds against it isn't known.", "watch", "")
