"""Bars of 100 mm and 4 in to lay a rule on: whether the page was printed at full size."""

from __future__ import annotations

from typing import Final

from app.document.quantities import INCH
from app.paper.faces import FINE
from app.paper.ink import THIN, Ink

METRIC: Final = 100.0  # [mm]
INCHES: Final = 4 * INCH
APART: Final = 3.4  # between the two bars
WEIGHT: Final = 0.5
TICK: Final = 1.0


def level_bars(ink: Ink, x: float, y: float) -> None:
    """Draw both bars from left to right, 101.6 mm long and 9 mm high."""
    for length, at, words in ((METRIC, y + 2.2, "100 mm"), (INCHES, y + 2.2 + APART, "4 in")):
        ink.rule((x, at), (x + length, at), WEIGHT)
        for end in _ends(x, length):
            ink.rule((end, at - TICK), (end, at + TICK))
        baseline = at - 0.7 if words.endswith("mm") else at + 3.0
        ink.write(x + 50.0, baseline, words, FINE, "centre")


def upright_bars(ink: Ink, x: float, y: float) -> None:
    """Draw both bars downwards, 101.6 mm long and 9 mm wide."""
    for length, at, words in ((METRIC, x + 1.5, "100 mm"), (INCHES, x + 1.5 + APART, "4 in")):
        ink.rule((at, y), (at, y + length), WEIGHT)
        for end in _ends(y, length):
            ink.rule((at - TICK, end), (at + TICK, end))
        with ink.turned(at + (2.6 if words.endswith("in") else -0.8), y + 50.0):
            ink.write(0.0, 0.0, words, FINE, "centre")


def _ends(start: float, length: float) -> tuple[float, float]:
    """Return where the ticks stand, so that their outer edges are the bar's ends."""
    return start + THIN / 2, start + length - THIN / 2
