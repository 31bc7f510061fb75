"""What a proposal asks of the parts: joints, arms on moved pivots, tie rods, reach, limits."""

from __future__ import annotations

from collections.abc import Iterator
from math import radians
from typing import Final

import numpy as np

from app.document.model import Limit
from app.document.moves import toe_is_reset
from app.systems.front.stretch import GIVES, stretches
from app.systems.front.study import FrontAnswers
from app.systems.front.words.telling import Telling
from app.systems.front.words.travel import is_alike, travel_told
from app.systems.limits import LimitCheck, limit_checks, readings, worst
from app.systems.sentence import Sentence, Severity, past_limit, where_read
from app.words.errors import geometry_words
from app.words.results import limit_named
from geometry.catalogue.front import BY_KEY, JOINTS
from geometry.front.limits import explain

_SWING: Final = radians(2.0)
_ALIKE: Final = radians(0.1)
_BUMP_STEER: Final = radians(0.03)
_TURN: Final = 0.2  # mm of tie rod
_NO_LIMIT: Final = Limit(maximum=0.0)  # the largest value is the worst


def limit_sentences(tell: Telling) -> Iterator[Sentence]:
    """Tell of bump steer and joints beside their limits, and of every limit that isn't kept."""
    limits = {reading.result.key: reading for reading in limit_checks(tell.study)}
    yield from _bump_steer(tell, limits.pop("bump_steer_range", None))
    for key in [key for key, reading in limits.items() if reading.result.group == JOINTS]:
        yield from _joint(tell, limits.pop(key))
    yield from _swings_without_limit(tell)
    for reading in limits.values():
        if reading.held is False and reading.proposed is not None:
            yield past_limit(tell, reading, reading.proposed)


def part_sentences(tell: Telling) -> Iterator[Sentence]:
    """Tell what has to be reached, bolted up and turned."""
    if not tell.study.changed:
        yield from _reach(tell, tell.study.measured, "The car")
        return
    yield from _reach(tell, tell.study.proposed, "The proposed car")
    yield from _spread(tell)
    yield from _tie_rods(tell)


def _bump_steer(tell: Telling, limit: LimitCheck | None) -> Iterator[Sentence]:
    ranges = tell.pair("bump_steer_range")
    if ranges is None:
        return
    study, window = tell.study, tell.study.ranges.window
    was_over, over = (
        travel_told(car, window, tell.units, tell.decimal)
        for car in (study.measured, study.proposed)
    )
    before, after = (tell.text("bump_steer_range", value) for value in ranges)
    if limit is not None:
        after = tell.beside(limit.limit, "bump_steer_range", ranges[1])
    before, after = _with_wheels(tell, before, after)
    change_words = f"{after}, as measured" if not study.changed else f"{after} (was {before})"
    if not is_alike(study.measured, study.proposed):
        change_words = f"is {after} (was {before} over {was_over})"
    elif abs(ranges[1] - ranges[0]) >= _BUMP_STEER:
        change_words = f"{'grows' if ranges[1] > ranges[0] else 'falls'} from {before} to {after}"
    else:
        change_words = f"is {change_words}"
    words = f"Bump steer over {over} {change_words}"
    if limit is None or limit.held is None:
        grown: Severity = "watch" if ranges[1] > ranges[0] + radians(0.1) else "plain"
        if tell.moved("bump_steer_range", _BUMP_STEER):
            yield Sentence(f"{words}.", grown, "bump_steer_range")
        return
    most = limit_named(limit.limit, limit.result, tell.units, decimal=tell.decimal)
    if not limit.held:
        yield Sentence(f"{words}, past its {most}.", "wrong", "bump_steer_range")
    elif tell.moved("bump_steer_range", _BUMP_STEER):
        place = "against" if tell.limit_is_open("bump_steer_range") else "inside"
        yield Sentence(f"{words}, {place} its {most}.", "plain", "bump_steer_range")


def _with_wheels(tell: Telling, before: str, after: str) -> tuple[str, str]:
    """Say of which wheel both cars' bump steer is, once where it is the same one."""
    was, now = (
        tell.wheel(car, "bump_steer_range") for car in (tell.study.measured, tell.study.proposed)
    )
    if was is not None and (was != now or not tell.study.changed):
        before = f"{before} on the {was}"
    return before, after if now is None else f"{after} on the {now}"


