"""The axle on links against a general-purpose multibody engine (exudyn) with the same stiffnesses.

Every axle here is invented. The engine's static solver stops at a residual of about 1e-6 N, which
is about 1e-9 mm on these links.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from geometry.links.axle import LinkAxle
from geometry.links.poses import solve_poses
from geometry.links.results import link_axle_results
from tests.helpers.invented_axles import AXLE_X, four_links, invented_axle, plain_axle
from tests.helpers.link_axle_engine import engine_pose
from tests.helpers.long_cases import typical_of

POSES = [(0.0, 0.06), (50.0, 0.0), (-60.0, -0.05), (35.0, 0.09)]


def rates(axle: LinkAxle) -> np.ndarray:
    return np.array([link.rate for link in axle.links.values()])


def assert_as_engine(axle: LinkAxle) -> None:
    travel, roll = np.array(POSES).T
    poses = solve_poses(axle, travel, roll)
    assert poses.reachable.all()
    for index, (rise, lean) in enumerate(POSES):
        found = engine_pose(axle, rise, lean)
        np.testing.assert_allclose(poses.centre[index], found.centre, atol=1e-7)
        np.testing.assert_allclose(poses.rotation[index], found.rotation, atol=1e-9)
        tension = rates(axle) * poses.stretch[index]
        np.testing.assert_allclose(tension, found.tension, atol=1e-3)


@pytest.mark.parametrize("seed", typical_of(range(24), range(6)))
def test_poses_and_link_forces_are_the_engines(seed: int) -> None:
    assert_as_engine(invented_axle(seed, alike=seed % 3 != 0))


@pytest.mark.parametrize("seed", range(24, 30))
def test_four_links_are_the_engines(seed: int) -> None:
    assert_as_engine(four_links(invented_axle(seed)))


def test_links_of_other_lengths_are_the_engines() -> None:
    axle = plain_axle()
    longer = {
        "lower_left": replace(axle.lower_left, length=478.0),
        "lateral": replace(axle.lateral, length=956.0),
    }
    assert_as_engine(replace(axle, **longer))


@pytest.mark.parametrize("seed", [2, 5, 7, 11, 13, 16])
def test_a_side_force_at_the_roll_centre_asks_for_no_couple_in_the_engine(seed: int) -> None:
    axle = invented_axle(seed)

    def couple(height: float) -> float:
        force = engine_pose(axle, 0.0, 0.0, side_force=(10.0, (AXLE_X, 0.0, height))).wheel_force
        return float(force[0] - force[1])

    low, high = couple(0.0), couple(500.0)
    height = 500.0 * low / (low - high)
    roll = link_axle_results(solve_poses(axle, 0.0, 0.0)).roll
    assert roll.roll_centre_height_by_force[0] == pytest.approx(height, abs=1e-3)


def stiff_four_links(seed: int) -> LinkAxle:
    """Links stiff enough for the coils not to move the axle in its bushes."""
    axle = four_links(invented_axle(seed))
    links = {
        name.replace(" link", "").replace(" ", "_"): replace(link, rate=2e5)
        for name, link in axle.links.items()
    }
    return replace(axle, **links)


@pytest.mark.parametrize(("seed", "travel"), [(1, 0.0), (1, 40.0), (4, -50.0), (6, 20.0)])
def test_wheel_loads_and_rates_are_the_engines(seed: int, travel: float) -> None:
    axle, step = stiff_four_links(seed), 0.5
    low, here, high = (
        engine_pose(axle, travel + offset, 0.0, coils=True).wheel_force
        for offset in (-step, 0.0, step)
    )
    ride = link_axle_results(solve_poses(axle, travel, 0.0)).rates
    np.testing.assert_allclose(ride.wheel_force[0], here, rtol=1e-3)
    rate = (high - low).sum() / (2.0 * step) / 2.0
    assert ride.wheel_rate.total[0] == pytest.approx(rate, rel=3e-4)


@pytest.mark.parametrize(("seed", "travel"), [(1, 0.0), (4, -50.0), (6, 20.0)])
def test_roll_stiffness_is_the_engines(seed: int, travel: float) -> None:
    axle, step = stiff_four_links(seed), 1e-3
    low, high = (engine_pose(axle, travel, roll, coils=True).wheel_force for roll in (-step, step))
    couple = ((high - low)[1] - (high - low)[0]) * 0.5 * axle.track
    ride = link_axle_results(solve_poses(axle, travel, 0.0)).rates
    assert ride.roll_stiffness.total[0] == pytest.approx(couple / (2.0 * step), rel=1e-3)


@pytest.mark.parametrize("seed", [3, 8, 9])
def test_the_bushes_bind_in_roll_as_in_the_engine(seed: int) -> None:
    axle, step = invented_axle(seed, alike=False), 1e-3
    low, high = (engine_pose(axle, 0.0, roll).wheel_force for roll in (-step, step))
    couple = ((high - low)[1] - (high - low)[0]) * 0.5 * axle.track
    ride = link_axle_results(solve_poses(axle, 0.0, 0.0)).rates
    by_links = ride.roll_stiffness.by_links[0]
    assert by_links == pytest.approx(couple / (2.0 * step), rel=1e-4)
