"""A list of points laid over known ones, against a general library and properties."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import least_squares
from scipy.spatial.transform import Rotation

from geometry.rigid import lay_over

RANDOM = np.random.default_rng(7)
POINTS = RANDOM.uniform(-800.0, 800.0, (6, 3))
TURN = Rotation.from_euler("xyz", [20.0, -35.0, 140.0], degrees=True)
SHIFT = np.array([1200.0, -40.0, 310.0])
EVEN = np.ones(6)


def test_a_turned_and_shifted_list_is_laid_back_exactly() -> None:
    laid = lay_over(TURN.inv().apply(POINTS - SHIFT), POINTS, EVEN)
    assert laid is not None
    assert np.abs(laid.misfit).max() < 1e-9
    assert laid.rotation == pytest.approx(TURN.as_matrix(), abs=1e-12)
    assert laid.shift == pytest.approx(SHIFT, abs=1e-9)
    assert laid.size == pytest.approx(1.0, abs=1e-12)


def test_turn_of_a_noisy_list_agrees_with_a_general_library() -> None:
    """scipy.spatial.transform.Rotation.align_vectors on the points about their weighted middles."""
    own = TURN.inv().apply(POINTS - SHIFT) + RANDOM.normal(0.0, 2.0, POINTS.shape)
    deviations = RANDOM.uniform(0.5, 3.0, 6)
    laid = lay_over(own, POINTS, deviations)
    assert laid is not None
    shares = deviations**-2 / (deviations**-2).sum()
    arms = [points - shares @ points for points in (POINTS, own)]
    judge, _ = Rotation.align_vectors(*arms, weights=shares)
    assert laid.rotation == pytest.approx(judge.as_matrix(), abs=1e-10)


def test_turn_and_its_uncertainty_agree_with_general_least_squares() -> None:
    own = TURN.inv().apply(POINTS - SHIFT) + RANDOM.normal(0.0, 2.0, POINTS.shape)
    deviations = RANDOM.uniform(0.5, 3.0, 6)
    laid = lay_over(own, POINTS, deviations)
    assert laid is not None
    arms = laid.places(own) - laid.centre

    def misses(step: np.ndarray) -> np.ndarray:
        turned = Rotation.from_rotvec(step[3:]).apply(arms) + laid.centre + step[:3]
        return ((turned - POINTS) / deviations[:, None]).ravel()

    judge = least_squares(misses, np.zeros(6), x_scale="jac", xtol=1e-15, ftol=1e-15, gtol=1e-15)
    assert np.abs(judge.x).max() < 1e-6
    inverse = np.linalg.inv(judge.jac.T @ judge.jac)
    assert laid.covariance == pytest.approx(inverse, rel=2e-2, abs=1e-9)


def test_mirror_images_are_never_made() -> None:
    """Three points lie in a plane: a reflection fits them as well as a turn."""
    flat = np.array([[0.0, 0.0, 0.0], [700.0, 0.0, 0.0], [0.0, 500.0, 0.0]])
    laid = lay_over(flat * (1.0, 1.0, -1.0), flat, np.ones(3))
    assert laid is not None
    assert np.linalg.det(laid.rotation) == pytest.approx(1.0)


def test_two_points_or_a_line_fix_nothing() -> None:
    assert lay_over(POINTS[:2], POINTS[:2], np.ones(2)) is None
    line = np.outer([0.0, 1.0, 2.0, 5.0], [100.0, 200.0, 50.0])
    assert lay_over(line, line, np.ones(4)) is None


def test_laid_points_are_as_uncertain_as_random_lists_say() -> None:
    """2000 lists with random errors: the spread of a far point against the one that is told."""
    far = np.array([[-2500.0, 600.0, 300.0]])
    deviations = np.full(6, 1.5)
    first = lay_over(POINTS, POINTS, deviations)
    assert first is not None
    seen = []
    for _ in range(2000):
        laid = lay_over(POINTS + RANDOM.normal(0.0, 1.5, POINTS.shape), POINTS, deviations)
        assert laid is not None
        seen.append(laid.places(far)[0])
    assert first.deviations(far, np.zeros(1))[0] == pytest.approx(np.std(seen, axis=0), rel=0.06)
