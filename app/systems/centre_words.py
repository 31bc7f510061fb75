"""What is said of a roll centre, front or rear."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from app.systems.sentence import Sentence, Teller

KEY: Final = "roll_centre_height"
STEP: Final = 5.0  # mm; a tape makes it no surer


def roll_centre(tell: Teller, name: str) -> Iterator[Sentence]:
    """Tell where the roll centre goes, when it goes far enough to be told."""
    heights = tell.pair(KEY)
    if heights is None or not tell.moved(KEY, STEP):
        return
    before, after = (tell.length(abs(height)) for height in heights)
    sides = tuple("above" if height >= 0 else "below" for height in heights)
    was = before.partition(" ")[0] if sides[0] == sides[1] else f"{before} {sides[0]}"
    yield Sentence(f"{name} goes from {was} to {after} {sides[1]} the ground.", "plain", KEY)
