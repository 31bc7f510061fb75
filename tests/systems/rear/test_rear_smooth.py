"""Every rear result is smooth: a hair's move of a point changes it by a hair."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import pytest

from app.document.files import read_setup
from app.document.model import FrozenMap, Leaf, Setup
from app.document.samples import sample_paths
from app.systems.answers import Pose
from app.systems.every import LIMIT_KINDS
from app.systems.rear.answers import RearAnswers
from app.systems.rear.system import REAR
from tests.helpers import rear_cars, rear_setups
from tests.helpers.long_cases import typical_of

HAIR = (1e-9, -0.7e-9, 0.8e-9)
"""Move of a point, ahead, left and up [mm]: along no plane in which one way could undo another."""
SHARE = 1e-7
"""Largest change, of the value itself; of LEAST where it is nearly nought."""
LEAST = 1e-3
"""Size below which a value counts as nought, in its own unit: mm, rad, N/mm, %, Hz or none."""

DIFFERENCES = {"wheelbase_difference": 0.1}
"""The same for differences of far greater lengths, whose rounding they bear."""


def _cases() -> Iterator[tuple[str, Setup]]:
    for path in sample_paths():
        setup = read_setup(path, limit_kinds=LIMIT_KINDS).setup
        yield f"{path.stem}, measured", setup.having(changes=())
        for change in setup.changes:
            if any(key.startswith(("rear.", "car.")) for key in (*change.moves, *change.sets)):
                yield (
                    f"{path.stem}, {change.name}",
                    setup.having(changes=(replace(change, on=True),)),
                )
    yield "four leaves and a helper", rear_setups.leaf_car()
    yield "four leaves and a helper, lowered", rear_setups.leaf_car(rear_setups.BLOCK)
    yield "links", rear_setups.link_car()
    yield "five leaves, bars", rear_cars.leaf_setup(rear_cars.BARS)
    yield "links of another car", rear_cars.link_setup()
    # A helper that touches at the very height at which the car was measured.
    leaves = (*rear_cars.LEAVES, Leaf(9.0, 250.0, 280.0, contact=0.0))
    yield "helper at its contact", rear_cars.leaf_setup(rear__pack__leaf=leaves)


CASES = dict(_cases())


Rows = dict[tuple[str, str], np.ndarray]


def _rows(car: RearAnswers) -> Rows:
    sweeps = {"rest": car.rest, "travel": car.travel, "roll": car.roll, "settled": car.settled}
    sweeps["pose"] = car.tried_pose(Pose(travel=15.0, roll=0.03))
    rows = {
        (name, key): np.where(sweep.reached, values, np.nan)
        for name, sweep in sweeps.items()
        if sweep is not None
        for key, values in sweep.values.items()
    }
    return rows | {("single", key): np.array([value]) for key, value in car.single.items()}


def _points(setup: Setup) -> dict[str, tuple[float, float, float]]:
    """Return the rear's points that are given as numbers."""
    return {
        key: value
        for key, value in setup.readings.items()
        if key.startswith("rear.")
        and isinstance(value, tuple)
        and len(value) == 3
        and isinstance(value[0], float)
    }


def _changes_by_a_hair(setup: Setup, keys: tuple[str, ...], before: Rows) -> None:
    """Move points by a hair and compare every result with what it was before."""
    places = {key: tuple(np.add(_points(setup)[key], HAIR).tolist()) for key in keys}
    after = _rows(REAR.solve(setup.having(evidence=FrozenMap({**setup.readings, **places}))))
    assert after.keys() == before.keys()
    for row, values in before.items():
        size = np.maximum(np.abs(values), DIFFERENCES.get(row[1], LEAST))
        change = np.abs(after[row] - values) / size
        np.testing.assert_array_equal(np.isnan(after[row]), np.isnan(values))
        assert np.nanmax(change, initial=0.0) <= SHARE, (row, keys)


FEW = ("four leaves and a helper, lowered", "links", "five leaves, bars", "helper at its contact")
SAMPLED = ("inch_sedan, measured", "hillclimb_special, measured")


@pytest.mark.parametrize("name", typical_of(CASES, (*FEW, *SAMPLED)))
def test_a_hair_s_move_of_many_points_changes_no_result_by_more_than_its_part(name: str) -> None:
    setup = CASES[name]
    before, keys = _rows(REAR.solve(setup)), tuple(_points(setup))
    for first in (0, 1):
        _changes_by_a_hair(setup, keys[first::2], before)


@pytest.mark.long
@pytest.mark.parametrize("name", CASES)
def test_a_hair_s_move_of_each_point_changes_no_result_by_more_than_its_part(name: str) -> None:
    setup = CASES[name]
    before = _rows(REAR.solve(setup))
    for key in _points(setup):
        _changes_by_a_hair(setup, (key,), before)