def _joint(tell: Telling, reading: LimitCheck) -> Iterator[Sentence]:
    now, remaining = reading.proposed, reading.left
    if now is None or remaining is None:
        return
    key, was = reading.result.key, reading.measured
    if tell.study.changed and was is not None and remaining >= 0 and now.value - was.value < _ALIKE:
        return  # no nearer to its limit than it was
    most = limit_named(reading.limit, reading.result, tell.units, decimal=tell.decimal)
    swing = tell.beside(reading.limit, key, now.value)
    words = f"{reading.result.title} is {swing} {where_read(tell, now)}"
    if remaining < 0:
        yield Sentence(f"{words}, past its {most}: it binds or breaks.", "wrong", key)
    elif remaining < _SWING:
        yield Sentence(f"{words}, {tell.text(key, remaining)} from its {most}.", "watch", key)


def _swings_without_limit(tell: Telling) -> Iterator[Sentence]:
    """Mention joints that swing further than before and have no stated limit."""
    for result in (joint for joint in BY_KEY.values() if joint.group == JOINTS):
        if f"front.{result.key}" in tell.study.setup.limits or not tell.study.changed:
            continue
        before = worst(_NO_LIMIT, readings(tell.study.measured, result))
        after = worst(_NO_LIMIT, readings(tell.study.proposed, result))
        if before is None or after is None or after.value - before.value < _SWING:
            continue
        was, now = (tell.text(result.key, reading.value) for reading in (before, after))
        words = f"{result.title} grows from {was} to {now} {where_read(tell, after)}"
        yield Sentence(
            f"{words}. No limit is set for it: try it on the bench.", "watch", result.key
        )


def _reach(tell: Telling, car: FrontAnswers, who: str) -> Iterator[Sentence]:
    for way, name in ((-1.0, "rebound"), (1.0, "bump")):
        lost = car.travel.at[~car.travel.reached & (car.travel.at * way > 0)]
        if not lost.size:
            continue
        end = float(lost.min() if way < 0 else lost.max())
        why = geometry_words(
            explain(car.front, car.line, end + car.stand.travel),
            tell.units,
            tell.decimal,
            tell.study.setup.evidence,
        )
        words = f"{who} can't take its whole travel in {name}. {why}"
        yield Sentence(words, "wrong", "wheel_travel", stops=_is_new(tell, car))
    if car.steer is not None and not car.steer.reached.all():
        words = f"{who} can't be steered to its full lock: the tie rods come to their end first."
        yield Sentence(words, "wrong", "steer_angle_inner")


def _is_new(tell: Telling, car: FrontAnswers) -> bool:
    """Tell whether a car is the proposal, and the car as found reaches what it doesn't."""
    study = tell.study
    return study.changed and car is study.proposed and bool(study.measured.travel.reached.all())


def _spread(tell: Telling) -> Iterator[Sentence]:
    """Tell of arms whose two pivots no longer stand as far apart as the arm was made for."""
    for stretch in stretches(tell.study):
        words = stretch.words(tell.length(abs(stretch.by)))
        if stretch.is_real:
            yield Sentence(f"{words}: see whether its bushes take that.", "watch", "")
            continue
        most = tell.round_length(GIVES)
        yield Sentence(
            f"{words}. The bushes of an arm in one piece give no more than some {most}: these "
            f"figures are of no real part. Move both pivots alike, or have the arm made to fit.",
            "wrong",
            stops=True,
        )


def _tie_rods(tell: Telling) -> Iterator[Sentence]:
    if not toe_is_reset(tell.study.setup):
        return
    front = tell.study.proposed.front
    turned = front.axle.corners.parts.tie_length - front.car.design.parts.tie_length
    left, right = (float(side) for side in np.broadcast_to(turned, (2, 1))[:, 0])
    if max(abs(left), abs(right)) < _TURN:
        return
    if abs(left - right) < _TURN:
        words = f"To bring the toe back, each tie rod is made {_longer(tell, left)}."
    else:
        words = (
            f"To bring the toe back, the left tie rod is made {_longer(tell, left)}, "
            f"the right one {_longer(tell, right)}."
        )
    yield Sentence(words, "plain", "toe")


def _longer(tell: Telling, by: float) -> str:
    return f"{tell.length(abs(by))} {'longer' if by > 0 else 'shorter'}"
