"""What a ride frequency feels like, front or rear."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from app.systems.sentence import Sentence, Teller

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
    feels = next(words for most, words in _FEELS if frequency <= most)
    text = tell.text("ride_frequency", frequency)
    yield Sentence(f"{name} rides at {text}: {feels}.", "plain", "ride_frequency")
