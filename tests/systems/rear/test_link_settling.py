"""Where an axle on links settles: at the height nearest to the measured one that carries the load.

Judged by a dense sweep of the coils' load, whose crossings are read off: the load rises past what
the car asks for. Of coils that lie far over there are several.
"""

from __future__ import annotations

import numpy as np
import pytest

from app.document.edits import add_change
from app.document.files import read_setup
from app.document.model import Change, Setup, Vec
from app.document.samples import sample_paths
from app.systems.every import LIMIT_KINDS
from app.systems.rear.answers import RearAnswers
from app.systems.rear.system import REAR
from tests.helpers.setup_edits import move_point

PATH = next(path for path in sample_paths() if path.stem == "hillclimb_special")
NONE: dict[str, Vec] = {}
UNLIKE: dict[str, Vec] = {  # an axle with a wheel far forward, whose coils lie over and work unlike
    "rear.right.wheel_centre": (177.4, -133.7, 0.0),
    "rear.right.upper_body": (19.3, -78.7, 0.0),
    "rear.upper_axle": (-72.0, 0.0, 40.0),
    "rear.spring_body": (0.0, 5.7, -6.0),
    "rear.spring_axle": (68.9, 81.3, 0.0),
}


def proposed(moves: dict[str, Vec], outward: float) -> RearAnswers:
    """Return the car with points moved, and its coils' axle ends further out [mm]."""
    setup: Setup = read_setup(PATH, limit_kinds=LIMIT_KINDS).setup.having(changes=())
    setup = add_change(setup, Change("moved"))
    for key, move in moves.items():
        setup = move_point(setup, 0, key, move)
    setup = move_point(setup, 0, "rear.spring_axle", (0.0, outward, 0.0))
    return REAR.study(setup).unsettled


def crossings(car: RearAnswers) -> np.ndarray:
    """Return the travels at which the load of both wheels rises past the car's [mm]."""
    assert car.links is not None
    travel = np.linspace(-110.0, 110.0, 441)
    force = car.links.solve(travel, np.zeros_like(travel)).rates.wheel_force.sum(axis=1)
    lacking = 2.0 * (car.links.car.load or 0.0) - force
    rises = np.flatnonzero((lacking[:-1] > 0.0) & (lacking[1:] <= 0.0))
    share = lacking[rises] / (lacking[rises] - lacking[rises + 1])
    return np.asarray(travel[rises] + 0.5 * share)


@pytest.mark.parametrize(
    ("moves", "steps"),
    [(NONE, np.arange(0.0, 121.0, 30.0)), (UNLIKE, np.arange(-3.0, 3.1, 1.0))],
    ids=["alike", "unlike"],
)
def test_it_settles_at_the_nearest_height_that_carries_the_load(
    moves: dict[str, Vec], steps: np.ndarray
) -> None:
    heights = []
    for outward in steps:
        car = proposed(moves, float(outward))
        places = crossings(car)
        assert car.single["settled_travel"] == pytest.approx(
            places[np.abs(places).argmin()], abs=0.02
        )
        heights.append(car.single["settled_travel"])
    assert np.abs(np.diff(heights)).max() < 30.0
