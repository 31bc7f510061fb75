"""What a ride frequency feels like, front or rear."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from app.systems.sentence import Sentence, Teller
from app.systems.sides import wheel_value

_FEELS: Final = (  # up to a frequency [Hz]; common practice, no source
    (1.25, "soft, as a touring car is"),
    (1.6, "firm, as a sporting road car is"),
    (2.0, "hard for the road"),
    (99.0, "as hard as a racing car"),
)


def frequency_words(tell: Teller, name: str) -> Iterator[Sentence]:
    """Tell how an end of the measured car rides."""
    frequency = tell.before("ride_frequency")
    if frequency is None:
        return
    car, result = tell.study.measured, tell.result("ride_frequency")
    both = [wheel_value(car, result, side) for side in (0, 1)]
    feels = [next(words for most, words in _FEELS if each <= most) for each in both if each]
    so = feels[0] if len(set(feels)) == 1 else f"{feels[0]} on the left, {feels[1]} on the right"
    words = f"{name} rides at {tell.is_found('ride_frequency')}: {so}."
    yield Sentence(words, "plain", "ride_frequency")
