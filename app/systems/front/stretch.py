"""Arms bolted to holes that stand further apart, or closer, than the arm was made for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from app.document.model import Setup
from app.document.units import format_value
from app.systems.answers import Study
from app.systems.front.study import FrontAnswers, proposed_values
from geometry.front.parts import pivot_spread

SEEN: Final = 0.2  # mm; less is nothing that a shop can see
GIVES: Final = 3.0  # mm that the bushes of a one-piece arm take (common practice, no source)


@dataclass(frozen=True)
class Stretch:
    """How much further apart an arm's pivots come than it was made for [mm], - closer."""

    arm: str
    by: float
    is_one_piece: bool

    @property
    def is_real(self) -> bool:
        """Tell whether a part can be like that: a one-piece arm gives no more than its bushes."""
        return abs(self.by) <= GIVES or not self.is_one_piece

    def words(self, length: str) -> str:
        """Say how far the pivots come apart; `length` says how far in the reader's units."""
        way = "further apart" if self.by > 0 else "closer together"
        return f"The {self.arm} arm's pivots come {length} {way} than it was made for"


def stretches(study: Study[FrontAnswers]) -> list[Stretch]:
    """Return the arms that are bolted to holes they weren't made for, the upper one first."""
    car = study.proposed.front.car
    made, bolted = pivot_spread(car.design), pivot_spread(car.body)
    steps = (np.ravel(after - before) for before, after in zip(made, bolted, strict=True))
    most = (float(step[np.argmax(np.abs(step))]) for step in steps)
    pieces = {"upper": True, "lower": _is_lower_in_one_piece(study.setup)}
    return [
        Stretch(arm, by, pieces[arm])
        for arm, by in zip(pieces, most, strict=True)
        if abs(by) >= SEEN
    ]


def unreal_words(study: Study[FrontAnswers], decimal: str) -> str:
    """Return why the figures are of no real part; empty where they are of one."""
    unreal = [stretch for stretch in stretches(study) if not stretch.is_real]
    if not unreal:
        return ""
    first = unreal[0]
    length = format_value(abs(first.by), "length", study.setup.units, decimal=decimal)
    return f"{first.words(length)}: these figures are of no real part."


def _is_lower_in_one_piece(setup: Setup) -> bool:
    return proposed_values(setup).get("front.lower_arm") == "one piece"
