"""What traction bars do beside holding the wind-up: in bump, in roll and to the body's height."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from app.document.moves import known_points, proposed_settings
from app.systems.rear.words.telling import RearTelling
from app.systems.sentence import Sentence

_LACKING: Final = {
    "rear.traction_bar.gap": "the gap",
    "rear.traction_bar.stiffness": "the snubber's rate",
}
_LENGTH: Final = "the length, or both of a bar's points"


def bar_sentences(tell: RearTelling) -> Iterator[Sentence]:
    """Tell where the axle sits on its snubbers, and what they do to the body at full drive."""
    lacking = bars_lacking(tell)
    if lacking:
        words = f"The traction bars aren't counted: {lacking} isn't given"
        yield Sentence(f"{words}.", "watch", "bars_close_travel")
    yield from _in_bump(tell)
    yield from _in_roll(tell)
    yield from _lift(tell)


def bars_lacking(tell: RearTelling) -> str:
    """Return what isn't known of traction bars that are given in part, "" where nothing is."""
    setup = tell.study.setup
    values = {**known_points(setup), **proposed_settings(setup)}
    bars = [key for key in values if key.startswith(("rear.traction_bar.", "rear.bar_"))]
    leaf = tell.study.proposed.leaf
    if not bars or leaf is None or leaf.bars is not None:
        return ""
    lacking = [words for key, words in _LACKING.items() if key not in values]
    return " and ".join(lacking) or _LENGTH


def rests_on_bars(tell: RearTelling) -> Iterator[Sentence]:
    """Tell of a car that rests on its snubbers until their gap is set again."""
    leaf = tell.study.proposed.leaf
    bars = None if leaf is None else leaf.bars
    if leaf is None or bars is None or not leaf.pressed:
        return
    words = "The car rests on its traction bars: where the springs alone carry it, the snubbers "
    words += f"are pressed {tell.length(leaf.pressed)} in. Set their gap again at ride height, to "
    words += f"{tell.length(bars.gap)}: all figures are of the car with it set. Until then it "
    yield Sentence(f"{words}stands higher and is stiffer.", "wrong", "bars_close_travel")


def _in_bump(tell: RearTelling) -> Iterator[Sentence]:
    after, leaf = tell.after("bars_close_travel"), tell.study.proposed.leaf
    if after is None or leaf is None or after > leaf.car.bump - leaf.stands_at:
        return
    where = f"after {tell.length(after)} of bump" if after > 0.0 else "where the car stands"
    words = f"The axle sits on its snubbers {where}"
    rate, open_rate = tell.after("bars_wheel_rate"), tell.after("wheel_rate")
    if rate is not None and open_rate is not None:
        words += f": from there the wheel rate is {tell.text('bars_wheel_rate', rate)}"
        words += f", {tell.text('wheel_rate', open_rate)} at rest" if after > 0.0 else ""
    yield Sentence(f"{words}.", "watch", "bars_close_travel")
    turn = tell.after("bars_turn_bump")
    if turn is None or turn >= 0.0:
        return
    further = tell.length(-turn * leaf.rates.rear_arm)
    angle = tell.text("bars_turn_bump", -turn, places=1)
    words = f"At full bump the snubbers turn the axle {angle}"
    words += f" nose down and bend the rear halves {further} further"
    yield Sentence(
        f"{words}: the stress at full bump doesn't count that.", "watch", "bars_turn_bump"
    )


def _in_roll(tell: RearTelling) -> Iterator[Sentence]:
    rate, leaf = tell.after("bars_roll_rate"), tell.study.proposed.leaf
    if rate is None or leaf is None:
        return
    both = tell.text("bars_roll_rate", rate)
    words = f"With both snubbers closed the wheel rate in roll is {both}"
    words += f", open {tell.text('roll_wheel_rate', leaf.roll_wheel_rate)}"
    yield Sentence(
        f"{words}: the rear takes far more of the load transfer in a corner then.",
        "watch",
        "bars_roll_rate",
    )


def _lift(tell: RearTelling) -> Iterator[Sentence]:
    push, lift = tell.after("bars_push_full"), tell.after("bars_lift_full")
    if push is None or lift is None or push <= 0.0:
        return
    words = "At full drive each snubber pushes the body up with "
    words += tell.text("bars_push_full", push)
    more = f"{tell.length(abs(lift))} {'more' if lift > 0.0 else 'less'}"
    yield Sentence(
        f"{words}: with bars it lifts {more} than the same springs without.",
        "plain",
        "bars_lift_full",
    )
