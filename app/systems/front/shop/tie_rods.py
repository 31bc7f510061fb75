"""What the tie rods need once all other work at the front is done. No Qt."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from app.document.model import Setup
from app.document.moves import toe_is_reset
from app.document.quantities import INCH
from app.systems.answers import Study
from app.systems.front.study import FrontAnswers
from app.systems.jobs import Job
from app.systems.targets import shop_length

_TURN: Final = {"mm": 0.05, "in": INCH / 128}  # a shorter change of a tie rod is none [mm]


def tie_rod_jobs(study: Study[FrontAnswers], decimal: str) -> Iterator[Job]:
    """Say what the tie rods need: turned back, or left as they are."""
    if not toe_is_reset(study.setup):
        words = "Leave the tie rods as they are. Read the toe, and write it down below"
        yield Job(f"{words}.", ("Set it before the car is driven.",))
        return
    title = "Align the wheels, and turn the tie rods until the toe is as below."
    yield Job(title, tuple(_turned(study, decimal)))


def _turned(study: Study[FrontAnswers], decimal: str) -> Iterator[str]:
    cars = (study.measured.front, study.proposed.front)
    before, after = (np.broadcast_to(c.axle.corners.parts.tie_length, (2, 1)) for c in cars)
    left, right = (float(value) for value in (after - before)[:, 0])
    setup = study.setup
    turn = _TURN[setup.units]
    if max(abs(left), abs(right)) < turn:
        yield "Tie rods: about as long as they are."
    elif abs(left - right) < turn:
        yield f"Each tie rod comes about {_longer(left, setup, decimal)} than it is."
    else:
        words = f"The left tie rod comes about {_longer(left, setup, decimal)}"
        yield f"{words} than it is, the right one {_longer(right, setup, decimal)}."


def _longer(by: float, setup: Setup, decimal: str) -> str:
    size = shop_length(abs(by), setup.units, decimal, 1)
    return f"{size} {'longer' if by > 0 else 'shorter'}"
