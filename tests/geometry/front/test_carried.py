"""What is fixed to a part goes rigidly with it: its distances and its side of the part stay."""

from __future__ import annotations

import numpy as np
import pytest

from app.document.model import Vec
from app.systems.front.system import FRONT
from tests.helpers.front_setups import front_setup

FIXED = {
    "upper arm": ("upper_front", "upper_rear", "upper_ball"),
    "lower arm": ("lower_front", "lower_rear", "lower_ball"),
    "wheel": ("upper_ball", "lower_ball", "tie_outer"),
}
PLACE: Vec = (35.0, 540.0, 410.0)  # well off the planes of these parts


@pytest.mark.parametrize("part", FIXED)
def test_a_place_keeps_its_distances_and_its_side_in_every_pose(part: str) -> None:
    setup = front_setup()
    study = FRONT.study(setup)
    shares = tuple(axis.ravel() for axis in np.meshgrid(*2 * [np.linspace(0.0, 1.0, 7)]))
    placing = FRONT.placing(setup, study.measured, study.ranges, shares, False)  # type: ignore[arg-type]
    points = np.stack([placing.point(name)[0] for name in FIXED[part]])
    arms = placing.carried(part, PLACE)[0] - points
    measured = np.array(PLACE) - np.array([setup.evidence[f"front.{n}"] for n in FIXED[part]])
    far = np.linalg.norm(measured, axis=-1)
    assert np.linalg.norm(arms, axis=-1) == pytest.approx(
        far[:, None] + 0.0 * arms[..., 0], abs=1e-6
    )
    volume = np.linalg.det(np.moveaxis(arms, 0, 1))
    assert volume == pytest.approx(np.full(len(volume), np.linalg.det(measured)), rel=1e-6)
    assert abs(np.linalg.det(measured)) > 1e5  # mm³: off the plane
