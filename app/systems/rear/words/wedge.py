"""A wedge under the seats that is steeper than such wedges are."""

from __future__ import annotations

from collections.abc import Iterator
from math import radians
from typing import Final

from app.document.freed import WEDGE
from app.document.moves import Numbers, proposed_settings
from app.document.units import format_value
from app.systems.rear.words.telling import RearTelling
from app.systems.sentence import Sentence

STEEP: Final = radians(6.0) + 1e-9
"""Steepest that wedges are made (common practice, no source)."""


def wedge_sentences(tell: RearTelling) -> Iterator[Sentence]:
    """Caution against a wedge past what is usual, where a change sets one on leaf springs."""
    setup = tell.study.setup
    wedge = Numbers(proposed_settings(setup)).get(WEDGE) or 0.0
    was = Numbers(setup.evidence).get(WEDGE) or 0.0
    if tell.study.proposed.kind != "leaf axle" or wedge == was or abs(wedge) <= STEEP:
        return
    angle, most = (
        format_value(value, "angle", setup.units, places=1, decimal=tell.decimal)
        for value in (abs(wedge), STEEP)
    )
    yield Sentence(
        f"A wedge of {angle} is steep: past some {most} the U-bolts no longer pull square to the "
        "seats, and the axle's spring pads are turned and welded anew instead, by somebody "
        "qualified for it (common practice, no source).",
        "watch",
        "pinion_angle",
    )
