"""One pose in plain floats is the pose that arrays find."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from geometry.links.axle import Link
from geometry.links.energy import link_arrays, link_energy
from geometry.links.one_pose import energy_of_one, is_surely_stable, least_energy
from geometry.links.poses import AxlePoses, joined, pose_beside, solve_poses
from tests.geometry.links.test_link_axle_poses import invented_axle, parallel_axle

LEVEL = np.linspace(-80.0, 80.0, 61)


@pytest.mark.parametrize("seed", [0, 3])
def test_energy_in_floats_is_that_of_arrays(seed: int) -> None:
    axle = invented_axle(seed, alike=False)
    links, state = link_arrays(axle), (4.0, -7.0, 0.03, -0.05)
    one = energy_of_one(links.plain, axle.centre.tolist(), state, 33.0, -0.04)
    column = np.array(state)[:, None]
    of_arrays = link_energy(
        links, axle.centre[:, None], column, np.array([33.0]), np.array([-0.04])
    )
    assert one is not None
    np.testing.assert_allclose(one.stretch, of_arrays.stretch[:, 0], rtol=1e-12)
    np.testing.assert_allclose(one.gradient, of_arrays.gradient[:, 0], rtol=1e-10)
    np.testing.assert_allclose(one.whole_hessian(), of_arrays.hessian[..., 0], rtol=1e-9)
    np.testing.assert_allclose(one.rotation, of_arrays.columns[..., 0].T, atol=1e-15)


@pytest.mark.parametrize("at", [0.0, 13.7, -79.0, 79.9, 120.0])  # the last isn't among them
def test_a_pose_beside_others_is_the_one_that_is_walked_to(at: float) -> None:
    axle = invented_axle(1)
    level = solve_poses(axle, LEVEL, 0.0)
    beside, walked = pose_beside(level, at), solve_poses(axle, at, 0.0)
    for name in ("centre", "rotation", "stretch"):
        np.testing.assert_allclose(getattr(beside, name), getattr(walked, name), atol=1e-9)
    np.testing.assert_allclose(beside.hessian, walked.hessian, rtol=1e-9, atol=1e-6)
    both: AxlePoses = joined([level, beside])
    assert both.travel.tolist() == [*LEVEL.tolist(), at]
    assert both.centre.shape == (62, 3)


def test_what_is_loose_or_has_no_length_is_left_to_the_arrays() -> None:
    axle, zero = parallel_axle(), (0.0, 0.0, 0.0, 0.0)
    steps = (1e-6, 60.0, 500.0)
    held = energy_of_one(link_arrays(axle).plain, axle.centre.tolist(), zero, 0.0, 0.0)
    assert held is not None
    assert is_surely_stable(held.hessian, 500.0, 1e-9)
    along = replace(axle, lateral=Link((-2100.0, 0.0, 300.0), (-2560.0, 0.0, 300.0)))
    loose = energy_of_one(link_arrays(along).plain, along.centre.tolist(), zero, 0.0, 0.0)
    assert loose is not None
    assert not is_surely_stable(loose.hessian, 500.0, 1e-9)
    none = replace(axle, lateral=replace(axle.lateral, body=axle.lateral.axle))
    links = link_arrays(none)
    assert least_energy(links.plain, none.centre.tolist(), zero, 0.0, steps) is None
