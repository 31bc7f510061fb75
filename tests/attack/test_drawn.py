"""Results drawn along scripted paths, of every sample, front and rear."""

from __future__ import annotations

import pytest

from app.systems.every import SYSTEMS
from tests.attack.drags import CARS
from tests.attack.drawn import drawn_run

pytestmark = [pytest.mark.gui, pytest.mark.long]

SEED = 4


@pytest.mark.parametrize("number", range(len(CARS) * len(SYSTEMS)))
def test_no_kick_no_flip_no_hysteresis(number: int) -> None:
    tally = drawn_run(SEED, number)
    assert not tally.failures
    assert tally.moves or tally.refused
