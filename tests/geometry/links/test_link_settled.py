"""The settled height read off level poses is where a pose of its own carries the load."""

from __future__ import annotations

import numpy as np
import pytest

from app.systems.rear.system import REAR
from geometry.links.poses import solve_poses
from geometry.links.results import LinkAxleResults, link_axle_results
from geometry.links.ride import settled_between, settled_by_energy, settled_travel
from tests.helpers.rear_cars import link_setup

CAR = REAR.study(link_setup()).measured.links.car
LOAD = 2.0 * CAR.load


def level(travel: np.ndarray) -> LinkAxleResults:
    return link_axle_results(solve_poses(CAR.axle, travel, 0.0))


@pytest.mark.parametrize("share", [0.75, 0.98, 1.0, 1.03, 1.3])
def test_the_coils_carry_the_load_at_the_height_read_off(share: float) -> None:
    poses = np.append(np.linspace(-60.0, 70.0, 61), 0.0)  # zero is there twice, near enough
    found = settled_between(level(poses).carried, share * LOAD)
    carried = level(np.array([found])).rates.wheel_force.sum()
    assert carried == pytest.approx(share * LOAD, abs=1e-9 * LOAD)
    assert found == pytest.approx(settled_travel(CAR.axle, share * LOAD), abs=1e-7)


def test_no_height_is_read_off_beyond_the_poses_or_from_too_few_or_too_far_apart() -> None:
    assert settled_between(level(np.linspace(-5.0, 5.0, 11)).carried, 1.3 * LOAD) is None
    assert settled_between(level(np.array([-3.0, 0.0, 3.0])).carried, 1.01 * LOAD) is None
    assert (
        settled_between(level(np.array([-240.0, -120.0, 60.0, 150.0])).carried, 1.3 * LOAD) is None
    )


@pytest.mark.parametrize("share", [0.75, 0.98, 1.03, 1.3])
def test_the_least_energy_is_where_the_coils_carry_the_load(share: float) -> None:
    poses = solve_poses(CAR.axle, np.linspace(-60.0, 70.0, 61), 0.0)
    found = settled_by_energy(poses, share * LOAD)
    assert found == pytest.approx(settled_travel(CAR.axle, share * LOAD), abs=1e-8)


def test_no_least_energy_is_told_at_the_measured_height_or_from_poses_too_few_or_too_far() -> None:
    evenly = np.linspace(-60.0, 70.0, 61)
    assert settled_by_energy(solve_poses(CAR.axle, evenly, 0.0), LOAD) is None
    assert settled_by_energy(solve_poses(CAR.axle, evenly[:9], 0.0), 0.75 * LOAD) is None
    assert settled_by_energy(solve_poses(CAR.axle, evenly[::6], 0.0), 0.75 * LOAD) is None
    assert settled_by_energy(solve_poses(CAR.axle, evenly, 0.0), 9.0 * LOAD) is None
